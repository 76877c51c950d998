import type { StockUnit } from '../measure/quantity.ts'
import type { PriceOn } from '../price/offer-price.ts'
import type { PlanFault } from '../readiness/plan-check.ts'
import type { NeedFacts } from '../replenish/protection.ts'
import type { Looked } from '../service/chance.ts'
import type { PlainDate } from '../service/plain-date.ts'
import type { SupplierTerms } from './money.ts'
import type { SeasonWork } from './season.ts'

/** Something that planned work takes: for certain, or with the chance that past looks at it tell. Minor units of the part. */
export interface Want {
  partId: number
  quantity: number
  /** Key of the thing that is looked at; null where it is renewed in any case. */
  look: string | null
  /** "10 Seal, hub" */
  text: string
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
  looks: { key: string; own: Looked; others: Looked }[]
  /** Quantities set by hand, minor units. */
  byHand: { partId: number; quantity: number }[]
  /** Machines whose running in these months was told by earlier years, and by the year as a whole; null: no failures are foreseen. */
  running: { bySeason: number; byYear: number } | null
  /** What reading the workshop's data already had to say. */
  faults: PlanFault[]
}
