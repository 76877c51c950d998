import { counted as countedWord } from '../measure/counted.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { must } from '../must.ts'
import { Refusal } from '../refusal.ts'
import type { CountState } from '../stock/count.ts'
import type { CountSheetInput } from '../stock/schema.ts'
import { database } from './client.ts'
import { type CountDueStore, countDue } from './count-due.ts'
import { countKey, ledgerNow, type Moved } from './count-facts.ts'
import { type CountGiven, type CountJudged, type CountOutcome, countsJudge, countsKeep } from './count-keep.ts'
import { type WriteContext, write } from './transaction.ts'

/** Something that moved while a bin was open for counting, for whoever counted to say whether it was before. */
export interface MovedSays {
  id: number
  /** ISO 8601 */
  at: string
  says: string
}

export interface CountedLine {
  binId: number
  partId: number
  /** moved, refused: nothing was kept of this line. */
  state: Exclude<CountState, 'sent-back'> | 'moved' | 'refused'
  /** What is wrong and what to do, for the line. */
  says: string
  moved: MovedSays[]
}

const SAYS: Record<CountedLine['state'], string> = {
  right: '',
  booked: '',
  waiting: '',
  recount: 'the books say otherwise: count it once more',
  reason: 'the books say otherwise: say why, then save again; or correct the count',
  moved: 'something moved here since you began: say whether it was before you counted',
  refused: 'this is no quantity of the part; enter what you counted, 0 when there is none',
}

const HELD_UP = {
  unknown: 'part or bin is no longer there; reload the sheet',
  'other-person': 'a second count is made by somebody else; ask a colleague to count it',
  below: 'more was taken since than you counted; count it once more',
} as const

function movedSays({ id, at, quantity, kind, person, job }: Moved, unit: StockUnit): MovedSays {
  const what = quantityFormat(Math.abs(quantity), unit)
  return { id, at: at.toISOString(), says: `${kind} ${what}, ${person}${job === null ? '' : `, job ${job}`}` }
}

/**
 * Keeps a count sheet line by line and books what needs nothing more; one line holds up no other, and a sheet sent twice under
 * one key is counted once. Blind counting: no answer tells what the books say.
 */
export function countSheetSave(context: WriteContext, lines: CountSheetInput): Promise<CountedLine[]> {
  const first = new Set<string>()
  for (const line of lines) {
    must(!first.has(countKey(line)), 'a sheet has each part of a bin once')
    first.add(countKey(line))
  }
  return write(context, 'count.sheet', lines, async (tx) => {
    const given = lines.flatMap(({ counted, ...line }): CountGiven[] =>
      counted === null ? [] : [{ ...line, counted }],
    )
    const { outcomes, found } = await countsJudge(tx, context.personId, given)
    const judged = outcomes.filter((one): one is CountJudged => 'state' in one)
    await countsKeep(tx, context, judged, found.ledgerId)
    const outcomeOf = new Map(given.map((line, at) => [countKey(line), outcomes[at]!]))
    return lines.map(({ binId, partId }): CountedLine => {
      const at = countKey({ binId, partId })
      const outcome = outcomeOf.get(at)
      return { binId, partId, ...lineAnswer(outcome, found.of.get(at)?.unit ?? 'each') }
    })
  })
}

function lineAnswer(outcome: CountOutcome | undefined, unit: StockUnit): Omit<CountedLine, 'binId' | 'partId'> {
  if (!outcome) return { state: 'refused', says: SAYS.refused, moved: [] }
  if ('state' in outcome) return { state: outcome.state, says: SAYS[outcome.state], moved: [] }
  if (outcome.why === 'moved')
    return { state: 'moved', says: SAYS.moved, moved: outcome.moved.map((one) => movedSays(one, unit)) }
  return { state: 'refused', says: HELD_UP[outcome.why], moved: [] }
}

const STATE_WORDS: Record<CountedLine['state'], string> = {
  right: 'right',
  booked: 'put right',
  waiting: 'waiting for approval',
  recount: 'to count again',
  reason: 'to say why',
  moved: 'moved meanwhile',
  refused: 'not kept',
}

/** One sentence for the sheet as a whole. */
export function countSheetSays(lines: readonly CountedLine[]): string {
  const parts = (Object.keys(STATE_WORDS) as CountedLine['state'][]).flatMap((state) => {
    const many = lines.filter((line) => line.state === state).length
    return many === 0 ? [] : [`${many} ${STATE_WORDS[state]}`]
  })
  return `Counted ${countedWord(lines.length, 'line')}: ${parts.join(', ')}.`
}

export interface SheetLine {
  partId: number
  number: string
  description: string
  unit: StockUnit
  /** What an earlier count of it still asks for; null when none does. */
  asks: CountState | null
}

export interface SheetBin {
  id: number
  code: string
  lines: SheetLine[]
}

export interface CountSheet {
  store: { id: number; name: string }
  /** Number of the last movement when the bins were opened: what moves later is asked about. */
  asOf: number
  bins: SheetBin[]
  /** Place of the first bin of the next sheet in the walk; null on the last one. */
  next: number | null
}

/** A sheet ends with the bin in which it comes to so many lines: it is carried along and saved in one go. */
const WALK_LINES = 60

const withLines = {
  store: true,
  balances: {
    include: { part: { select: { id: true, number: true, numberKey: true, description: true, unit: true } } },
  },
  countLines: {
    where: { followedById: null, state: { in: ['recount', 'reason', 'sent-back'] } },
    select: { partId: true, state: true },
  },
}

function sheetBin(
  bin: {
    id: number
    code: string
    balances: { part: { id: number; number: string; numberKey: string; description: string; unit: string } }[]
    countLines: { partId: number; state: string }[]
  },
  parts?: ReadonlySet<number>,
): SheetBin {
  const asks = new Map(bin.countLines.map(({ partId, state }) => [partId, state as CountState]))
  const lines = bin.balances
    .filter(({ part }) => parts?.has(part.id) ?? true)
    .sort((a, b) => (a.part.numberKey < b.part.numberKey ? -1 : 1))
    .map(({ part: { id, number, description, unit } }) => ({
      partId: id,
      number,
      description,
      unit: unit as StockUnit,
      asks: asks.get(id) ?? null,
    }))
  return { id: bin.id, code: bin.code, lines }
}

/** The sheet of one bin, of everything that lies or lay there. Refuses with 'stock/unknown-bin'. */
export async function countSheetOfBin(binId: number): Promise<CountSheet> {
  const asOf = await ledgerNow(database())
  const bin = await database().bin.findUnique({ where: { id: binId }, include: withLines })
  if (!bin) throw new Refusal('stock/unknown-bin', { bin: binId })
  return { store: { id: bin.store.id, name: bin.store.name }, asOf, bins: [sheetBin(bin)], next: null }
}

/** A part of the walk through a store, from the bin at place `from` on; bins in which nothing ever lay are passed by. */
export async function countSheetOfStore(storeId: number, from: number): Promise<CountSheet | null> {
  const asOf = await ledgerNow(database())
  const store = await database().store.findUnique({ where: { id: storeId } })
  if (!store) return null
  const rows = await database().bin.findMany({
    where: { storeId, balances: { some: {} }, closedAt: null, kind: { not: 'on-the-way' } },
    include: withLines,
    orderBy: [{ walkOrder: 'asc' }, { id: 'asc' }],
    skip: from,
    take: WALK_LINES + 1,
  })
  const bins: SheetBin[] = []
  let lines = 0
  for (const row of rows) {
    if (lines >= WALK_LINES) break
    const bin = sheetBin(row)
    bins.push(bin)
    lines += bin.lines.length
  }
  return {
    store: { id: store.id, name: store.name },
    asOf,
    bins,
    next: bins.length < rows.length ? from + bins.length : null,
  }
}

/** The sheet of what is longest overdue in a store, in walking order; null when there is no such store. */
export async function countSheetOfDue(storeId: number, now: Date): Promise<CountSheet | null> {
  const asOf = await ledgerNow(database())
  const store = await database().store.findUnique({ where: { id: storeId } })
  if (!store) return null
  const due: CountDueStore | undefined = (await countDue(now)).stores.find((one) => one.id === storeId)
  const parts = new Map<number, Set<number>>()
  for (const { binId, partId } of due?.lines ?? []) parts.set(binId, (parts.get(binId) ?? new Set()).add(partId))
  const rows = await database().bin.findMany({
    where: { id: { in: [...parts.keys()] } },
    include: withLines,
    orderBy: [{ walkOrder: 'asc' }, { id: 'asc' }],
  })
  const bins = rows.map((row) => sheetBin(row, parts.get(row.id)))
  return { store: { id: store.id, name: store.name }, asOf, bins, next: null }
}
