import type { OrderCost } from './plan-cost.ts'
import { orderDayUpTo, planDate } from './plan-day.ts'
import type { FactOffer, PlanFacts } from './plan-facts.ts'
import type { Fill } from './plan-fill.ts'
import type { PlanFault, PlanRead } from './plan-read.ts'
import { type PlanSaving, planSavings } from './plan-savings.ts'
import type { SimpleBreak, Solution } from './plan-solve.ts'
import { unfilledOf } from './plan-why.ts'
import type { PlanWithout } from './plan-without.ts'

type NeedFor = PlanFacts['needs'][number]['for']

export interface Pegged {
  need: string
  part: string
  /** Minor units of the need that it covers. */
  quantity: number
  for: NeedFor
  lateDays: number
}

export interface AnswerLine {
  offer: string
  /** Part bought; null for a kit. */
  part: string | null
  kit: string | null
  packs: number
  quantity: number
  priceMinor: number
  pegged: Pegged[]
  /** What no need takes, by part. */
  spare: { part: string; quantity: number }[]
}

export interface AnswerOrder {
  supplier: string
  /** The soonest day, on which the plan reckons, and the last on which nothing comes later and no price is lost. */
  orderOn: string
  orderBy: string
  arrives: string
  goodsMinor: number
  carriageMinor: number
  lines: AnswerLine[]
}

export interface PlanAnswer {
  currency: string
  orders: AnswerOrder[]
  fromStock: (Pegged & { given: string; says: string })[]
  late: { need: string; part: string; quantity: number; by: string; arrives: string; days: number; costMinor: number }[]
  unfilled: { need: string; part: string; quantity: number; by: string; why: string }[]
  /** Where something stays open: what would be without each thing that was said by hand. */
  without: PlanWithout[]
  goodsMinor: number
  carriageMinor: number
  lateMinor: number
  costMinor: number
  /**
   * No plan that fills all of this costs less; null where limits keep something open. What nobody sells or brings in time is left out
   * of it; null where nothing else is left.
   */
  boundMinor: number | null
  gap: number | null
  proven: boolean
  seconds: number
  simple: {
    costMinor: number
    savedMinor: number
    breaks: SimpleBreak[]
    lines: PlanSaving[]
  }
  /** Where time ran out before it was known whether the limits leave room for all: what filling all costs at least, lateness included. */
  allFilledFromMinor: number | null
  faults: PlanFault[]
}

/** The plan as a buyer reads it: orders by supplier and day, what each line is for, what comes late, and what it saves. */
export function planAnswer(read: PlanRead, solution: Solution): PlanAnswer {
  const { facts, faults } = read
  const { plan, simple } = solution
  // Where nothing at all is filled there is nothing to hold a plan against.
  const isAllOpen = plan.fills.length === 0 && solution.unreached.length + read.unfilled.length > 0
  const bound = isAllOpen ? null : solution.bound
  const sum = (of: (order: OrderCost) => number) => plan.orders.reduce((total, order) => total + of(order), 0)
  const cost = plan.paid + plan.lateCost
  const simpleCost = Math.round(simple.paid + simple.lateCost)
  const costMinor = Math.round(cost)
  const lines = planSavings(facts, plan, simple)
  // What the plan leaves open is not saved.
  const withheld = lines.reduce((total, one) => total + one.simpleMinor - one.planMinor - one.savedMinor, 0)
  return {
    currency: facts.currency,
    orders: plan.orders.map((order) => orderAnswer(facts, order, plan.fills)),
    fromStock: plan.fills
      .filter(({ supply }) => supply.kind === 'stock')
      .map((fill) => ({ ...pegged(facts, fill), given: facts.parts[fill.part]!.id, says: fill.supply.says })),
    late: plan.fills
      .filter(({ lateDays }) => lateDays > 0)
      .map((fill) => ({
        need: facts.needs[fill.need]!.id,
        part: facts.parts[facts.needs[fill.need]!.part]!.id,
        quantity: fill.covers,
        by: planDate(facts.needs[fill.need]!.day),
        arrives: planDate(fill.supply.day),
        days: fill.lateDays,
        costMinor: Math.round(fill.cost),
      })),
    unfilled: [...read.unfilled.map(({ id, ...rest }) => ({ need: id, ...rest })), ...unfilledOf(facts, solution)],
    without: [],
    goodsMinor: sum(({ goods }) => goods),
    carriageMinor: sum(({ carriage }) => carriage),
    lateMinor: Math.round(plan.lateCost),
    costMinor,
    boundMinor: bound === null ? null : cost - bound < 1e-6 ? costMinor : Math.floor(bound),
    gap: bound === null ? null : cost === 0 ? 0 : Math.max(0, (cost - bound) / cost),
    proven: solution.isProven,
    seconds: solution.seconds,
    simple: {
      costMinor: simpleCost,
      savedMinor: simpleCost - costMinor - withheld,
      breaks: solution.simpleBreaks,
      lines,
    },
    allFilledFromMinor: solution.unknownFrom === null ? null : Math.floor(solution.unknownFrom),
    faults: [...faults, ...solution.faults],
  }
}

function pegged(facts: PlanFacts, { need, covers, lateDays }: Fill): Pegged {
  const { id, part, for: what } = facts.needs[need]!
  return { need: id, part: facts.parts[part]!.id, quantity: covers, for: what, lateDays }
}

function orderAnswer(facts: PlanFacts, order: OrderCost, fills: readonly Fill[]): AnswerOrder {
  const { id, leadDays, orderDays } = facts.suppliers[order.supplier]!
  const inLine = (offer: number) =>
    fills.filter(({ supply }) => supply.kind === 'order' && supply.offer === offer && supply.orderDay === order.day)
  const lasts = order.lines.flatMap(({ offer }) => {
    const { validUntil } = facts.offers[offer]!
    return [
      ...(validUntil === null ? [] : [validUntil]),
      ...inLine(offer).map(({ need, lateDays }) => (lateDays > 0 ? order.day : facts.needs[need]!.day - leadDays)),
    ]
  })
  const last = lasts.length === 0 ? order.day : orderDayUpTo(Math.min(...lasts), orderDays)
  return {
    supplier: id,
    orderOn: planDate(order.day),
    orderBy: planDate(Math.max(order.day, last)),
    arrives: planDate(order.day + leadDays),
    goodsMinor: order.goods,
    carriageMinor: order.carriage,
    lines: order.lines.map(({ offer, packs, price }) => {
      const taken = inLine(offer)
      const one: FactOffer = facts.offers[offer]!
      return {
        offer: one.id,
        part: one.isKit ? null : facts.parts[one.holds[0]!.part]!.id,
        kit: one.isKit ? one.id : null,
        packs,
        quantity: packs * one.pack,
        priceMinor: price,
        pegged: taken.map((fill) => pegged(facts, fill)),
        spare: one.holds.flatMap(({ part, quantity }) => {
          const used = taken.reduce((total, fill) => total + (fill.part === part ? fill.given : 0), 0)
          const left = quantity * packs - used
          return left > 0 ? [{ part: facts.parts[part]!.id, quantity: left }] : []
        }),
      }
    }),
  }
}
