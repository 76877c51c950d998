import { Refusal } from '../refusal.ts'
import { textPieces } from './read-csv.ts'
import { columnsCheck, decimalText, type TableRow, unreadable } from './table.ts'

export const JSON_MEGABYTES_MAX = 64

/** Rows of a JSON file: a list of objects with plain values. The header is every name in the order it first comes up. */
export function* jsonRows(bytes: Uint8Array, file: string): Generator<TableRow> {
  if (bytes.length > JSON_MEGABYTES_MAX * 1e6)
    throw unreadable(file, `it has more than ${JSON_MEGABYTES_MAX} MB; bring a file of that size as CSV or XLSX`)
  let list: unknown
  try {
    list = JSON.parse([...textPieces(bytes)].join(''))
  } catch (error) {
    throw unreadable(file, `it is no whole JSON (${error instanceof Error ? error.message : 'broken'})`)
  }
  if (!Array.isArray(list)) throw unreadable(file, 'a JSON file must be a list of objects: [ { ... }, { ... } ]')
  const places = new Map<string, number>()
  for (const [index, entry] of list.entries()) {
    if (typeof entry !== 'object' || entry === null || Array.isArray(entry))
      throw new Refusal('exchange/broken-row', { file, row: index + 1, why: 'it is no object' })
    for (const name of Object.keys(entry)) if (!places.has(name)) places.set(name, places.size)
    columnsCheck(file, places.size)
  }
  yield { row: 0, cells: [...places.keys()] }
  for (let index = 0; index < list.length; index++) {
    const entry: unknown = list[index]
    // What was handed on need not be held twice.
    list[index] = null
    const cells: string[] = new Array(places.size).fill('')
    for (const [name, value] of Object.entries(entry as Record<string, unknown>))
      cells[places.get(name)!] = jsonCell(value, file, index + 1, name)
    yield { row: index + 1, cells }
  }
}

function jsonCell(value: unknown, file: string, row: number, name: string): string {
  if (value === null) return ''
  if (typeof value === 'string') return value
  if (typeof value === 'number') return decimalText(value)
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  throw new Refusal('exchange/broken-row', { file, row, why: `${name.slice(0, 40)} is neither text nor a number` })
}
