import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { orderArrives } from '../readiness/order-day.ts'
import { WEEKDAYS } from '../readiness/plan.ts'
import { daysBetween, type PlainDate } from '../service/plain-date.ts'
import type { WinterFacts, WinterPartFacts } from './facts.ts'

const DAYS_A_MONTH = 365.25 / 12
/** Of what is poured, no less than this share of a litre or kilogram is told apart: its steps would be thousands. */
const POURED_STEP = 0.5

/** Whole packs of a supplier that are one step of what is bought. */
export function packStep(pack: number, unit: StockUnit): number {
  return Math.max(1, Math.ceil((quantityScale(unit) === 1 ? 0 : quantityScale(unit) * POURED_STEP) / pack)) * pack
}

export const weekdayNames = (orderDays: readonly number[]) => orderDays.map((day) => WEEKDAYS[day % 7]!)

/** Names that no two parts share: the number, with its maker where two makers use it. */
export function partNamesOf(parts: readonly WinterPartFacts[]): Map<number, string> {
  const times = new Map<string, number>()
  for (const { number } of parts) times.set(number, (times.get(number) ?? 0) + 1)
  return new Map(
    parts.map(({ id, number, maker }) => [id, times.get(number) === 1 ? number : `${number} (${maker} ${id})`]),
  )
}

/** When what an order of today brings is there, by part; absent where nobody sells it. */
export function arrivalsOf({ parts, suppliers, today }: WinterFacts): Map<number, PlainDate> {
  const byId = new Map(suppliers.map((one) => [one.id, one]))
  return new Map(
    parts.flatMap(({ id, offer, discontinued }) => {
      if (offer === null || discontinued !== null) return []
      return [[id, orderArrives(today, offer.leadDays, weekdayNames(byId.get(offer.supplierId)!.orderDays))] as const]
    }),
  )
}

/**
 * Failures foreseen in the season as readiness reckons with them; null where there are none. Machines that stand count for as much
 * less time as they run less than over the year.
 */
export function failureOf({ failures, unit, runningShare }: WinterPartFacts, months: number) {
  if (failures === null || !(failures.mean > 0)) return null
  const { mean, variance, rateVariance = 0 } = failures
  // Need that comes in takings of s has variance s times its mean.
  const size = Math.max(1, Math.round((variance - rateVariance) / mean))
  const scale = quantityScale(unit)
  const quantity = scale === 1 ? size : Math.max(1, Math.round(size / POURED_STEP)) * scale * POURED_STEP
  const shape = rateVariance > 0 ? mean ** 2 / rateVariance : null
  return {
    rate: (mean * scale) / quantity,
    exposure: months * runningShare,
    quantity,
    ...(shape === null ? {} : { shape: Math.min(1e9, Math.max(1e-3, shape)) }),
  }
}

/** All that may be taken of each part: planned work whatever is found, and the failures that are expected. */
function mayTake({ machines, jobs, parts }: WinterFacts, months: number): Map<number, number> {
  const sums = new Map<number, number>()
  for (const { wants } of [...machines, ...jobs])
    for (const { partId, quantity } of wants) sums.set(partId, (sums.get(partId) ?? 0) + quantity)
  for (const part of parts) {
    const failure = failureOf(part, months)
    if (failure)
      sums.set(part.id, (sums.get(part.id) ?? 0) + Math.ceil(failure.rate * failure.exposure) * failure.quantity)
  }
  return sums
}

/** Days between which the season lies from today on, in months. */
export function monthsLeft({ today, work }: WinterFacts): number {
  const from = today > work.from ? today : work.from
  return Math.max(0, daysBetween(from, work.until) + 1) / DAYS_A_MONTH
}

/** The day on which so many of a part can be there, by what is coming or bought today; null where they are, or never can be. */
export function enoughOn(
  { free, onOrder }: Pick<WinterPartFacts, 'free' | 'onOrder'>,
  needed: number,
  arrives: PlainDate | undefined,
): PlainDate | null {
  if (free >= needed) return null
  const days = arrives === undefined ? [] : [arrives]
  let there = free
  for (const { quantity, date } of onOrder.toSorted((a, b) => (a.date < b.date ? -1 : 1))) {
    there += quantity
    if (there < needed) continue
    days.push(date)
    break
  }
  return days.sort()[0] ?? null
}

/** The day from which each part can be there in plenty; absent where what is there will do, or waiting brings nothing. */
export function plentyFrom(facts: WinterFacts, arrivals: ReadonlyMap<number, PlainDate>): Map<number, PlainDate> {
  const most = mayTake(facts, monthsLeft(facts))
  const from = new Map<number, PlainDate>()
  for (const part of facts.parts) {
    const day = enoughOn(part, most.get(part.id) ?? 0, arrivals.get(part.id))
    if (day !== null) from.set(part.id, day)
  }
  return from
}
