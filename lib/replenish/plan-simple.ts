import { type OfferFacts, offerChoose, orderNeed, orderRound } from './order-list.ts'
import type { PlanFacts, Purchase } from './plan-facts.ts'
import { packsPrice, packsSold } from './plan-price.ts'

/**
 * The simple rule that the plan is held against: each part, when its position falls short, from its preferred supplier (else the
 * cheapest by the piece) at its reorder quantity, on the next order day. It knows neither carriage nor kits, and a superseded part
 * only by ordering what replaces it. Lines fixed by hand are in it, since they are ordered whatever the rule.
 */
export function simplePlan(facts: PlanFacts): Purchase[] {
  const packs = new Map<number, number>()
  const fixedOf = new Map<number, number>()
  for (const [at, { fixedPacks, holds }] of facts.offers.entries()) {
    if (fixedPacks === null) continue
    packs.set(at, fixedPacks)
    for (const { part, quantity } of holds) fixedOf.set(part, (fixedOf.get(part) ?? 0) + quantity * fixedPacks)
  }
  const offersOf = new Map<number, number[]>()
  for (const [at, { isKit, days, holds, fixedPacks }] of facts.offers.entries())
    if (!isKit && days.length > 0 && fixedPacks === null)
      offersOf.set(holds[0]!.part, [...(offersOf.get(holds[0]!.part) ?? []), at])
  const wanted = new Map<number, number>()
  for (const { part, quantity } of facts.needs) wanted.set(part, (wanted.get(part) ?? 0) + quantity)
  const itself = new Set(facts.needs.flatMap((need) => (need.itself ? [need.part] : [])))
  // What a part stands in for adds to its own need before it is looked at.
  const missing = new Map<number, number>()
  for (const [part, wantedByJobs] of wanted) {
    const need = shortOf(facts, part, wantedByJobs, fixedOf)
    if (need === 0) continue
    const standIn = facts.standIns
      .filter((one) => one.fills === part && offersOf.has(one.part) && !(itself.has(part) && one.perItself === null))
      .sort((a, b) => a.per - b.per || a.part - b.part)[0]
    const isSold = offersOf.has(part) || !standIn
    const [ordered, pieces] = isSold ? [part, need] : [standIn.part, need * standIn.per]
    missing.set(ordered, (missing.get(ordered) ?? 0) + pieces)
  }
  for (const [part, need] of missing) {
    const offers = (offersOf.get(part) ?? []).map((at): OfferFacts => {
      const { supplier, pack, preferred, segments } = facts.offers[at]!
      const minimum = segments[0]!.lo * pack
      const count = packsSold(orderRound(need, { pack, minimum }) / pack, segments)
      return {
        supplierId: supplier,
        partId: part,
        pack,
        minimum,
        // By the piece at the quantity that would be ordered there, as the order list compares them.
        priceMinor: count === null ? Infinity : packsPrice(count, segments) / (count * pack),
        preferred,
      }
    })
    const chosen = offerChoose(offers)
    if (!chosen) continue
    const at = (offersOf.get(part) ?? [])[offers.indexOf(chosen)]!
    const { pack, segments } = facts.offers[at]!
    const count = packsSold(orderRound(need, chosen) / pack, segments)
    if (count !== null) packs.set(at, count)
  }
  return [...packs].map(([offer, count]) => ({ offer, day: facts.offers[offer]!.days[0]!, packs: count }))
}

function shortOf(facts: PlanFacts, part: number, wantedByJobs: number, fixedOf: ReadonlyMap<number, number>): number {
  const stock = facts.parts[part]!.stock
  const sum = (isThere: boolean) =>
    stock.reduce((total, { quantity, day }) => total + (day <= facts.today === isThere ? quantity : 0), 0)
  return orderNeed({
    partId: part,
    onHand: sum(true),
    onOrder: sum(false) + (fixedOf.get(part) ?? 0),
    wantedByJobs,
    reorderPoint: null,
    orderUpTo: null,
  })
}
