import { quantityFormat } from '../measure/quantity.ts'
import type { PlanFacts } from './plan-facts.ts'
import type { Priced } from './plan-solve.ts'

/** One line of the simple rule beside what the plan does for the same part; a kit and the carriage have lines of their own. */
export interface PlanSaving {
  what: string
  simple: string
  plan: string
  simpleMinor: number
  planMinor: number
  savedMinor: number
  why: string
}

interface Bought {
  offer: number
  packs: number
  price: number
}

function linesByPart(
  facts: PlanFacts,
  { orders }: Priced,
): { parts: Map<number, Bought[]>; kits: Map<number, Bought[]> } {
  const [parts, kits] = [new Map<number, Bought[]>(), new Map<number, Bought[]>()]
  for (const { lines } of orders)
    for (const { offer, packs, price } of lines) {
      const { isKit, holds } = facts.offers[offer]!
      const [map, key] = isKit ? [kits, offer] : [parts, holds[0]!.part]
      map.set(key, [...(map.get(key) ?? []), { offer, packs, price }])
    }
  return { parts, kits }
}

const money = (lines: readonly Bought[]): number => lines.reduce((sum, { price }) => sum + price, 0)

/** Where plan and simple rule part, and why. What is the same in both is left out; the rest adds up to the whole saving. */
export function planSavings(facts: PlanFacts, plan: Priced, simple: Priced): PlanSaving[] {
  const [ours, theirs] = [linesByPart(facts, plan), linesByPart(facts, simple)]
  const says = (lines: readonly Bought[]) =>
    lines.length === 0
      ? 'nothing'
      : lines
          .map(({ offer, packs }) => {
            const { supplier, pack, isKit, holds } = facts.offers[offer]!
            const unit = isKit ? 'each' : facts.parts[holds[0]!.part]!.unit
            return `${quantityFormat(packs * pack, unit)} from ${facts.suppliers[supplier]!.id}`
          })
          .join(' and ')
  const row = (what: string, before: readonly Bought[], after: readonly Bought[], why: string): PlanSaving => ({
    what,
    simple: says(before),
    plan: says(after),
    simpleMinor: money(before),
    planMinor: money(after),
    savedMinor: why === OPEN ? 0 : money(before) - money(after),
    why,
  })
  const rows: PlanSaving[] = []
  for (const part of new Set([...theirs.parts.keys(), ...ours.parts.keys()])) {
    const [before, after] = [theirs.parts.get(part) ?? [], ours.parts.get(part) ?? []]
    if (says(before) === says(after) && money(before) === money(after)) continue
    rows.push(row(facts.parts[part]!.id, before, after, whyOf(facts, plan, part, before, after)))
  }
  for (const kit of new Set([...theirs.kits.keys(), ...ours.kits.keys()])) {
    const [before, after] = [theirs.kits.get(kit) ?? [], ours.kits.get(kit) ?? []]
    if (money(before) !== money(after))
      rows.push(row(facts.offers[kit]!.id, before, after, 'one kit costs less than its parts by themselves'))
  }
  rows.sort((a, b) => b.savedMinor - a.savedMinor || (a.what < b.what ? -1 : 1))
  const extra = (what: string, of: (priced: Priced) => number, why: string) => {
    const [before, after] = [of(simple), of(plan)].map(Math.round) as [number, number]
    if (before !== after)
      rows.push({ what, simple: '', plan: '', simpleMinor: before, planMinor: after, savedMinor: before - after, why })
  }
  extra('carriage', ({ orders }) => orders.reduce((sum, one) => sum + one.carriage, 0), 'other orders, other totals')
  extra('late', ({ lateCost }) => lateCost, 'what comes after its date')
  return rows
}

/** No money is saved by what is not filled. */
const OPEN = 'it stays open, or a part of it does: nothing is saved by that'

function whyOf(
  facts: PlanFacts,
  plan: Priced,
  part: number,
  before: readonly Bought[],
  after: readonly Bought[],
): string {
  const name = (supplier: number) => facts.suppliers[supplier]!.id
  if (money(after) < money(before) && plan.open.some(({ need }) => facts.needs[need]!.part === part)) return OPEN
  if (after.length === 0) {
    const standIn = plan.fills.find((fill) => facts.needs[fill.need]!.part === part && fill.part !== part)
    if (standIn) return `${facts.parts[standIn.part]!.id} stands in for it`
    const kit = plan.fills.find(({ part: from, supply }) => from === part && supply.kind === 'order')
    return kit ? `it comes in ${facts.offers[kit.supply.offer]!.id}` : 'what is there is enough'
  }
  if (before.length === 0) return 'it stands in for another part, or comes when the simple rule orders nothing'
  if (after.length > before.length)
    return money(after) <= money(before)
      ? 'two offers together cost less than one for all'
      : 'it costs more by itself and lifts an order over its carriage or its minimum'
  const [one, other] = [before[0]!, after[0]!]
  const [from, to] = [facts.offers[one.offer]!, facts.offers[other.offer]!]
  const pieces = (line: Bought) => line.packs * facts.offers[line.offer]!.pack
  if (from.supplier !== to.supplier)
    return money(after) <= money(before)
      ? `${name(to.supplier)} costs less for this quantity`
      : `an order with ${name(to.supplier)} is placed anyway, one with ${name(from.supplier)} is smaller or not placed`
  if (pieces(other) > pieces(one))
    return money(after) <= money(before)
      ? 'more reaches a price break, which costs less in all'
      : 'more of it lifts the order over its carriage or its minimum'
  return pieces(other) < pieces(one) ? 'less of it is enough' : 'another pack of the same supplier costs less'
}
