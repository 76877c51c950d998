import { queryId, queryText } from '@/app/_parts/query.ts'
import { todayIs } from '@/app/_parts/today.ts'
import type { DeadRow } from '@/lib/db/dead-stock.ts'
import { DEAD_ADVICE, DEAD_REASONS, type DeadAdvice, type DeadLimits, type DeadReason } from '@/lib/stock/dead.ts'

export interface DeadQuestion extends DeadLimits {
  why: DeadReason | null
  advice: DeadAdvice | null
  store: string
}

const MONTHS_MAX = 120
const YEARS_MAX = 20

export function deadQuestion(asked: Record<string, string | string[] | undefined>): DeadQuestion {
  const [why, advice] = [queryText(asked.why), queryText(asked.advice)]
  return {
    today: todayIs(),
    months: Math.min(queryId(asked.months) ?? 12, MONTHS_MAX),
    years: Math.min(queryId(asked.years) ?? 2, YEARS_MAX),
    why: Object.hasOwn(DEAD_REASONS, why) ? (why as DeadReason) : null,
    advice: Object.hasOwn(DEAD_ADVICE, advice) ? (advice as DeadAdvice) : null,
    store: queryText(asked.store),
  }
}

/** The rows that the question leaves; a store keeps the parts of which some lie there. */
export function deadChosen(rows: readonly DeadRow[], { why, advice, store }: DeadQuestion): DeadRow[] {
  return rows.filter(
    (row) =>
      (why === null || row.reasons.includes(why)) &&
      (advice === null || row.advice === advice) &&
      (store === '' || row.stores.some((one) => one.store === store && one.quantity > 0)),
  )
}

/** The question as an address says it; what is usual is left out. */
export function deadAddress({ months, years, why, advice, store }: DeadQuestion) {
  return {
    months: months === 12 ? undefined : months,
    years: years === 2 ? undefined : years,
    why: why ?? undefined,
    advice: advice ?? undefined,
    store: store === '' ? undefined : store,
  }
}
