import type { ModelBuilder, Term } from '../solver/model.ts'
import { groupShares, type NeedGroup } from './plan-cluster.ts'
import type { FactSupplier, PlanFacts, Purchase } from './plan-facts.ts'

/** One order: a supplier on a day. Yes or no columns for whether it is placed and whether its carriage is paid by the supplier. */
export interface OrderVars {
  supplier: number
  day: number
  placed: number | null
  waived: number | null
  goods: Term[]
}

export interface PurchaseVars {
  offer: number
  day: number
  packs: Term[]
}

/** What the parts add to while a model is made. */
export interface Making {
  facts: PlanFacts
  builder: ModelBuilder
  orderOf: (offer: number, day: number) => OrderVars
  purchases: PurchaseVars[]
  /** What may stay open; null where nothing may. */
  short: ShortVars[] | null
  /** Ways of one part, of which a plan takes one. */
  choices: Choice[]
  /** Parts of which the way is settled. */
  settled: ReadonlyMap<number, Pick<Purchase, 'offer' | 'day'>>
}

export interface Choice {
  part: number
  columns: number[]
  /** Offer and day of those columns that are one offer alone. */
  alone: ReadonlyMap<number, Pick<Purchase, 'offer' | 'day'>>
}

/** Packs beyond what covers the need that can ever pay: as many as lift the order over its carriage or its minimum. */
export function packsExtra(supplier: FactSupplier, perPack: number): number {
  if (perPack <= 0) return 0
  const forCarriage = supplier.paidFrom === null ? 0 : Math.floor(supplier.carriage / perPack)
  return forCarriage + Math.ceil(supplier.minimum / perPack)
}

/** A column of what stays open of a group. */
export interface ShortVars {
  column: number
  isLevel: boolean
  /** Share of a need for each minor unit. */
  share: number
}

/** Columns of what stays open of a group, where that is allowed: of its levels, and of what jobs and the like wait for. */
export function shortTerms(
  { facts, builder, short }: Pick<Making, 'facts' | 'builder' | 'short'>,
  group: NeedGroup,
  { quantity, isWhole }: { quantity: number; isWhole: boolean },
): Term[] {
  if (short === null) return []
  return groupShares(facts, group).map(({ isLevel, most, share }) => {
    const column = builder.column(0, Math.min(quantity, most), 0, isWhole)
    short.push({ column, isLevel, share })
    return [column, 1]
  })
}

/** A need counts so much in a goal, so that what the solver takes for no difference is no part of a need. */
const NEED_COUNTS = 1e5

/** First the least open of what jobs and the like wait for, then of levels. */
export const shortGoals = (short: readonly ShortVars[]): Term[][] =>
  [false, true].map((ofLevel) =>
    short.flatMap(({ column, isLevel, share }) => (isLevel === ofLevel ? [[column, share * NEED_COUNTS]] : [])),
  )
