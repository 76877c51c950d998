import type { PlainDate } from '../service/plain-date.ts'
import { type Curve, curveStepsFor } from './curve.ts'
import { orderArrives, orderLastDay } from './order-day.ts'
import type { WorkPlan } from './plan-check.ts'

export interface BuyLine {
  part: number
  packs: number
  pieces: number
  cost: number
  /** Without all of it some job waits for sure. */
  isCertain: boolean
  neededOn: PlainDate
  /** Last day on which it can be ordered to be there in time. */
  lastDay: PlainDate
}

export interface BuyOrder {
  supplier: number
  cost: number
  /** The first of the last days of its lines. */
  lastDay: PlainDate
  /** That day has passed: what is ordered now comes on `arrives`, too late for the first job. */
  isLate: boolean
  arrives: PlainDate
  lines: BuyLine[]
}

/** What a budget buys, by supplier, the most urgent order first. */
export function buyList(plan: WorkPlan, curve: Curve, budget: number): BuyOrder[] {
  const lines = new Map<number, BuyLine>()
  for (const { part, packs, isCertain } of curve.steps.slice(0, curveStepsFor(curve, budget))) {
    const { offer, pack } = plan.parts[part]!
    const { orderDays } = plan.suppliers[offer!.supplier]!
    const neededOn = curve.neededOn.get(part) ?? plan.season.until
    const line = lines.get(part) ?? {
      part,
      packs: 0,
      pieces: 0,
      cost: 0,
      isCertain,
      neededOn,
      lastDay: orderLastDay(neededOn, offer!.leadDays, orderDays),
    }
    line.packs += packs
    line.pieces += packs * pack
    line.cost += packs * offer!.price
    lines.set(part, line)
  }
  const orders = new Map<number, BuyOrder>()
  for (const line of [...lines.values()].sort((a, b) => a.part - b.part)) {
    const { supplier, leadDays } = plan.parts[line.part]!.offer!
    const arrives = orderArrives(plan.today, leadDays, plan.suppliers[supplier]!.orderDays)
    const order = orders.get(supplier)
    if (!order) {
      orders.set(supplier, {
        supplier,
        cost: line.cost,
        lastDay: line.lastDay,
        isLate: line.lastDay < plan.today,
        arrives,
        lines: [line],
      })
      continue
    }
    order.lines.push(line)
    order.cost += line.cost
    if (line.lastDay < order.lastDay) order.lastDay = line.lastDay
    if (arrives > order.arrives) order.arrives = arrives
    order.isLate = order.lastDay < plan.today
  }
  return [...orders.values()].sort((a, b) =>
    a.lastDay === b.lastDay ? a.supplier - b.supplier : a.lastDay < b.lastDay ? -1 : 1,
  )
}
