import type { StockUnit } from '../measure/quantity.ts'
import type { WEEKDAYS } from './plan-problem.ts'

/** What the plan is reckoned with, after everything that was wrong has been left out. Parts, suppliers and offers by place. */
export interface PlanFacts {
  currency: string
  today: number
  budget: number | null
  parts: FactPart[]
  needs: FactNeed[]
  suppliers: FactSupplier[]
  offers: FactOffer[]
  /** What a piece of `part` may stand for besides itself: `per` of it for one of `fills`. */
  standIns: StandIn[]
}

export interface FactPart {
  id: string
  unit: StockUnit
  /** Minor units of quantity in a whole stock unit. */
  scale: number
  /** Free from the day on: what lies there from today, what is on order when it comes. */
  stock: { quantity: number; day: number; says: string; inKit: boolean }[]
}

export interface FactNeed {
  id: string
  part: number
  quantity: number
  day: number
  for: {
    job?: string | undefined
    machine?: string | undefined
    service?: string | undefined
    level?: string | undefined
  }
  /** Money for each whole stock unit and day after its date; null where it may not be late. */
  latePerDay: number | null
  /** No alternative fills it and nothing out of a kit. */
  itself: boolean
}

export interface FactSupplier {
  id: string
  leadDays: number
  carriage: number
  paidFrom: number | null
  minimum: number
  orderDays: readonly (typeof WEEKDAYS)[number][] | null
}

export interface FactOffer {
  id: string
  supplier: number
  isKit: boolean
  preferred: boolean
  /** Minor units of quantity in a pack, for the pieces of the offer itself. */
  pack: number
  /** What one pack holds of each part, in minor units. */
  holds: { part: number; quantity: number }[]
  segments: Segment[]
  /** Days on which it can be ordered: each stands for all later ones up to the next. */
  days: number[]
  validUntil: number | null
  /** Packs fixed by hand over all days; null where the plan is free. */
  fixedPacks: number | null
}

/** From `lo` to `hi` packs the line costs fixed + perPack x packs, whole minor units of money. */
export interface Segment {
  lo: number
  hi: number
  fixed: number
  perPack: number
}

export interface StandIn {
  part: number
  fills: number
  per: number
  /** The same where only supersession counts; null where it takes an alternative to get there. */
  perItself: number | null
}

/** So many packs of an offer, ordered on a day. */
export interface Purchase {
  offer: number
  day: number
  packs: number
}

/** Fills the shelf up: comes after everything that a job, a machine or a service waits for. */
export const isForLevel = ({ for: what }: Pick<FactNeed, 'for'>): boolean =>
  what.level !== undefined && what.job === undefined && what.machine === undefined && what.service === undefined

/** What of a part goes for one of a need by stand-in; undefined where it may not. */
export const perFor = (need: Pick<FactNeed, 'itself'>, { per, perItself }: StandIn): number | undefined =>
  need.itself ? (perItself ?? undefined) : per

export const supplyDay = (facts: PlanFacts, { offer, day }: Pick<Purchase, 'offer' | 'day'>): number =>
  day + facts.suppliers[facts.offers[offer]!.supplier]!.leadDays

export const orderKey = (supplier: number, day: number): string => `${supplier}@${day}`
