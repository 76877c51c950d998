import type { BuyPart, BuySupplier } from '@/lib/winter/buy-list.ts'
import type { ChoiceCurve } from '@/lib/winter/choice.ts'
import type { SureWait } from '@/lib/winter/late.ts'
import type { LotSettings } from '@/lib/winter/lots.ts'
import type { BudgetWatch } from '@/lib/winter/overdrawn.ts'

/** What the server reckoned, and what the person may do with it. */
export interface ChooserProps {
  planId: number
  planName: string
  workshop: string | null
  today: string
  curve: ChoiceCurve
  /** Machines that wait whatever is bought: the curve speaks of the others. */
  waits: readonly SureWait[]
  parts: readonly BuyPart[]
  suppliers: readonly BuySupplier[]
  currency: string
  budgetMinor: number
  ordersMade: number
  /** What of the budget is bound already: in orders of the plan, and in its drafts. */
  orderedMinor: number
  draftedMinor: number
  /** Budgets of cost centres; null where none is kept. */
  watch: BudgetWatch | null
  /** By what ordering in several goes is weighed. */
  lotSettings: LotSettings
  /** Up to what goods of an order whoever looks approves; null: any. */
  limitMinor: number | null
  formKeys: { budget: string; order: string }
  mayPlan: boolean
  mayOrder: boolean
  leftOut: readonly string[]
}
