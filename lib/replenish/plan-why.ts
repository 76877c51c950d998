import { moneyFormat } from '../measure/money.ts'
import { quantityFormat } from '../measure/quantity.ts'
import { planDate } from './plan-day.ts'
import { type FactOffer, type PlanFacts, perFor } from './plan-facts.ts'
import type { Solution } from './plan-solve.ts'

interface Unfilled {
  need: string
  part: string
  quantity: number
  by: string
  why: string
}

/** What stays open and which limit keeps it so. */
export function unfilledOf(facts: PlanFacts, solution: Solution): Unfilled[] {
  const row = (need: number, quantity: number, why: string) => {
    const { id, part, day } = facts.needs[need]!
    return { need: id, part: facts.parts[part]!.id, quantity, by: planDate(day), why }
  }
  return [
    ...solution.unreached.map((need) => row(need, facts.needs[need]!.quantity, unreachedWhy(facts, need))),
    ...solution.open.map(({ need, quantity }) => row(need, quantity, openWhy(facts, solution, need))),
  ]
}

function openWhy(facts: PlanFacts, solution: Solution, at: number): string {
  const { plan, budgetNeeded, unknownFrom } = solution
  const need = facts.needs[at]!
  const { unit } = facts.parts[need.part]!
  const money = (minor: number) => moneyFormat(minor, facts.currency)
  const filled = plan.fills.reduce((sum, one) => sum + (one.need === at ? one.covers : 0), 0)
  const filledSays = `${quantityFormat(filled, unit)} of ${quantityFormat(need.quantity, unit)}`
  const sold = sellersOf(facts, at)
  if (sold.length === 0) return `nobody sells it, and what is there of it fills ${filledSays}`
  const inTime = sold.filter(
    ({ days, supplier }) => need.latePerDay !== null || days[0]! + facts.suppliers[supplier]!.leadDays <= need.day,
  )
  if (inTime.length === 0) return `only ${filledSays} can be there by its date`
  if (budgetNeeded !== null)
    return `the budget of ${money(facts.budget ?? 0)} does not reach: all needs together take at least ${money(budgetNeeded)}`
  if (unknownFrom !== null)
    return 'time ran out before a plan was found that fills all within the limits, or shown that there is none'
  const free = inTime.filter(({ fixedPacks }) => fixedPacks === null)
  if (free.length === 0) return `what is sold of it is fixed by hand, and that fills ${filledSays}`
  const isPlaced = ({ supplier }: FactOffer) => plan.orders.some((order) => order.supplier === supplier)
  const small = free.filter((one) => facts.suppliers[one.supplier]!.minimum > 0 && !isPlaced(one))
  if (facts.budget === null && small.length === free.length) {
    const { id, minimum } = facts.suppliers[small[0]!.supplier]!
    return `${id} takes no order below ${money(minimum)}, and what is missing and sold there does not come to that`
  }
  if (free.every(({ segments }) => segments.at(-1)!.hi < Infinity))
    return `no more of it is sold than up to the end of its price list, and ${filledSays} can be there`
  return facts.budget !== null
    ? `the budget of ${money(facts.budget)}, dates, minimum orders and what is fixed by hand do not go together`
    : 'dates, minimum orders and what is fixed by hand do not go together'
}

/** Parts that may fill a need, itself among them. */
function mayFill({ standIns, needs }: PlanFacts, at: number): Set<number> {
  const need = needs[at]!
  const others = standIns.filter((one) => one.fills === need.part && perFor(need, one) !== undefined)
  return new Set([need.part, ...others.map(({ part }) => part)])
}

function sellersOf(facts: PlanFacts, need: number): FactOffer[] {
  const may = mayFill(facts, need)
  const noKit = facts.needs[need]!.itself
  return facts.offers.filter(
    ({ days, holds, isKit }) => days.length > 0 && !(isKit && noKit) && holds.some((one) => may.has(one.part)),
  )
}

function unreachedWhy(facts: PlanFacts, need: number): string {
  const may = mayFill(facts, need)
  const soonest = [
    ...sellersOf(facts, need).map(({ days, supplier }) => ({
      day: days[0]! + facts.suppliers[supplier]!.leadDays,
      from: facts.suppliers[supplier]!.id,
    })),
    ...[...may].flatMap((one) => facts.parts[one]!.stock.map(({ day, says }) => ({ day, from: says }))),
  ].sort((a, b) => a.day - b.day)[0]
  return soonest
    ? `it may not be late, and the soonest is ${planDate(soonest.day)} (${soonest.from}); let it be late or find it elsewhere`
    : 'nothing of it is there or to be had'
}
