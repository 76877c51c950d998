import { assignmentLeast } from './assignment.ts'
import { itemKey, textError, textKey } from './likeness.ts'
import type { PageTruth, Spot, TrueRow } from './truth.ts'

/** Shares of the picture's diagonal, so that the same miss counts the same at every resolution. */
export const CENTRE_SHARE_MAX = 0.02
export const TIP_SHARE_MAX = 0.03
/** Letters wrong for which a row still counts as nearly right. */
export const NEAR_TEXT_ERROR_MAX = 0.1

/** The part of a reading that is judged; a PageReading is one. */
export interface ReadPage {
  width: number
  height: number
  kind: 'parts-page' | 'no-parts-page'
  callouts: readonly { item: string; x: number; y: number; tips: readonly Spot[] }[]
  rows: readonly TrueRow[]
}

/** Counts, so that pages can be added up and a page with many callouts weighs as many. */
export interface Counts {
  calloutsTrue: number
  calloutsRead: number
  calloutsMatched: number
  /** Leader ends of every true callout, found or not: a number that was missed has lost its leaders too. */
  tipsTrue: number
  tipsFound: number
  /** Read tips of matched callouts, and those of them that lie at a true one. */
  tipsRead: number
  tipsReadRight: number
  rowsTrue: number
  rowsRead: number
  rowsRight: number
  rowsNear: number
  /** Rows with part number and name each in its own column. */
  rowsCellsRight: number
}

export interface PageScore {
  counts: Counts
  /** For each true callout the read one, or -1. */
  matchOf: number[]
  /** For each true callout, for each of its tips: was it found. */
  tipFound: boolean[][]
  /** For each true row the read one, or -1, and how good it is. */
  rowOf: { read: number; grade: RowGrade }[]
  /** Parts page or not, as it is. */
  kindRight: boolean
}

export type RowGrade = 'cells' | 'right' | 'near' | 'wrong' | 'missing'

const FORBIDDEN = 1e9
const distance = (one: Spot, other: Spot): number => Math.hypot(one.x - other.x, one.y - other.y)

/**
 * Judges one reading. A read callout answers for at most one true one: same number, and the centre within 2 % of the
 * diagonal; of all ways to pair them the one with the most pairs and then the least distance counts. A true leader end is
 * found when a read tip of its matched callout lies within 3 %. A row is right when item, quantity and text are; part
 * number and name are compared as one text, because many lists print both in one cell.
 */
export function pageScore(truth: PageTruth, reading: ReadPage | null): PageScore {
  const read = reading === null ? null : inPixelsOf(truth, reading)
  const diagonal = Math.hypot(truth.width, truth.height)
  const callouts = read?.callouts ?? []
  const matchOf = byKey(
    truth.callouts.map(({ item }) => itemKey(item)),
    callouts.map(({ item }) => itemKey(item)),
    (one, other) => {
      const apart = distance(truth.callouts[one]!, callouts[other]!)
      return apart <= CENTRE_SHARE_MAX * diagonal ? apart : FORBIDDEN
    },
  )
  const near = (one: Spot, other: Spot) => distance(one, other) <= TIP_SHARE_MAX * diagonal
  const tipFound = truth.callouts.map(({ tips }, at) => {
    const found = callouts[matchOf[at]!]?.tips ?? []
    return tips.map((tip) => found.some((one) => near(tip, one)))
  })
  let tipsRead = 0
  let tipsReadRight = 0
  matchOf.forEach((match, at) => {
    for (const tip of callouts[match]?.tips ?? []) {
      tipsRead++
      if (truth.callouts[at]!.tips.some((one) => near(tip, one))) tipsReadRight++
    }
  })
  const rows = read?.rows ?? []
  const rowOf = rowsMatched(truth.rows, rows)
  const grades = (...wanted: RowGrade[]) => rowOf.filter(({ grade }) => wanted.includes(grade)).length
  return {
    counts: {
      calloutsTrue: truth.callouts.length,
      calloutsRead: callouts.length,
      calloutsMatched: matchOf.filter((match) => match >= 0).length,
      tipsTrue: tipFound.flat().length,
      tipsFound: tipFound.flat().filter(Boolean).length,
      tipsRead,
      tipsReadRight,
      rowsTrue: truth.rows.length,
      rowsRead: rows.length,
      rowsRight: grades('cells', 'right'),
      rowsNear: grades('cells', 'right', 'near'),
      rowsCellsRight: grades('cells'),
    },
    matchOf,
    tipFound,
    rowOf,
    kindRight: read !== null && (read.kind === 'parts-page') === (truth.callouts.length > 0 || truth.rows.length > 0),
  }
}

/** A reader may work on a copy of another size and say so; its points are brought back to the picture's own pixels. */
export function inPixelsOf(truth: PageTruth, reading: ReadPage): ReadPage {
  const across = truth.width / reading.width
  const down = truth.height / reading.height
  if (across === 1 && down === 1) return reading
  const back = <S extends Spot>(spot: S): S => ({ ...spot, x: spot.x * across, y: spot.y * down })
  return {
    ...reading,
    callouts: reading.callouts.map((callout) => ({ ...back(callout), tips: callout.tips.map(back) })),
  }
}

/** Pairs what carries the same key so that most are paired, at least cost; FORBIDDEN pairs are left apart. */
function byKey(
  truths: readonly string[],
  reads: readonly string[],
  cost: (one: number, other: number) => number,
): number[] {
  const answer = new Array<number>(truths.length).fill(-1)
  for (const key of new Set(truths)) {
    const mine = truths.flatMap((one, at) => (one === key ? [at] : []))
    const theirs = reads.flatMap((one, at) => (one === key ? [at] : []))
    const costs = mine.map((one) => theirs.map((other) => cost(one, other)))
    assignmentLeast(costs).forEach((column, row) => {
      if (column >= 0 && costs[row]![column]! < FORBIDDEN) answer[mine[row]!] = theirs[column]!
    })
  }
  return answer
}

const GRADE_COST: Record<RowGrade, number> = { cells: 0, right: 10, near: 1_000, wrong: 100_000, missing: 0 }

/** Rows of one item may be several (a serial break): they are paired so that most come out right. */
function rowsMatched(truths: readonly TrueRow[], reads: readonly TrueRow[]): { read: number; grade: RowGrade }[] {
  const keys = (rows: readonly TrueRow[]) => rows.map(({ item }) => itemKey(item))
  const match = byKey(keys(truths), keys(reads), (one, other) => {
    const [truth, read] = [truths[one]!, reads[other]!]
    return GRADE_COST[rowGrade(truth, read)] + Math.min(9, textError(whole(truth), whole(read)))
  })
  return match.map((read, at) => ({ read, grade: read < 0 ? 'missing' : rowGrade(truths[at]!, reads[read]!) }))
}

const whole = (row: TrueRow): string => `${row.partNumber} ${row.description}`

/** How well a read row says what the true row says. */
export function rowGrade(truth: TrueRow, read: TrueRow): RowGrade {
  if (itemKey(truth.item) !== itemKey(read.item) || truth.quantity !== read.quantity) return 'wrong'
  if (
    textKey(truth.partNumber) === textKey(read.partNumber) &&
    textKey(truth.description) === textKey(read.description)
  )
    return 'cells'
  const error = textError(whole(truth), whole(read))
  return error === 0 ? 'right' : error <= NEAR_TEXT_ERROR_MAX ? 'near' : 'wrong'
}

export function countsSum(all: readonly Counts[]): Counts {
  const sum: Counts = {
    calloutsTrue: 0,
    calloutsRead: 0,
    calloutsMatched: 0,
    tipsTrue: 0,
    tipsFound: 0,
    tipsRead: 0,
    tipsReadRight: 0,
    rowsTrue: 0,
    rowsRead: 0,
    rowsRight: 0,
    rowsNear: 0,
    rowsCellsRight: 0,
  }
  for (const counts of all) for (const key of Object.keys(sum) as (keyof Counts)[]) sum[key] += counts[key]
  return sum
}

/** Shares 0 to 1; null where there was nothing to find, or nothing was said. */
export interface Shares {
  precision: number | null
  recall: number | null
  tips: number | null
  tipPrecision: number | null
  rows: number | null
  rowsNear: number | null
  rowsCells: number | null
  rowPrecision: number | null
}

export function sharesOf(counts: Counts): Shares {
  const share = (part: number, of: number) => (of === 0 ? null : part / of)
  return {
    precision: share(counts.calloutsMatched, counts.calloutsRead),
    recall: share(counts.calloutsMatched, counts.calloutsTrue),
    tips: share(counts.tipsFound, counts.tipsTrue),
    tipPrecision: share(counts.tipsReadRight, counts.tipsRead),
    rows: share(counts.rowsRight, counts.rowsTrue),
    rowsNear: share(counts.rowsNear, counts.rowsTrue),
    rowsCells: share(counts.rowsCellsRight, counts.rowsTrue),
    rowPrecision: share(counts.rowsRight, counts.rowsRead),
  }
}
