import { Readable } from 'node:stream'
import { type CsvError, type Info, parse } from 'csv-parse'
import { Refusal } from '../refusal.ts'
import { columnsCheck, ROW_LETTERS_MAX, type TableRow } from './table.ts'

const SLICE_BYTES = 256 * 1024

/** How the bytes of a text file are to be read: marked by their first bytes, else told from the content. */
export function textEncoding(bytes: Uint8Array): { encoding: string; skip: number } {
  const [a, b, c] = bytes
  if (a === 0xef && b === 0xbb && c === 0xbf) return { encoding: 'utf-8', skip: 3 }
  if (a === 0xff && b === 0xfe) return { encoding: 'utf-16le', skip: 2 }
  if (a === 0xfe && b === 0xff) return { encoding: 'utf-16be', skip: 2 }
  // Headers are mostly letters of one byte: in UTF-16 every second byte is 0 then.
  const head = bytes.subarray(0, 400)
  const zeros = [0, 0]
  for (const [at, byte] of head.entries()) if (byte === 0) zeros[at % 2]! += 1
  if (zeros[1]! > head.length / 4 && zeros[0] === 0) return { encoding: 'utf-16le', skip: 0 }
  if (zeros[0]! > head.length / 4 && zeros[1] === 0) return { encoding: 'utf-16be', skip: 0 }
  return { encoding: utf8Whole(bytes) ? 'utf-8' : 'windows-1252', skip: 0 }
}

function utf8Whole(bytes: Uint8Array): boolean {
  const decoder = new TextDecoder('utf-8', { fatal: true })
  try {
    for (let at = 0; at < bytes.length; at += SLICE_BYTES)
      decoder.decode(bytes.subarray(at, at + SLICE_BYTES), { stream: true })
    decoder.decode()
    return true
  } catch {
    return false
  }
}

/** The text of a file in pieces. */
export function* textPieces(bytes: Uint8Array): Generator<string> {
  const { encoding, skip } = textEncoding(bytes)
  const decoder = new TextDecoder(encoding, { ignoreBOM: true })
  for (let at = skip; at < bytes.length; at += SLICE_BYTES)
    yield decoder.decode(bytes.subarray(at, at + SLICE_BYTES), { stream: true })
  yield decoder.decode()
}

const SEPARATORS = [';', ',', '\t', '|'] as const

/** Counts of each separator in the first records, outside quotes. */
function separatorCounts(head: string): number[][] {
  const counts: number[][] = []
  let [line, quoted] = [SEPARATORS.map(() => 0), false]
  for (const sign of head) {
    if (sign === '"') quoted = !quoted
    else if (quoted) continue
    else if (sign === '\n' || sign === '\r') {
      if (line.some((count) => count > 0)) counts.push(line)
      line = SEPARATORS.map(() => 0)
      if (counts.length === 20) return counts
    } else {
      const at = SEPARATORS.indexOf(sign as (typeof SEPARATORS)[number])
      if (at >= 0) line[at]! += 1
    }
  }
  if (line.some((count) => count > 0)) counts.push(line)
  return counts
}

/**
 * The sign between the cells, told from the first rows: the one that stands in the header, and equally often in the rows
 * below. With decimal commas a comma is in the rows too, but not as often in each.
 */
export function separatorOf(head: string): string {
  const counts = separatorCounts(head)
  const first = counts[0]
  if (!first) return ','
  let best = { score: 0, separator: ',' }
  for (const [at, separator] of SEPARATORS.entries()) {
    if (first[at] === 0) continue
    const even = counts.filter((line) => line[at] === first[at]).length / counts.length
    const score = even * 1000 + first[at]!
    if (score > best.score) best = { score, separator }
  }
  return best.separator
}

function newlines(cells: readonly string[]): number {
  let count = 0
  for (const cell of cells) if (cell.includes('\n') || cell.includes('\r')) count += cell.split(/\r\n|\n|\r/).length - 1
  return count
}

function csvRefusal(file: string, error: CsvError): Refusal {
  const line = typeof error.lines === 'number' ? error.lines : '?'
  const why =
    error.code === 'CSV_QUOTE_NOT_CLOSED'
      ? 'a quotation mark opens a cell and is never closed'
      : error.code === 'CSV_INVALID_CLOSING_QUOTE' || error.code === 'INVALID_OPENING_QUOTE'
        ? 'a quotation mark stands in the middle of a cell; write it twice inside a quoted cell'
        : error.code === 'CSV_MAX_RECORD_SIZE'
          ? `a row is longer than ${ROW_LETTERS_MAX} letters, or a quotation mark is never closed`
          : 'the row cannot be told apart into cells'
  return new Refusal('exchange/broken-row', { file, row: line, why })
}

function isCsvError(error: unknown): error is CsvError {
  return error instanceof Error && 'code' in error && /^(CSV_|INVALID_)/.test(String(error.code))
}

/** A cell that begins so is run as a formula by a spreadsheet. */
export const FORMULA_STARTS: ReadonlySet<string> = new Set(['=', '+', '-', '@', '\t', '\r'])

/** An apostrophe that `formulaGuard` put before a text is taken off again. */
export function formulaUnguard(cell: string): string {
  return FORMULA_STARTS.has(cell.replace(/^'+/, '').charAt(0)) && cell.startsWith("'") ? cell.slice(1) : cell
}

/**
 * Rows of a CSV file (RFC 4180, and what spreadsheets make of it): UTF-8, UTF-16 or Windows-1252; separated by semicolon,
 * comma, tab or bar, or by what a first line `sep=;` says. Refuses with 'exchange/broken-row' and the line of a stray quote.
 */
export async function* csvRows(bytes: Uint8Array, file: string): AsyncGenerator<TableRow> {
  const pieces = textPieces(bytes)
  let head = ''
  while (head.length < 20_000) {
    const next = pieces.next()
    if (next.done) break
    head += next.value
  }
  const named = /^sep=(.)\r?\n/.exec(head)
  // Counted here: the parser takes CR LF inside a quoted cell for two lines.
  let line = named ? 2 : 1
  if (named) head = head.slice(named[0].length)
  function* text(): Generator<string> {
    if (head !== '') yield head
    for (const piece of pieces) if (piece !== '') yield piece
  }
  const separator = named?.[1] ?? separatorOf(head.slice(0, 20_000))
  const parser = Readable.from(text()).pipe(
    parse({
      delimiter: separator,
      record_delimiter: ['\r\n', '\n', '\r'],
      relax_column_count: true,
      skip_empty_lines: true,
      max_record_size: ROW_LETTERS_MAX,
      info: true,
    }),
  )
  try {
    for await (const { record, info } of parser as AsyncIterable<{ record: string[]; info: Info }>) {
      columnsCheck(file, record.length)
      yield { row: line + info.empty_lines, cells: record.map(formulaUnguard), separator }
      line += 1 + newlines(record)
    }
  } catch (error) {
    if (isCsvError(error)) throw csvRefusal(file, error)
    throw error
  }
}
