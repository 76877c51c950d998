import { type SupersessionLink, supersessionResolve } from '../catalogue/supersession.ts'
import type { PlainDate } from '../service/plain-date.ts'
import type { MovementKind } from '../stock/movement.ts'

/** A month as 2026-03. */
export type Month = string

/** planned: taken for a service; failure: for a repair; other: for a machine, a cost centre or a person without a job. */
export type UseKind = 'planned' | 'failure' | 'other'

/** One line of the ledger, of the part or of one that was replaced by it. */
export interface HistoryMovement {
  id: number
  day: PlainDate
  kind: MovementKind
  /** Signed, in the unit of its own part. */
  quantity: number
  /** Pieces of today's part that do the work of one of this. */
  ratio: number
  reversesId: number | null
  jobId: number | null
  jobKind: 'repair' | 'service' | null
  /** Machine, cost centre or person, as one text; null where a job or nothing is named. */
  forWhat: string | null
  /** The bin is one that parts may be taken from. */
  isFree: boolean
}

export interface MonthUse {
  month: Month
  planned: number
  failure: number
  other: number
  /** Some days of the month ended, or it began, with nothing to take: more may have been wanted than was taken. */
  isCensored: boolean
  /** Far above the other months; kept and counted all the same. */
  isOutlier: boolean
}

export interface DemandHistory {
  /** Without a gap, from the month of the first movement to the last whole month. */
  months: MonthUse[]
  /** How many were taken at a time: for one job, or in one movement without a job; in the order in which they began. */
  takings: { month: Month; kind: UseKind; quantity: number }[]
}

export const monthOf = (day: PlainDate): Month => day.slice(0, 7)

/** With fewer months of it than this before the next one begins, a year is not named: there is no room for its number. */
const YEAR_MONTHS_LEAST = 3

/**
 * Where a picture of months names its years: at the first month of each. Example: from 2025-08 to 2026-10, 2025 at 0 and 2026
 * at 5; from 2025-11 on only 2026, at 2.
 */
export function yearMarks(months: readonly Month[]): { at: number; year: string }[] {
  const begins = months.flatMap((month, at) => {
    const year = month.slice(0, 4)
    return at === 0 || months[at - 1]!.slice(0, 4) !== year ? [{ at, year }] : []
  })
  return begins.filter(({ at }, place) => (begins[place + 1]?.at ?? Number.POSITIVE_INFINITY) - at >= YEAR_MONTHS_LEAST)
}

/** Months since year 0 of a month or a day in it. */
const monthNumber = (day: PlainDate | Month) => Number(day.slice(0, 4)) * 12 + Number(day.slice(5, 7)) - 1

/** Names of the months that were asked for, by their number: those of a hundred thousand parts are the same few. */
const NAMES = new Map<number, Month>()
function monthNamed(number: number): Month {
  const known = NAMES.get(number)
  if (known !== undefined) return known
  const name = `${String(Math.floor(number / 12)).padStart(4, '0')}-${String((number % 12) + 1).padStart(2, '0')}`
  NAMES.set(number, name)
  return name
}

/** Months from one to the other, both included; none where the second comes first. */
export function monthsBetween(from: Month, through: Month): Month[] {
  const first = monthNumber(from)
  return Array.from({ length: Math.max(0, monthNumber(through) - first + 1) }, (_, at) => monthNamed(first + at))
}

/** Parts whose need is today the need of this one, itself first, each with the pieces of this one for one of them. */
export function replacedBy(partId: number, links: readonly SupersessionLink[]): { partId: number; ratio: number }[] {
  const older = [...new Set(links.map((link) => link.oldPartId))].filter((id) => id !== partId)
  return [
    { partId, ratio: 1 },
    ...older.flatMap((id) => {
      const { chain } = supersessionResolve(id, links)
      const at = chain.indexOf(partId)
      if (at === -1) return []
      // As far as this part only: what replaces it later has a ratio of its own.
      const way = chain.slice(0, at + 1)
      const upTo = links.filter((link) => way.includes(link.oldPartId) && link.oldPartId !== partId)
      return [{ partId: id, ratio: supersessionResolve(id, upTo).ratio }]
    }),
  ]
}

interface Taking {
  month: Month
  kind: UseKind
  of: string | null
  quantity: number
}

function kindOfUse({ jobId, jobKind }: HistoryMovement): UseKind {
  if (jobId === null) return 'other'
  return jobKind === 'service' ? 'planned' : 'failure'
}

const forOf = ({ jobId, forWhat }: HistoryMovement): string | null => (jobId === null ? forWhat : `job ${jobId}`)

/**
 * What was taken, less what came back. A movement that was reversed never happened, nor did its reversal. What is put back comes
 * off the last takings for the same job or machine, else off the last takings of the part; beyond what was taken it is no use of any
 * kind (an old stock that turned up).
 */
function takingsOf(movements: readonly HistoryMovement[]): Taking[] {
  const reversed = new Set(movements.map((movement) => movement.reversesId))
  const takings: Taking[] = []
  for (const movement of movements) {
    if (reversed.has(movement.id)) continue
    const quantity = Math.abs(movement.quantity) * movement.ratio
    if (movement.kind === 'issue') {
      const of = forOf(movement)
      takings.push({ month: monthOf(movement.day), kind: kindOfUse(movement), of, quantity })
    } else if (movement.kind === 'return') comeBack(takings, forOf(movement), quantity)
  }
  return takings.filter((taking) => taking.quantity > 0)
}

function comeBack(takings: Taking[], of: string | null, quantity: number): void {
  let left = quantity
  const same = of === null ? takings : takings.filter((taking) => taking.of === of)
  for (const taking of same.toReversed()) {
    const back = Math.min(left, taking.quantity)
    taking.quantity -= back
    left -= back
    if (left === 0) return
  }
}

/** By month from the first movement on: whether a day ended, or the month began, with nothing free on hand. */
function emptyMonths(movements: readonly HistoryMovement[], first: number, count: number): boolean[] {
  let days: { day: PlainDate; plus: number }[] = []
  let isSorted = true
  for (const { day, quantity, ratio, isFree } of movements) {
    const plus = isFree ? quantity * ratio : 0
    const last = days.at(-1)
    if (last?.day === day) last.plus += plus
    else {
      if (last && day < last.day) isSorted = false
      days.push({ day, plus })
    }
  }
  if (!isSorted) days = byDay(days)
  const empty: boolean[] = []
  let onHand = 0
  let at = 0
  for (let nth = 0; nth < count; nth++) {
    // The month in which a part comes in for the first time does not begin with a shelf that ran out.
    let isEmpty = nth > 0 && onHand <= 0
    for (let next = days[at]; next && monthNumber(next.day) <= first + nth; next = days[at]) {
      onHand += next.plus
      if (onHand <= 0) isEmpty = true
      at += 1
    }
    empty.push(isEmpty)
  }
  return empty
}

/** What was booked late stands among later days in the ledger. */
function byDay(days: readonly { day: PlainDate; plus: number }[]): { day: PlainDate; plus: number }[] {
  const sums = new Map<PlainDate, number>()
  for (const { day, plus } of days) sums.set(day, (sums.get(day) ?? 0) + plus)
  return [...sums].map(([day, plus]) => ({ day, plus })).sort((a, b) => (a.day < b.day ? -1 : 1))
}

/** The value below which `share` of the sorted values lie, on straight lines between them. */
function quantile(sorted: readonly number[], share: number): number {
  const place = share * (sorted.length - 1)
  const low = sorted[Math.floor(place)] ?? 0
  return low + (place - Math.floor(place)) * ((sorted[Math.ceil(place)] ?? low) - low)
}

/** Months with use that quartiles need. Of two to five, the most is far out where it is so many times the next; common practice, no source. */
const FENCE_MONTHS = 6
const FENCE_TIMES = 10

/**
 * Above this a month is far out: third quartile of the months with use + 3 times the distance of the quartiles (Tukey, Exploratory
 * Data Analysis, 1977; from memory), or + 3 times the median where the months are so alike that one piece more would lie outside.
 * Of two to five months ten times the second; of one nobody knows what is usual, and it is Infinity.
 */
export function outlierFence(quantities: readonly number[]): number {
  const used = quantities.filter((quantity) => quantity > 0).sort((a, b) => a - b)
  if (used.length < FENCE_MONTHS) return FENCE_TIMES * (used.at(-2) ?? Infinity)
  const third = quantile(used, 0.75)
  return third + 3 * Math.max(third - quantile(used, 0.25), quantile(used, 0.5))
}

/**
 * Use of a part by month. `movements` are those of the part and of all that it replaces, in the order of the ledger, from its first
 * line on; counts, moves between bins and scrap change what is on hand and are no use. `through` is the last whole month.
 */
export function demandHistory(movements: readonly HistoryMovement[], through: Month): DemandHistory {
  const first = movements.reduce<PlainDate | null>(
    (least, { day }) => (least === null || day < least ? day : least),
    null,
  )
  if (first === null) return { months: [], takings: [] }
  const months = monthsBetween(monthOf(first), through)
  const begin = monthNumber(first)
  const empty = emptyMonths(movements, begin, months.length)
  const use = months.map(
    (month, at): MonthUse => ({
      month,
      planned: 0,
      failure: 0,
      other: 0,
      isCensored: empty[at]!,
      isOutlier: false,
    }),
  )
  const takings: DemandHistory['takings'] = []
  const ofJob = new Map<string, DemandHistory['takings'][number]>()
  for (const { month, kind, of, quantity } of takingsOf(movements)) {
    const at = use[monthNumber(month) - begin]
    if (!at) continue
    at[kind] += quantity
    // A job that takes two shoes one after the other has taken a pair.
    const job = of?.startsWith('job ') ? of : null
    const before = job === null ? undefined : ofJob.get(job)
    if (before) {
      before.quantity += quantity
      continue
    }
    const taking = { month, kind, quantity }
    takings.push(taking)
    if (job !== null) ofJob.set(job, taking)
  }
  const fence = outlierFence(use.map((one) => one.planned + one.failure + one.other))
  if (fence < Infinity) for (const one of use) one.isOutlier = one.planned + one.failure + one.other > fence
  return { months: use, takings }
}
