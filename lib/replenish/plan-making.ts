import type { ModelBuilder, Term } from '../solver/model.ts'
import type { NeedGroup } from './plan-cluster.ts'
import { type FactSupplier, isForLevel, type PlanFacts, type Purchase } from './plan-facts.ts'

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
  /** Money for a minor unit of a need that stays open; null where none may. */
  shortCost: number | null
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

/** A piece that a job waits for counts as much as so many on the shelf; common practice, no source. */
export const JOB_BEFORE_LEVEL = 20

/** Columns of what stays open of a group, where that is allowed: of a level first, then of what a job waits for. */
export function shortTerms(
  { facts, builder, shortCost }: Making,
  { needs }: NeedGroup,
  { quantity, isWhole }: { quantity: number; isWhole: boolean },
): Term[] {
  if (shortCost === null) return []
  const ofLevel = needs.reduce((sum, at) => sum + (isForLevel(facts.needs[at]!) ? facts.needs[at]!.quantity : 0), 0)
  const ofJobs = needs.reduce((sum, at) => sum + facts.needs[at]!.quantity, 0) - ofLevel
  const column = (most: number, cost: number): Term => [builder.column(0, Math.min(quantity, most), cost, isWhole), 1]
  return [
    ...(ofLevel > 0 ? [column(ofLevel, shortCost)] : []),
    ...(ofJobs > 0 ? [column(ofJobs, shortCost * JOB_BEFORE_LEVEL)] : []),
  ]
}
