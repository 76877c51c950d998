import { must } from '../must.ts'
import { type Step, Steps } from './step.ts'

/** Price of one piece from a quantity on. "From 400" holds at 400 itself. */
export interface PriceBreak {
  from: number
  /** Money for one piece; any one unit of money. */
  price: number
}

/** all-units: the price of the break for every piece; incremental: only for the pieces beyond the break. */
export type BreakKind = 'all-units' | 'incremental'

interface EoqFacts {
  /** Pieces used in a year. */
  demandYear: number
  /** Money that one order costs, whatever is on it: writing it, putting it away. */
  orderCost: number
  /** Money to keep one piece for a year. */
  holdingYear: number
}

/** Ordering and holding a year when `quantity` is ordered each time. `quantity` > 0. Example: 1300 a year, 8, 0.225, by 250: 69.725. */
export function eoqCost(quantity: number, { demandYear, orderCost, holdingYear }: EoqFacts): number {
  return (orderCost * demandYear) / quantity + (holdingYear * quantity) / 2
}

/**
 * Economic order quantity sqrt(2 K D / h): Harris 1913, as in Snyder & Shen, Fundamentals of Supply Chain Theory, section 3.2.
 * 0 where nothing is used or an order costs nothing, Infinity where holding costs nothing. Example: 1000, 10, 0.5 is 200.
 */
export function eoq({ demandYear, orderCost, holdingYear }: EoqFacts): number {
  if (demandYear <= 0 || orderCost <= 0) return 0
  // Roots taken one by one: the product of three large numbers may be beyond a double, their roots are not.
  return holdingYear <= 0 ? Infinity : Math.sqrt(2 * demandYear) * Math.sqrt(orderCost / holdingYear)
}

export interface QuantityFacts {
  demandYear: number
  orderCost: number
  /** Share of its price that a piece costs to keep for a year: 0.2 is 20 %. */
  holdingRate: number
  /** By `from`, lowest first; the first is the price of one piece. */
  breaks: readonly PriceBreak[]
  breakKind: BreakKind
  /** Sold in multiples of this, and at least `minimum`. */
  pack: number
  minimum: number
  /** Years after which a piece is no longer good; null where it keeps. */
  shelfLifeYears: number | null
  /** Kept as safety stock: the new pieces wait behind it, since the oldest are taken first. */
  heldAlready: number
  /** Longest time for which stock is bought, years, however cheap holding is. */
  longestYears: number
}

export interface QuantityAnswer {
  quantity: number
  /** Bracket of the price, counted from 0. */
  bracket: number
  /** What buying, ordering and holding cost in a year at this quantity. */
  costYear: number
  steps: Step[]
  /** True where the smallest order already lasts longer than the shelf life or the longest time. */
  tooMuch: boolean
}

/** Money paid for the pieces of one order. */
export function orderPrice(quantity: number, breaks: readonly PriceBreak[], kind: BreakKind): number {
  const at = bracketAt(quantity, breaks)
  if (kind === 'all-units') return quantity * (breaks[at]?.price ?? 0)
  let sum = 0
  for (let j = 0; j <= at; j++) {
    const upTo = j === at ? quantity : (breaks[j + 1]?.from ?? quantity)
    sum += (upTo - (j === 0 ? 0 : (breaks[j]?.from ?? 0))) * (breaks[j]?.price ?? 0)
  }
  return sum
}

function bracketAt(quantity: number, breaks: readonly PriceBreak[]): number {
  let at = 0
  while (at + 1 < breaks.length && quantity >= (breaks[at + 1]?.from ?? Infinity)) at += 1
  return at
}

/**
 * Buying, ordering and holding a year at `quantity`; a piece is held at what it cost on average, so that incremental discounts
 * hold it at the mean of their prices (Snyder & Shen, sections 3.4.1 and 3.4.2).
 */
export function quantityCost(quantity: number, facts: QuantityFacts): number {
  const paid = orderPrice(quantity, facts.breaks, facts.breakKind)
  return ((paid + facts.orderCost) * facts.demandYear) / quantity + (facts.holdingRate * paid) / 2
}

/** The quantity of a bracket that costs least before rounding: its own square root, kept between its two breaks. */
function bracketBest(j: number, facts: QuantityFacts): number {
  const { breaks, breakKind, demandYear, orderCost, holdingRate } = facts
  const { from = 0, price = 0 } = breaks[j] ?? {}
  const below = j === 0 ? 0 : from
  // Incremental: what the dearer pieces before the break cost beyond this price comes with each order, like a fee.
  const fee = breakKind === 'incremental' && j > 0 ? orderPrice(from, breaks, breakKind) - from * price : 0
  const root = eoq({ demandYear, orderCost: orderCost + fee, holdingYear: holdingRate * price })
  return Math.min(Math.max(root, below), breaks[j + 1]?.from ?? Infinity)
}

function quantityFactsMustHold({ breaks, pack, minimum, longestYears, ...facts }: QuantityFacts): void {
  must(breaks.length > 0, 'an order quantity needs the price of one piece')
  must(
    breaks.every(
      (one, j) => Number.isFinite(one.price) && one.price >= 0 && (j === 0 || one.from > (breaks[j - 1]?.from ?? 0)),
    ),
    'price breaks rise and their prices are not negative',
  )
  must(pack > 0 && minimum >= 0 && longestYears > 0, 'pack and longest time are more than nothing')
  for (const value of [facts.demandYear, facts.orderCost, facts.holdingRate, facts.heldAlready])
    must(Number.isFinite(value) && value >= 0, 'use, costs and stock are numbers from 0')
}

/**
 * How many to order at a time: of all whole packs from the minimum on, the number that costs least over a year in buying,
 * ordering and holding, no more than keeps and no more than is used in `longestYears`. Cost falls and then rises within a
 * bracket, so the two packs beside its root and those at its ends are all that can win.
 */
export function orderQuantity(facts: QuantityFacts): QuantityAnswer {
  quantityFactsMustHold(facts)
  const { breaks, pack, minimum, demandYear, longestYears, shelfLifeYears, heldAlready } = facts
  const smallest = Math.max(1, Math.ceil(minimum / pack)) * pack
  const keeps = shelfLifeYears === null ? Infinity : Math.max(0, demandYear * shelfLifeYears - heldAlready)
  const bought = demandYear * longestYears
  const most = Math.max(smallest, Math.floor(Math.min(keeps, bought) / pack) * pack)
  const packs = (quantity: number) => [Math.floor(quantity / pack) * pack, Math.ceil(quantity / pack) * pack]
  const wanted = breaks.map((_, j) => bracketBest(j, facts))
  let best = smallest
  if (demandYear > 0)
    for (const quantity of [...wanted, most].flatMap((one) => packs(Math.min(one, most)))) {
      if (quantity < smallest || quantity > most) continue
      const gain = quantityCost(best, facts) - quantityCost(quantity, facts)
      // Of two that cost the same the smaller: less to carry, less that can spoil.
      if (gain > 0 || (gain === 0 && quantity < best)) best = quantity
    }
  const bracket = bracketAt(best, breaks)
  return {
    quantity: best,
    bracket,
    costYear: demandYear > 0 ? quantityCost(best, facts) : 0,
    steps: quantitySteps(facts, { best, bracket, wanted, keeps, bought }),
    tooMuch: smallest > Math.min(keeps, bought),
  }
}

interface Found {
  best: number
  bracket: number
  wanted: readonly number[]
  keeps: number
  bought: number
}

/** The rules that were felt, in the order in which a storekeeper would apply them; they end at the answer. */
function quantitySteps(facts: QuantityFacts, { best, bracket, wanted, keeps, bought }: Found): Step[] {
  const steps = new Steps()
  if (facts.demandYear <= 0) {
    steps.begin('no-use', facts.pack)
    steps.to('minimum', Math.max(facts.pack, facts.minimum))
    steps.to('pack', best)
    return steps.list
  }
  const plain = Math.min(eoq({ ...facts, holdingYear: facts.holdingRate * (facts.breaks[0]?.price ?? 0) }), bought)
  let at = steps.begin('square-root', plain)
  if (bracket > 0) at = steps.to('price-break', wanted[bracket] ?? at)
  if (at > bought) at = steps.to('longest-time', bought)
  if (at > keeps) at = steps.to('shelf-life', keeps)
  if (at < facts.minimum) steps.to('minimum', facts.minimum)
  steps.to('pack', best)
  return steps.list
}
