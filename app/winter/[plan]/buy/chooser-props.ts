import type { BuyPart, BuySupplier } from '@/lib/winter/buy-list.ts'
import type { ChoiceCurve } from '@/lib/winter/choice.ts'

/** What the server reckoned, and what the person may do with it. */
export interface ChooserProps {
  planId: number
  planName: string
  workshop: string | null
  today: string
  curve: ChoiceCurve
  parts: readonly BuyPart[]
  suppliers: readonly BuySupplier[]
  currency: string
  budgetMinor: number
  ordersMade: number
  formKeys: { budget: string; order: string }
  mayPlan: boolean
  mayOrder: boolean
  leftOut: readonly string[]
}
