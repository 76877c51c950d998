import type { BrokenRow, CheckedRow, RowRefusal } from '../exchange/check.ts'
import type { Kind } from '../exchange/columns.ts'
import { quantityParse, type StockUnit } from '../measure/quantity.ts'
import type { Moves } from '../price/moves.ts'
import type { database, Tx } from './client.ts'
import type { WriteContext } from './transaction.ts'

/** Reads as the transaction does, or outside one for a rehearsal. */
export type Reader = Tx | ReturnType<typeof database>

/** Who brings what in, and what the rows need to know of the workshop. */
export interface ExchangeContext {
  write: WriteContext
  /** ISO 4217 code of the workshop's money. */
  currency: string
  /** What to call the file in reasons that are kept. */
  file: string
  /** Columns that it has. */
  columns: ReadonlySet<string>
  /** Rows that were refused before they came to the workshop. */
  broken: readonly BrokenRow[]
}

export interface Counts {
  new: number
  changed: number
  same: number
}

/** What an import would do: found by reading only, carried out by `write` in the same transaction. */
export interface ExchangePlan {
  refusals: RowRefusal[]
  /** Of the rows that can be taken. */
  counts: Counts
  /** How many those are, where they may be taken without the others; left out where a file comes in as a whole or not at all. */
  rightRows?: number
  /** What is made on the way, in words: `models: 2`. */
  made: Record<string, number>
  /** Of price lists: what they change against what held before. */
  moves?: Moves | undefined
  write(tx: Tx): Promise<void>
}

export type Planner<K extends Kind> = (
  reader: Reader,
  rows: readonly CheckedRow<K>[],
  context: ExchangeContext,
) => Promise<ExchangePlan>

/** Rows of one statement: they travel as one JSON value, so a statement is as cheap for a thousand rows as for one. */
const SLICE = 2000

export function* slices<T>(rows: readonly T[], size = SLICE): Generator<T[]> {
  for (let at = 0; at < rows.length; at += size) yield rows.slice(at, at + size)
}

/** Asks for many rows at once; `ask` gets a JSON list of keys, to be read with json_each. */
export async function asked<R>(keys: Iterable<unknown>, ask: (json: string) => PromiseLike<R[]>): Promise<R[]> {
  const found: R[] = []
  for (const slice of slices([...keys])) for (const row of await ask(JSON.stringify(slice))) found.push(row)
  return found
}

/** Rows read at a time where all of a kind are read. */
export const PAGE = 2000

/** Rows page by page; `read` answers the PAGE rows behind the last one it is handed. */
export async function* paged<Row>(read: (last: Row | null) => PromiseLike<Row[]>): AsyncGenerator<Row> {
  for (let last: Row | null = null; ; ) {
    const page: Row[] = await read(last)
    yield* page
    if (page.length < PAGE) return
    last = page.at(-1)!
  }
}

/** What stands in some columns, row by row. */
export function* numbersIn<Name extends string>(
  rows: readonly { values: Record<Name, string> }[],
  ...columns: Name[]
): Generator<string> {
  for (const { values } of rows) for (const column of columns) yield values[column]
}

/** Writes many rows at once; `write` gets them as a JSON list of what `list` makes of each, a slice at a time. */
export async function put<T>(
  rows: Iterable<T>,
  list: (row: T, at: number) => readonly unknown[],
  write: (json: string) => PromiseLike<number>,
): Promise<void> {
  let slice: (readonly unknown[])[] = []
  let count = 0
  for (const row of rows) {
    slice.push(list(row, count))
    count += 1
    if (slice.length < SLICE) continue
    await write(JSON.stringify(slice))
    slice = []
  }
  if (slice.length > 0) await write(JSON.stringify(slice))
}

/** Collects the refusals of rows; each row counts once, however much is wrong with it. */
export class Refused {
  readonly list: RowRefusal[] = []

  at(row: { row: number }, column: string, reason: string): void {
    this.list.push({ row: row.row, column, reason })
  }
}

/** A second row of the same thing is refused with the number of the first. True when it is the first. */
export function isFirst(
  seen: Map<string, number>,
  key: string,
  row: { row: number },
  refused: Refused,
  what: string,
): boolean {
  const before = seen.get(key)
  if (before === undefined) seen.set(key, row.row)
  else refused.at(row, '', `names the same ${what} as row ${before}`)
  return before === undefined
}

/** The quantity in minor units, or undefined with a refusal. */
export function quantityOf(
  row: { row: number },
  column: string,
  text: string | undefined,
  unit: StockUnit,
  refused: Refused,
): number | undefined {
  if (text === undefined) return undefined
  const minor = quantityParse(text, unit)
  if (minor !== null) return minor
  const why = unit === 'each' ? 'must be a whole number of pieces' : `must have at most three decimals of a ${unit}`
  refused.at(row, column, `"${text}" ${why}`)
  return undefined
}

export function currencyCheck(
  row: { row: number; values: { currency?: string | undefined } },
  { currency }: ExchangeContext,
  refused: Refused,
): void {
  const named = row.values.currency
  if (named !== undefined && named.toUpperCase() !== currency)
    refused.at(row, 'currency', `is ${named}; the workshop keeps its money in ${currency}`)
}
