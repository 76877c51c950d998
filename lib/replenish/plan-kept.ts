import type { PlanAnswer } from './plan-answer.ts'
import type { ShopDrafted, ShopFault, ShopNames } from './plan-shop-state.ts'

/** A plan as it is kept between two looks at it. */
export interface KeptPlan {
  today: string
  answer: PlanAnswer
  names: ShopNames
  faults: ShopFault[]
  /** Left out of plans that were kept before drafts counted. */
  drafted?: ShopDrafted[]
}

/** Seconds that a person may let the solver take. */
export const PLAN_SECONDS = [5, 20, 60] as const
