import type { DemandHistory } from '../demand/history.ts'
import { type BaseLearned, installedBaseLearn } from '../demand/installed-base.ts'
import type { PartHistory } from '../demand/method.ts'
import { monthsTold, takenIn } from '../demand/told.ts'
import { needOf } from './part-level.ts'
import type { Forecast } from './proposal.ts'
import type { NeedFacts } from './protection.ts'

/** What is asked of a part's past: use in stock units and piece-hours, of the months that tell of need, the oldest first. */
interface Past {
  quantities: number[]
  /** Absent where it is in no parts list of a machine that ran. */
  exposure?: number[]
}

/** A part as the reckoning of all of them sees it, small enough for all to be held at once. */
export interface PartPast {
  partId: number
  partClass: string
  withPlanned: Past
  /** Null where no service ever took one: then it is the same. */
  withoutPlanned: Past | null
  /** Machines that have it; it was never taken. Null for a part with a past. */
  newOn: number | null
  takings: number[]
  /** Pieces at one place of a parts list, minor units; null where no list has it. */
  perPlace: number | null
  scale: number
}

/** What the parts lists and the meters say of a part. */
export interface PartFleet {
  /** Piece-hours of all months up to the last whole one, at least a year of them, the newest last. */
  hours: readonly number[]
  machines: number
  perPlace: number | null
  /** Months of `hours` since a parts list has it: so long it could have been asked for. */
  monthsListed: number
}

/** Months whose running says how much a part that has no past is used from now on: a whole year, since seasons differ. */
const YEAR = 12

/** Months without demand, the same ones for all parts that were never taken: most of a large catalogue. */
const ZEROS: number[][] = []
const zeros = (length: number): number[] => (ZEROS[length] ??= Array.from({ length }, () => 0))

/**
 * The past of one part. A part that never moved could be asked for as long as a parts list has it. Null where nothing can be
 * foreseen: never taken, and no machine that runs has it, or it is poured, of which nobody knows how much is taken at a time.
 */
export function partPast(
  part: { partId: number; partClass: string; scale: number },
  { months, takings }: DemandHistory,
  { hours, machines, perPlace, monthsListed }: PartFleet,
): PartPast | null {
  const isUsed = months.some((month) => month.planned + month.failure + month.other > 0)
  if (!isUsed && part.scale !== 1) return null
  if (months.length === 0) {
    const year = hours.slice(-YEAR)
    const ahead = year.reduce((sum, one) => sum + one, 0) / Math.max(1, year.length)
    if (!(ahead > 0)) return null
    const listed = monthsListed > 0 ? hours.slice(-monthsListed) : []
    // Of a list that came this month nothing is known but that its machines run.
    const exposure = listed.some((one) => one > 0) ? listed : [ahead]
    const withPlanned: Past = { quantities: zeros(exposure.length), exposure }
    return { ...part, withPlanned, withoutPlanned: null, newOn: machines, takings: [], perPlace }
  }
  const own = hours.slice(-months.length)
  const past = (withPlanned: boolean): Past => {
    const told = monthsTold(months, withPlanned)
    const quantities: number[] = []
    const exposure: number[] = []
    let isRun = false
    for (const [at, month] of months.entries()) {
      if (!told[at]) continue
      const ran = own[at] ?? 0
      quantities.push(takenIn(month, withPlanned) / part.scale)
      exposure.push(ran)
      if (ran > 0) isRun = true
    }
    return isRun ? { quantities, exposure } : { quantities }
  }
  const isServed = months.some((month) => month.planned > 0)
  return {
    ...part,
    withPlanned: past(true),
    withoutPlanned: isServed ? past(false) : null,
    newOn: isUsed ? null : machines,
    takings: takings.map((taking) => taking.quantity),
    perPlace,
  }
}

/**
 * Need of a part of which too little was taken to know how many at a time: as many as the parts list has at one place, whenever it is
 * asked for. The chance b of a month with demand, and that of two such months P2, follow from those of quiet ones; two months hang
 * together by P2 - b^2, which is the spread of the rate.
 */
function needBySize(quietIn: (months: number) => number, size: number): NeedFacts {
  const b = 1 - quietIn(1)
  const quietTwice = quietIn(2)
  const rateVariance = Math.max(0, quietTwice - 1 + 2 * b - b * b)
  return {
    mean: b * size,
    variance: Math.max(0, b - b * b - rateVariance) * size * size,
    rateVariance: rateVariance * size * size,
  }
}

/** Takings that tell how many are taken at a time; common practice, no source. */
const TAKINGS_TELL = 3

function partNeed(
  { takings, perPlace, scale }: PartPast,
  history: PartHistory,
  { rateOf, outlookOf }: BaseLearned,
): NeedFacts {
  const isTold = takings.length >= TAKINGS_TELL || (takings.length > 0 && perPlace === null) || scale !== 1
  if (isTold) return needOf(outlookOf(history))
  // At least a piece is taken at a time, so how many tells nothing of whether any is.
  const rate = rateOf(history)
  return needBySize((months) => rate.quietIn(months), perPlace ?? 1)
}

/**
 * Needs of the parts that are asked about; all of them teach. Parts counted against hours and parts counted by the month have rates
 * that cannot be compared: each kind learns from its own.
 */
function needsOf(
  pasts: readonly { part: PartPast; past: Past }[],
  isAsked: (part: PartPast) => boolean,
): (NeedFacts | undefined)[] {
  const needs: (NeedFacts | undefined)[] = []
  for (const isByHours of [true, false]) {
    const places = pasts.flatMap(({ past }, at) => ((past.exposure !== undefined) === isByHours ? [at] : []))
    const parts = places.map((at): PartHistory => {
      const { part, past } = pasts[at]!
      return { id: String(part.partId), partClass: part.partClass, ...past }
    })
    if (parts.length === 0) continue
    const learned = installedBaseLearn(parts)
    // An outlook remembers what it was asked: of a hundred thousand parts too much to keep, so none is.
    for (const [nth, at] of places.entries())
      if (isAsked(pasts[at]!.part)) needs[at] = partNeed(pasts[at]!.part, parts[nth]!, learned)
  }
  return needs
}

/**
 * Forecasts of all parts at once, each learning from the others of its class. In the order of `pasts`. A part that no service ever
 * took is foreseen once: without services its past is the same.
 */
export function allForecasts(pasts: readonly PartPast[]): Forecast[] {
  const of = (past: (part: PartPast) => Past, isAsked: (part: PartPast) => boolean) =>
    needsOf(
      pasts.map((part) => ({ part, past: past(part) })),
      isAsked,
    )
  const withPlanned = of(
    (part) => part.withPlanned,
    () => true,
  )
  const isServed = (part: PartPast) => part.withoutPlanned !== null
  const withoutPlanned = pasts.some(isServed) ? of((part) => part.withoutPlanned ?? part.withPlanned, isServed) : []
  return pasts.map(({ partClass, newOn }, at) => ({
    withPlanned: withPlanned[at]!,
    withoutPlanned: withoutPlanned[at] ?? withPlanned[at]!,
    newOf: newOn === null ? null : { partClass, machines: newOn },
  }))
}

/** What was seen of a class: how often its parts were asked for in the hours that they ran. Kept with the reckoning. */
export interface ClassRate {
  partClass: string
  parts: number
  /** Months with demand of all its parts. */
  asked: number
  /** Piece-hours over all its parts and months; 0 where none is on a machine that ran. */
  hours: number
}

export function classRates(pasts: readonly PartPast[]): ClassRate[] {
  const rates = new Map<string, ClassRate>()
  for (const { partClass, withPlanned } of pasts) {
    const { quantities, exposure } = withPlanned
    const rate = rates.get(partClass) ?? { partClass, parts: 0, asked: 0, hours: 0 }
    rate.parts += 1
    if (exposure) {
      rate.asked += quantities.filter((quantity) => quantity > 0).length
      rate.hours += exposure.reduce((sum, one) => sum + one, 0)
    }
    rates.set(partClass, rate)
  }
  return [...rates.values()].sort((a, b) => (a.partClass < b.partClass ? -1 : 1))
}
