import { createHash } from 'node:crypto'
import { type Checked, type RowRefusal, type TableOpen, tableBody, tableCheck } from '../exchange/check.ts'
import type { Kind } from '../exchange/columns.ts'
import type { ByHand } from '../exchange/match.ts'
import { tableRows } from '../exchange/read.ts'
import { refusedCsv } from '../exchange/refused.ts'
import { counted } from '../measure/counted.ts'
import type { Moves } from '../price/moves.ts'
import { Refusal } from '../refusal.ts'
import { settingsRead } from '../settings.ts'
import { database, type Tx } from './client.ts'
import { commandLinePerson } from './command-line.ts'
import { alternativesPlan } from './exchange-alternatives.ts'
import { countsPlan } from './exchange-counts.ts'
import { kitsPlan, supersessionsPlan } from './exchange-links.ts'
import { listsPlan } from './exchange-lists.ts'
import { machinesPlan } from './exchange-machines.ts'
import { partsPlan } from './exchange-parts.ts'
import { pricesPlan } from './exchange-prices.ts'
import type { Counts, ExchangeContext, ExchangePlan, Planner, Reader } from './exchange-rows.ts'
import { stockPlan } from './exchange-stock.ts'
import { suppliersPlan } from './exchange-suppliers.ts'
import { type WriteContext, write } from './transaction.ts'

export interface ExchangeInput {
  kind: Kind
  bytes: Uint8Array
  /** Name of the file, for answers and reasons. */
  file: string
  /** Columns that a person matched; the others are matched by their headers. */
  byHand?: ByHand
  /**
   * So many rows are taken and the others left, as the person saw it in the rehearsal; left out: all or nothing. Only for kinds
   * whose plan says how many (`rightRows`).
   */
  rightRows?: number
}

export interface ExchangeDone {
  rows: number
  counts: Counts
  made: Record<string, number>
  /** Headers that stand for no column. */
  unused: string[]
  /** Rows that were left out, since they cannot be taken; left out where there are none. */
  left?: number
}

/** What a rehearsal answers: what would be done, and every row that stands in the way. */
export interface ExchangeRehearsed extends ExchangeDone {
  refusals: RowRefusal[]
  /** What prices become dearer or cheaper; of price lists without a refusal. */
  moves?: Moves
  /** Number of rows refused; a row may have several faults. */
  refusedRows: number
  /** Rows that can be taken without those; left out where the file comes in as a whole or not at all. */
  rightRows?: number
  /** The refused rows as CSV to mend, with why beside each; empty when none is refused. */
  refusedFile: string
}

const PLANNERS: { readonly [K in Kind]: Planner<K> } = {
  parts: partsPlan,
  'parts-lists': listsPlan,
  supersessions: supersessionsPlan,
  kits: kitsPlan,
  alternatives: alternativesPlan,
  stock: stockPlan,
  counts: countsPlan,
  suppliers: suppliersPlan,
  prices: pricesPlan,
  machines: machinesPlan,
}

/** Half an hour: a file of the largest size on a slow disk. Others wait their turn or are asked to try again. */
const TRANSACTION_MS = 1_800_000
export const FAULTS_SHOWN = 400

type Progress = (says: string) => void

const opener =
  ({ bytes, file }: ExchangeInput): TableOpen =>
  () =>
    tableRows(bytes, file)

function checkedOf<K extends Kind>(kind: K, input: ExchangeInput, progress: Progress): Promise<Checked<K>> {
  progress('Reading the file')
  return tableCheck(kind, opener(input), input.byHand ?? {}, input.file)
}

function planOf<K extends Kind>(checked: Checked<K>, reader: Reader, context: ExchangeContext): Promise<ExchangePlan> {
  return PLANNERS[checked.kind](reader, checked.rows, context)
}

function contextOf<K extends Kind>(
  context: WriteContext,
  file: string,
  { columns, broken }: Checked<K>,
): ExchangeContext {
  return { write: context, currency: settingsRead().currency, file, columns: new Set(columns), broken }
}

function byRow(a: RowRefusal, b: RowRefusal): number {
  return a.row - b.row
}

/** Reads and checks the whole file against the workshop and writes nothing. */
export async function exchangeRehearse(
  context: WriteContext,
  input: ExchangeInput,
  progress: Progress = () => {},
): Promise<ExchangeRehearsed> {
  const checked = await checkedOf(input.kind, input, progress)
  progress(`Checking ${counted(checked.count, 'row')}`)
  const plan = await planOf(checked, database(), contextOf(context, input.file, checked))
  const refusals = [...checked.refusals, ...plan.refusals].sort(byRow)
  return {
    rows: checked.count,
    counts: plan.counts,
    made: plan.made,
    unused: checked.unused,
    ...(plan.moves ? { moves: plan.moves } : {}),
    ...(plan.rightRows === undefined || refusals.length === 0 ? {} : { rightRows: plan.rightRows }),
    refusals,
    refusedRows: new Set(refusals.map((refusal) => refusal.row)).size,
    refusedFile: await refusedCsv(opener(input), refusals, input.file),
  }
}

/**
 * Brings a file in, all of it or nothing, in one transaction under one key. The same key with the same file is one import;
 * the same file under another key finds everything as it is. The file is read and checked before the transaction begins; in
 * it, the rows are held against the workshop once more and written, two thousand a statement.
 * Refuses with 'exchange/refused' and each row, column and reason, and with the refusals of reading. Where `rightRows` says so, only
 * the rows that can be taken are; refuses with 'exchange/other-rows' where those are no longer as many.
 */
export async function exchangeImport(
  context: WriteContext,
  input: ExchangeInput,
  progress: Progress = () => {},
): Promise<ExchangeDone> {
  const checked = await checkedOf(input.kind, input, progress)
  const { rightRows } = input
  if (checked.refusals.length > 0 && rightRows === undefined) {
    // What cannot be read does not hide what the workshop says to the other rows: all of it is mended in one go.
    const plan = await planOf(checked, database(), contextOf(context, input.file, checked))
    throw refusedOf([...checked.refusals, ...plan.refusals], input.file)
  }
  const digest = createHash('sha256').update(input.bytes).digest('hex')
  const content = {
    ...{ kind: input.kind, digest, byHand: input.byHand ?? {} },
    ...(rightRows === undefined ? {} : { rightRows }),
  }
  progress(`Bringing in ${counted(rightRows ?? checked.rows.length, 'row')}`)
  return write(context, 'exchange.import', content, (tx) => place(tx, context, checked, input), {
    timeoutMs: TRANSACTION_MS,
  })
}

async function place<K extends Kind>(
  tx: Tx,
  context: WriteContext,
  checked: Checked<K>,
  { file, rightRows }: ExchangeInput,
): Promise<ExchangeDone> {
  await commandLinePerson(tx, context)
  const plan = await planOf(checked, tx, contextOf(context, file, checked))
  const refusals = [...checked.refusals, ...plan.refusals]
  const takesRight = rightRows !== undefined && plan.rightRows !== undefined
  if (refusals.length > 0 && !takesRight) throw refusedOf(refusals, file)
  if (takesRight && plan.rightRows !== rightRows)
    throw new Refusal('exchange/other-rows', { file, now: plan.rightRows ?? 0, then: rightRows })
  await plan.write(tx)
  const left = checked.count - (plan.rightRows ?? checked.count)
  return {
    ...{ rows: checked.count, counts: plan.counts, made: plan.made, unused: checked.unused },
    ...(left > 0 ? { left } : {}),
  }
}

export function refusalSays({ row, column, reason }: RowRefusal): string {
  return `row ${row}${column === '' ? '' : `, ${column}`}: ${reason}`
}

function refusedOf(refusals: readonly RowRefusal[], file: string): Refusal {
  const rows = new Set(refusals.map((refusal) => refusal.row)).size
  const faults = [...refusals].sort(byRow).slice(0, FAULTS_SHOWN).map(refusalSays)
  if (refusals.length > FAULTS_SHOWN) faults.push(`and ${refusals.length - FAULTS_SHOWN} more`)
  return new Refusal('exchange/refused', { count: rows, file }, { faults })
}

export interface ExchangeLook {
  header: string[]
  /** The first rows below the header, as they stand. */
  head: string[][]
  rows: number
}

const HEAD_ROWS = 20

/** Header and first rows, for a person to match the columns. */
export async function exchangeLook(bytes: Uint8Array, file: string): Promise<ExchangeLook> {
  const look: ExchangeLook = { header: [], head: [], rows: 0 }
  for await (const { header, row } of tableBody(tableRows(bytes, file), file)) {
    look.header = header
    look.rows += 1
    if (look.head.length < HEAD_ROWS) look.head.push(row.cells)
  }
  return look
}
