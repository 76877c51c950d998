import { moneyFormat } from '../measure/money.ts'
import { clustersOf } from './plan-cluster.ts'
import type { PlanAsked } from './plan-component.ts'
import { modelSolve } from './plan-component.ts'
import type { PlanFacts } from './plan-facts.ts'
import { planModel } from './plan-model.ts'
import { packsPrice } from './plan-price.ts'
import type { PlanFault } from './plan-read-offer.ts'

const NEXT = 'The plan was made without it.'

/**
 * What is fixed by hand and can in no case be ordered: it stays below the minimum order of its supplier whatever is missing there
 * besides, or it costs more than the budget. Each is named and no longer fixed in `facts`; all else is planned.
 */
export function fixedChecked(facts: PlanFacts, asked: PlanAsked): { facts: PlanFacts; faults: PlanFault[] } {
  const faults: PlanFault[] = []
  let rest = facts
  const money = (minor: number) => moneyFormat(minor, facts.currency)
  const leave = (offers: readonly number[], why: string, next: string) => {
    const isOut = new Set(offers)
    rest = {
      ...rest,
      offers: rest.offers.map((one, at) => (isOut.has(at) ? { ...one, fixedPacks: null } : one)),
    }
    for (const at of offers) faults.push({ at: `fixed (${facts.offers[at]!.id})`, why, next: `${next} ${NEXT}` })
  }
  for (const [at, { id, minimum }] of facts.suppliers.entries()) {
    const own = fixedOf(rest).filter((offer) => rest.offers[offer]!.supplier === at)
    if (own.length === 0 || minimum === 0) continue
    if (leastPaid({ ...only(rest, (offer) => offer.supplier === at), budget: null }, asked) !== null) continue
    const goods = money(own.reduce((sum, offer) => sum + fixedPrice(rest, offer), 0))
    leave(
      own,
      `what is fixed by hand with ${id} comes to ${goods}, and with all that is missing and sold there it stays below the minimum order of ${money(minimum)}`,
      'Fix more of it, or none.',
    )
  }
  const { budget } = facts
  if (budget === null) return { facts: rest, faults }
  for (let open = fixedOf(rest); open.length > 0; open = fixedOf(rest)) {
    const least = leastPaid(
      { ...only(rest, ({ fixedPacks }, at) => fixedPacks !== null || needsLift(rest, at)), budget: null },
      asked,
    )
    if (least === null || least <= budget) break
    // The smallest that is enough by itself, else the dearest.
    const byPrice = open.toSorted((a, b) => fixedPrice(rest, a) - fixedPrice(rest, b))
    const out = byPrice.find((at) => least - fixedPrice(rest, at) <= budget) ?? byPrice.at(-1)!
    leave(
      [out],
      `what is fixed by hand takes ${money(least)} with its carriage, more than the budget of ${money(budget)}`,
      'Raise the budget, or fix less.',
    )
  }
  return { facts: rest, faults }
}

const fixedOf = ({ offers }: PlanFacts): number[] => [...offers.keys()].filter((at) => offers[at]!.fixedPacks !== null)

const fixedPrice = ({ offers }: PlanFacts, at: number): number =>
  packsPrice(offers[at]!.fixedPacks!, offers[at]!.segments)

/** An offer that may lift what is fixed with the same supplier over its minimum order. */
function needsLift(facts: PlanFacts, at: number): boolean {
  const { supplier } = facts.offers[at]!
  const own = fixedOf(facts).filter((offer) => facts.offers[offer]!.supplier === supplier)
  const goods = own.reduce((sum, offer) => sum + fixedPrice(facts, offer), 0)
  return own.length > 0 && goods < facts.suppliers[supplier]!.minimum
}

/** The same with no other offers than these. */
function only(facts: PlanFacts, isIn: (offer: PlanFacts['offers'][number], at: number) => boolean): PlanFacts {
  const offers = facts.offers.map((one, at) => (isIn(one, at) ? one : { ...one, days: [], fixedPacks: null }))
  return { ...facts, offers }
}

/** A limit that is as good as certain when it takes no longer than this. */
const SECONDS = 3

/** Least money for what is fixed, where every need may stay open; null where it cannot be ordered at all. */
function leastPaid(facts: PlanFacts, asked: PlanAsked): number | null {
  const model = planModel(facts, clustersOf(facts), { budget: null, canBeShort: true })
  const part = modelSolve(model, Math.min(SECONDS, asked.seconds / 10), asked)
  return part.isImpossible ? null : Math.ceil(part.bound - 1e-6)
}
