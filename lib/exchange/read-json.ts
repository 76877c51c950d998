import { Refusal } from '../refusal.ts'
import { textPieces } from './read-csv.ts'
import { columnsCheck, decimalText, ROW_LETTERS_MAX, type TableRow, unreadable } from './table.ts'

const [QUOTE, BACKSLASH, OPEN, CLOSE, COMMA] = [34, 92, 91, 93, 44]
const [BRACE_OPEN, BRACE_CLOSE] = [123, 125]
const isSpace = (code: number) => code === 32 || code === 10 || code === 13 || code === 9

/**
 * The values of a JSON list as text, one by one (RFC 8259, section 5), so that a file of a hundred thousand rows is never in
 * memory as a whole. Only where a value ends is told here; whether it is JSON is for the reader of that value to say.
 */
export function* jsonValues(pieces: Iterable<string>, file: string): Generator<string> {
  const list = { begun: false, ended: false }
  let [held, depth, quoted, escaped, count] = ['', 0, false, false, 0]
  const ended = (value: string): string => {
    count += 1
    if (value.trim() === '') throw notWhole(file, `value ${count} is empty`)
    return value
  }
  for (const piece of pieces) {
    let from = 0
    for (let at = 0; at < piece.length; at++) {
      const code = piece.charCodeAt(at)
      if (!list.begun || list.ended) {
        if (isSpace(code)) continue
        if (list.ended) throw notWhole(file, 'something follows after the list')
        if (code !== OPEN) throw unreadable(file, 'a JSON file must be a list of objects: [ { ... }, { ... } ]')
        list.begun = true
        from = at + 1
      } else if (escaped) escaped = false
      else if (quoted) {
        if (code === BACKSLASH) escaped = true
        else if (code === QUOTE) quoted = false
      } else if (code === QUOTE) quoted = true
      else if (code === BRACE_OPEN || code === OPEN) depth += 1
      else if (depth > 0) {
        if (code === BRACE_CLOSE || code === CLOSE) depth -= 1
      } else if (code === COMMA || code === CLOSE) {
        const value = held + piece.slice(from, at)
        held = ''
        from = at + 1
        if (code === CLOSE) list.ended = true
        // A list of nothing is a list; an empty place behind a comma is none.
        if (code === COMMA || count > 0 || value.trim() !== '') yield ended(value)
      }
    }
    if (list.begun && !list.ended) held += piece.slice(from)
    if (held.length > ROW_LETTERS_MAX)
      throw new Refusal('exchange/broken-row', {
        file,
        row: count + 1,
        why: `it is longer than ${ROW_LETTERS_MAX} letters, or a quotation mark or bracket is never closed`,
      })
  }
  if (!list.ended) throw notWhole(file, 'it ends before its list does')
}

function notWhole(file: string, why: string): Refusal {
  return unreadable(file, `it is no whole JSON (${why})`)
}

/** The objects of the list, each with its place in it, counted from 1. */
function* jsonObjects(bytes: Uint8Array, file: string): Generator<{ row: number; entry: Record<string, unknown> }> {
  let row = 0
  for (const text of jsonValues(textPieces(bytes), file)) {
    row += 1
    let entry: unknown
    try {
      entry = JSON.parse(text)
    } catch (error) {
      throw notWhole(file, `row ${row}: ${error instanceof Error ? error.message : 'broken'}`)
    }
    if (typeof entry !== 'object' || entry === null || Array.isArray(entry))
      throw new Refusal('exchange/broken-row', { file, row, why: 'it is no object' })
    yield { row, entry: entry as Record<string, unknown> }
  }
}

/**
 * Rows of a JSON file: a list of objects with plain values. The header is every name in the order it first comes up, so the
 * file is walked once for the names and once for the rows.
 */
export function* jsonRows(bytes: Uint8Array, file: string): Generator<TableRow> {
  const places = new Map<string, number>()
  for (const { entry } of jsonObjects(bytes, file)) {
    for (const name of Object.keys(entry)) if (!places.has(name)) places.set(name, places.size)
    columnsCheck(file, places.size)
  }
  yield { row: 0, cells: [...places.keys()] }
  for (const { row, entry } of jsonObjects(bytes, file)) {
    const cells: string[] = new Array(places.size).fill('')
    for (const [name, value] of Object.entries(entry)) cells[places.get(name)!] = jsonCell(value, file, row, name)
    yield { row, cells }
  }
}

function jsonCell(value: unknown, file: string, row: number, name: string): string {
  if (value === null) return ''
  if (typeof value === 'string') return value
  if (typeof value === 'number') return decimalText(value)
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  throw new Refusal('exchange/broken-row', { file, row, why: `${name.slice(0, 40)} is neither text nor a number` })
}
