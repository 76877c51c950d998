import type { StockUnit } from '../measure/quantity.ts'
import type { KeptPlan } from '../replenish/plan-kept.ts'
import type { ShopWinterName } from '../replenish/plan-shop-state.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { database } from './client.ts'
import { slices } from './exchange-rows.ts'
import { type PlanLast, planLast } from './order-plan-run.ts'

export interface PlanPartView {
  id: number
  number: string
  description: string
  unit: StockUnit
}

export interface PlanView extends PlanLast {
  /** Parts by the name that the plan has for them. */
  parts: ReadonlyMap<string, PlanPartView>
}

/** What winter plans took of each part when the order plan was last reckoned, by part id; null where it never was. */
export async function planWinterNeeds(): Promise<{ on: PlainDate; byPart: Map<number, ShopWinterName[]> } | null> {
  const row = await database().orderPlanRun.findFirst({
    where: { state: 'done', plan: { not: null } },
    orderBy: { id: 'desc' },
    select: { plan: true },
  })
  if (!row || row.plan === null) return null
  const { today, names } = JSON.parse(row.plan) as KeptPlan
  const byPart = new Map<number, ShopWinterName[]>()
  for (const one of Object.values(names.winters ?? {})) byPart.set(one.partId, [...(byPart.get(one.partId) ?? []), one])
  return { on: today, byPart }
}

/** The newest plan with what its screen says of its parts; null where none was reckoned. */
export async function planView(now: Date, holds = true): Promise<PlanView | null> {
  const last = await planLast(now, holds)
  if (!last) return null
  const { answer, names } = last.kept
  const ids = new Set(
    [
      ...answer.orders.flatMap(({ lines }) => lines.map(({ offer }) => names.offers[offer]?.partId)),
      ...[
        ...answer.orders.flatMap(({ lines }) => lines.flatMap(({ pegged, spare }) => [...pegged, ...spare])),
        ...answer.fromStock,
        ...answer.late,
        ...answer.unfilled,
      ].map(({ part }) => names.parts[part]),
      ...answer.fromStock.map(({ given }) => names.parts[given]),
      ...(last.kept.drafted ?? []).map(({ part }) => names.parts[part]),
    ].filter((id) => id !== undefined),
  )
  const found = new Map<number, PlanPartView>()
  for (const slice of slices([...ids], 500)) {
    const rows = await database().part.findMany({
      where: { id: { in: slice } },
      select: { id: true, number: true, description: true, unit: true },
    })
    for (const row of rows) found.set(row.id, { ...row, unit: row.unit as StockUnit })
  }
  const parts = new Map(
    Object.entries(names.parts).flatMap(([label, id]) => {
      const part = found.get(id)
      return part ? [[label, part] as const] : []
    }),
  )
  return { ...last, parts }
}
