import { quantityFormat, quantityScale, type StockUnit } from '../../lib/measure/quantity.ts'
import type { JobDraft } from './job-draft.ts'
import type { Criticality } from './part.ts'

export interface Use {
  total: number
  issues: number
}

/** What the jobs of the whole history want of each part, minor units. */
export function usesOf(drafts: readonly JobDraft[]): Map<number, Use> {
  const uses = new Map<number, Use>()
  for (const draft of drafts)
    for (const need of draft.needs) {
      if (need.partId === null || need.state !== 'accepted' || need.wanted === 0) continue
      const use = uses.get(need.partId) ?? { total: 0, issues: 0 }
      uses.set(need.partId, { total: use.total + need.wanted, issues: use.issues + 1 })
    }
  return uses
}

export interface Level {
  reorderPoint: number
  orderUpTo: number
  reason: string
}

/** Days between two looks at the order list. */
const REVIEW_DAYS = 4
/** One-sided 95 % of the normal distribution. */
const SAFETY = 1.645
const COVER_DAYS = 60

/**
 * The simple rule the storekeeper set the levels by: use over lead time and review, plus 1.645 times its spread, where the
 * spread is that of a count of takings times their usual size. Null where keeping none is right.
 */
export function levelOf(
  part: { unit: StockUnit; priceMinor: number; criticality: Criticality },
  use: Use | undefined,
  offer: { leadTimeDays: number; pack: number },
  days: number,
): Level | null {
  const scale = quantityScale(part.unit)
  const cheap = part.unit === 'each' && part.priceMinor < 100
  const show = (quantity: number) => quantityFormat(quantity, part.unit)
  if (!use) {
    if (cheap)
      return {
        reorderPoint: 6,
        orderUpTo: 6 + offer.pack,
        reason: 'Small goods, kept by the handful; none used on a job in three years.',
      }
    if (part.criticality !== 'vital' || part.priceMinor > 15_000) return null
    return {
      reorderPoint: 0,
      orderUpTo: scale,
      reason: `Not used in three years; ${show(scale)} is kept because a machine stands without it.`,
    }
  }
  const round = (quantity: number) =>
    scale === 1 ? Math.ceil(quantity) : Math.ceil(quantity / (scale / 10)) * (scale / 10)
  const meanwhile = (use.total / days) * (offer.leadTimeDays + REVIEW_DAYS)
  const spread = Math.sqrt(meanwhile * (use.total / use.issues))
  const safety = part.criticality === 'desirable' ? spread * 0.8 : spread * SAFETY
  const reorderPoint = round(meanwhile + (part.priceMinor > 12_000 ? 0 : safety))
  const lot = Math.max(use.total / use.issues, (use.total / days) * COVER_DAYS, offer.pack)
  return {
    reorderPoint: cheap ? Math.max(6, reorderPoint) : reorderPoint,
    orderUpTo: (cheap ? Math.max(6, reorderPoint) : reorderPoint) + Math.max(scale === 1 ? 1 : scale / 10, round(lot)),
    reason: `${show(use.total)} used in three years by ${use.issues} ${use.issues === 1 ? 'job' : 'jobs'}; ${show(round(meanwhile))} expected in ${offer.leadTimeDays} days of delivery and ${REVIEW_DAYS} days between orders, the rest for safety.`,
  }
}
