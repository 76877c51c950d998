import type { StockUnit } from '../measure/quantity.ts'
import type { PriceOn } from '../price/offer-price.ts'
import type { PlanFault } from '../readiness/plan-check.ts'
import type { NeedFacts } from '../replenish/protection.ts'
import { chanceRenewed, type Looked } from '../service/chance.ts'
import type { PlainDate } from '../service/plain-date.ts'
import type { WorkHours } from './hours.ts'
import type { SupplierTerms } from './money.ts'
import type { SeasonWork } from './season.ts'

/** Something that planned work takes: for certain, or with the chance that past looks at it tell. Minor units of the part. */
export interface Want {
  partId: number
  quantity: number
  /** Keys of the things that are looked at: needed where any of them is found worn. None: renewed in any case. */
  looks: readonly string[]
  /** "10 Seal, hub" */
  text: string
  /** Why it is taken where no list names it: "goes with 10 Bearing: a seal that was pulled is renewed". */
  goesWith?: string
}

/** Chance that any of the looks of a want finds its thing worn, taken one by one; 1 where it is needed in any case. */
export function wantChance({ looks }: Pick<Want, 'looks'>, chanceOf: (look: string) => number): number {
  return looks.length === 0 ? 1 : 1 - looks.reduce((none, look) => none * (1 - chanceOf(look)), 1)
}

export interface WinterMachineFacts {
  id: number
  fleetNumber: string
  name: string
  /** due: as its services fall due; in: somebody wants all of them done. */
  comes: 'due' | 'in'
  weekOn: PlainDate | null
  services: { name: string; dueOn: PlainDate | null }[]
  wants: Want[]
  /** What its services take of people's time; only where the plan has a calendar. */
  hours?: WorkHours
  /** How much the open job of it that matters most does: 1 first; absent without an open job. */
  priority?: number
}

/** What past looks tell of each thing, as one chance. */
export function looksChances(looks: readonly { key: string; own: Looked; others: Looked }[]): Map<string, number> {
  return new Map(looks.map(({ key, own, others }) => [key, chanceRenewed(own, others)]))
}

/** An open job and what it still lacks: what the shelf keeps for it is not asked for again. */
export interface WinterJobFacts {
  id: number
  number: number
  machineId: number
  fleetNumber: string
  needOn: PlainDate | null
  priority: number
  wants: Want[]
}

export interface WinterPartFacts {
  id: number
  number: string
  maker: string
  description: string
  unit: StockUnit
  /** Usable and kept for nobody; what is left of numbers that it replaces is in it, as far as it serves. */
  free: number
  /** What comes of orders, and of drafts as if they were sent today. */
  onOrder: { quantity: number; date: PlainDate }[]
  /** What of it stands in drafts. */
  drafts: { draftId: number; quantity: number }[]
  offer: {
    supplierId: number
    pack: number
    minimum: number
    /** For one stock unit at what the season takes in all, in the workshop's money; and by quantity, in the supplier's. */
    priceMinor: number
    on: PriceOn
    leadDays: number
    supplierNumber: string | null
    depositMinor: number | null
    /** Others who sell it too, by name. */
    others: string[]
  } | null
  discontinued: string | null
  /** Need of a month that is no planned service, in stock units; null where nothing is foreseen. */
  failures: NeedFacts | null
  /** Of the failures of a year's running, as many as the running of these months makes likely; 1 where that is not known. */
  runningShare: number
}

export interface WinterFacts {
  currency: string
  today: PlainDate
  work: SeasonWork
  machines: WinterMachineFacts[]
  jobs: WinterJobFacts[]
  parts: WinterPartFacts[]
  /** `orderDays` by ISO 8601 numbers. */
  suppliers: { id: number; name: string; leadDays: number; orderDays: number[]; terms: SupplierTerms }[]
  /** `text` names what is looked at: "10 Bearing". */
  looks: { key: string; text: string; own: Looked; others: Looked }[]
  /** Quantities set by hand, minor units. */
  byHand: { partId: number; quantity: number }[]
  /** Machines whose running in these months was told by earlier years, and by the year as a whole; null: no failures are foreseen. */
  running: { bySeason: number; byYear: number } | null
  /** What reading the workshop's data already had to say. */
  faults: PlanFault[]
}
