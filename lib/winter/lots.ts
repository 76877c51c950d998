import type { LevelSettings } from '../replenish/level-settings.ts'
import { lotsCut, sumsOf } from '../replenish/lot.ts'
import { daysBetween, type PlainDate } from '../service/plain-date.ts'
import { type BuyGroup, buyGroup } from './buy-list.ts'
import { orderCosts, partAmount, type SupplierTerms } from './money.ts'

/** What placing an order costs, and keeping goods for a year in per cent of their price. */
export type LotSettings = Pick<LevelSettings, 'orderCostMinor' | 'holdingPercent'>

/** Goods that have to be ordered by a day: in the supplier's money, by which carriage goes, and in the workshop's. Minor units. */
export interface LotNeed {
  on: PlainDate
  amount: number
  valueMinor: number
}

export interface LotChoice {
  /** The need that each lot begins with. */
  starts: number[]
  /** Cost of the orders, their carriage and of having goods before their day; parts of a minor unit. The goods themselves are not in it. */
  costMinor: number
  /** The same where all is ordered at once, and what of it is for having goods before their day. */
  onceMinor: number
  tiedMinor: number
}

const DAYS_A_YEAR = 365

/**
 * Whether a list is ordered cheaper in several lots than at once: `needs` by day, the first one first, each ordered in one piece.
 * A lot is ordered on the day of its first need and lasts until the next lot, so nothing is ordered after its day.
 *
 * With carriage that never changes this is the problem of Wagner & Whitin, Dynamic version of the economic lot size model,
 * Management Science 5 (1958). Here a lot costs what it really would: carriage falls away above a threshold, and a lot below the
 * least order of the supplier is none, unless it is all there is. So the same programme goes over the costs of whole lots
 * (`lotsCut`): exact among all ways in which nothing that is needed earlier is ordered later. To fill a threshold with something
 * picked from a later lot is not looked at. The rule of Silver & Meal (1973) would gain nothing: the exact way takes no time, and
 * the rule knows no threshold.
 */
export function lotsCheapest(needs: readonly LotNeed[], terms: SupplierTerms, settings: LotSettings): LotChoice {
  const first = needs[0]!.on
  const days = needs.map(({ on }) => daysBetween(first, on))
  const aDay = settings.holdingPercent / 100 / DAYS_A_YEAR
  const amounts = sumsOf(needs.map(({ amount }) => amount))
  const values = sumsOf(needs.map(({ valueMinor }) => valueMinor))
  const valueDays = sumsOf(needs.map(({ valueMinor }, at) => valueMinor * days[at]!))
  const last = needs.length - 1
  const tied = (from: number, to: number) =>
    aDay * (valueDays[to + 1]! - valueDays[from]! - days[from]! * (values[to + 1]! - values[from]!))
  const costOf = (from: number, to: number) => {
    const { carriageMinor, missingMinor } = orderCosts(amounts[to + 1]! - amounts[from]!, terms)
    if (missingMinor > 0 && (from > 0 || to < last)) return Number.POSITIVE_INFINITY
    return settings.orderCostMinor + carriageMinor + tied(from, to)
  }
  const { starts, bestTo } = lotsCut(needs.length, costOf)
  return { starts, costMinor: bestTo[last]!, onceMinor: costOf(0, last), tiedMinor: tied(0, last) }
}

/** One of several orders into which the list of a supplier is parted. */
export interface OrderLot extends BuyGroup {
  /** The day on which it is ordered at the latest: an order day of the supplier. */
  on: PlainDate
  /** The first day on which something of it is needed. */
  neededOn: PlainDate
}

export interface OrderLots {
  /** One where all at once is as good as anything. */
  lots: OrderLot[]
  /** What they cost less than all at once, and what money tied up costs where all is ordered at once; whole minor units. */
  savingMinor: number
  tiedMinor: number
}

/** Below a pound nobody places two orders; common practice, no source. */
const SAVING_LEAST = 100

/**
 * Into how many orders the list of a supplier is best parted; null where all of it has to be ordered by the same day, or is too
 * small for the supplier as it is. A line is not parted: it has its price and packs, and is there when its first job may need it,
 * so the chances of the plan stay as they are. What is late is ordered on the next order day.
 */
export function orderLots(group: BuyGroup, settings: LotSettings): OrderLots | null {
  const { supplier, lines, missingMinor } = group
  const dayOf = ({ part }: BuyGroup['lines'][number]) => [part.lastDay, supplier.nextOrderOn].sort().at(-1)!
  const days = [...new Set(lines.map(dayOf))].sort()
  if (days.length < 2 || missingMinor > 0) return null
  const at = new Map(days.map((day, index) => [day, index]))
  const needs = days.map((on): LotNeed => ({ on, amount: 0, valueMinor: 0 }))
  for (const line of lines) {
    const need = needs[at.get(dayOf(line))!]!
    need.amount += partAmount(line.part, line.quantity)
    need.valueMinor += line.costMinor
  }
  const { starts, costMinor, onceMinor, tiedMinor } = lotsCheapest(needs, supplier.terms, settings)
  const savingMinor = Math.floor(onceMinor - costMinor)
  const isWorth = savingMinor >= SAVING_LEAST
  const lots = (isWorth ? starts : [0]).map((start, lot, all): OrderLot => {
    const [on, until] = [days[start]!, days[all[lot + 1] ?? days.length]]
    const own = lines.filter((line) => dayOf(line) >= on && (until === undefined || dayOf(line) < until))
    return { ...buyGroup(supplier, own), on, neededOn: own.map(({ part }) => part.neededOn).sort()[0]! }
  })
  return { lots, savingMinor: isWorth ? savingMinor : 0, tiedMinor: Math.round(tiedMinor) }
}

/** The day of the order in which each line goes, by part; none where there is one order. */
export function lotDays(orderLots: OrderLots | undefined): Map<number, PlainDate> {
  const lots = orderLots === undefined || orderLots.lots.length === 1 ? [] : orderLots.lots
  return new Map(lots.flatMap(({ on, lines }) => lines.map(({ part }) => [part.partId, on] as const)))
}

/** Into how many orders those of a list are best parted, by supplier. */
export function listLots(groups: readonly BuyGroup[], settings: LotSettings): Map<number, OrderLots> {
  return new Map(
    groups.flatMap((group) => {
      const lots = orderLots(group, settings)
      return lots === null ? [] : [[group.supplier.id, lots] as const]
    }),
  )
}

/** What of a list is ordered now. */
export interface Press {
  groups: BuyGroup[]
  /** Goods and carriage of what is left for later. */
  leftMinor: number
}

/**
 * A list without what is left for later: whole orders below the least of their supplier (`later`), and of some orders all but the
 * first lot (`firstOnly`); by supplier. What needs it no longer, since the list has changed, is not left.
 */
export function pressOf(
  groups: readonly BuyGroup[],
  lots: ReadonlyMap<number, OrderLots>,
  { later, firstOnly }: { later: ReadonlySet<number>; firstOnly: ReadonlySet<number> },
): Press {
  const left: BuyGroup[] = []
  const pressed: BuyGroup[] = []
  for (const group of groups) {
    const { id } = group.supplier
    const [first, ...rest] = firstOnly.has(id) ? (lots.get(id)?.lots ?? []) : []
    if (group.missingMinor > 0 && later.has(id)) left.push(group)
    else pressed.push(first ?? group)
    left.push(...rest)
  }
  return {
    groups: pressed,
    leftMinor: left.reduce((sum, { goodsMinor, carriageMinor }) => sum + goodsMinor + carriageMinor, 0),
  }
}
