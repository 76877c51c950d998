import type { SupersessionLink } from '../catalogue/supersession.ts'
import type { StockUnit } from '../measure/quantity.ts'
import type { PlainDate } from '../service/plain-date.ts'
import type { PlanSold } from './plan-problem.ts'
import type { ShopWinterNeed } from './plan-shop-winter.ts'

/** What a workshop has and wants, by the ids of its rows; all quantities in minor units of the part's stock unit. */
export interface ShopState {
  today: PlainDate
  currency: string
  /** What a machine that stands for a day costs, money minor units. */
  standingDayMinor: number
  parts: ShopPart[]
  needs: ShopNeed[]
  /** What winter plans in force take; of parts at the end of their chain of supersession. */
  winter: ShopWinterNeed[]
  suppliers: ShopSupplier[]
  offers: ShopOffer[]
  kits: { kitId: number; holds: { partId: number; quantity: number }[] }[]
  links: SupersessionLink[]
  alternatives: { wantedPartId: number; usedPartId: number; bothWays: boolean }[]
  byHand: PlanChoice[]
  /** What was left out already. */
  faults: ShopFault[]
}

export interface ShopPart {
  id: number
  number: string
  maker: string
  unit: StockUnit
  /** To use, what is kept for jobs included. */
  onHand: number
  allocated: number
  wantedByJobs: number
  incoming: ShopIncoming[]
  level: { reorderPoint: number; orderUpTo: number } | null
  discontinued: boolean
}

export interface ShopIncoming {
  quantity: number
  on: PlainDate
  /** What stands in a draft comes as if it were sent today. */
  is: 'on order' | 'on the way' | 'in a draft'
  document: string
  orderId: number | null
  draftId: number | null
}

/** What an open job wants of a part beyond what is kept for it. */
export interface ShopNeed {
  id: number
  partId: number
  quantity: number
  jobId: number
  job: number
  machine: string
  needOn: PlainDate | null
  /** 1 first, 2 usual, 3 can wait. */
  priority: number
}

export interface ShopSupplier {
  id: number
  name: string
  /** From order to delivery as it really was, where that is known. */
  leadDays: number
  /** ISO 8601 numbers of weekdays; none: any day. */
  orderDays: number[]
  carriageMinor: number
  carriagePaidFromMinor: number | null
  minimumOrderMinor: number
}

/** An offer in the words of a problem, but for the names of supplier and part. */
export interface ShopOffer extends Omit<PlanSold, 'supplier' | 'id'> {
  supplierId: number
  partId: number
}

/** What a person decided about the plan; it holds until it is undone. */
export interface PlanChoice {
  id: number
  kind: 'quantity' | 'no-offer' | 'no-supplier' | 'budget' | 'no-winter'
  supplierId: number | null
  partId: number | null
  /** Minor units of the part for a quantity, of money for a budget. */
  amount: number | null
}

/** Something on file that the plan could not reckon with, or only by a guess, and what to do about it. */
export interface ShopFault {
  at: string
  why: string
  next: string
  partId?: number
  supplierId?: number
  orderId?: number
  draftId?: number
  jobId?: number
  winterPlanId?: number
}

/** Of a part what stands in a draft that is not sent: counted as coming, so that it is not bought again. Minor units. */
export interface ShopDrafted {
  draftId: number
  part: string
  quantity: number
  on: PlainDate
}

/** A need of a winter plan: of which part how much, minor units, and for which plan and machines. */
export interface ShopWinterName {
  planId: number
  partId: number
  quantity: number
  says: string
}

/** What a name in the problem stands for. */
export interface ShopNames {
  parts: Record<string, number>
  suppliers: Record<string, number>
  offers: Record<string, { supplierId: number; partId: number }>
  jobs: Record<string, number>
  /** Needs of winter plans by their id; left out of plans that were kept before winter plans counted. */
  winters?: Record<string, ShopWinterName>
}
