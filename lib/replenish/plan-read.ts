import type { z } from 'zod'
import { isCurrency } from '../measure/money.ts'
import { quantityScale } from '../measure/quantity.ts'
import { shapeReason, shapeValue } from '../shape-reason.ts'
import { planDate, planDay } from './plan-day.ts'
import {
  type FactNeed,
  type FactOffer,
  type FactPart,
  type FactSupplier,
  type PlanFacts,
  perFor,
  type StandIn,
} from './plan-facts.ts'
import {
  PlanAlternative,
  PlanFixed,
  PlanForbidden,
  PlanKit,
  type PlanLate,
  PlanNeed,
  PlanOffer,
  PlanPart,
  PlanProblem,
  PlanSupersession,
  PlanSupplier,
} from './plan-problem.ts'
import { offerRead, type PlanFault, type ReadNames } from './plan-read-offer.ts'
import { type StandInLink, standInsClosed } from './plan-stand-in.ts'

export type { PlanFault } from './plan-read-offer.ts'

export interface PlanRead {
  facts: PlanFacts
  /** What was left out, each with what to do; the plan is for the rest. */
  faults: PlanFault[]
  /** Needs that nothing on the shelf, on order or on offer can fill. */
  unfilled: { id: string; part: string; quantity: number; by: string; why: string }[]
}

/**
 * Reads a problem. Where its outer shape is wrong there is nothing to plan and the faults are the answer (`facts` null); a wrong
 * item is left out, named, and the rest is planned.
 */
export function planRead(json: unknown): PlanRead | { facts: null; faults: PlanFault[] } {
  const outer = PlanProblem.safeParse(json)
  if (!outer.success)
    return {
      facts: null,
      faults: outer.error.issues.map((issue) => ({
        at: issue.path.join('.') || 'the file',
        why: shapeReason(issue, shapeValue(issue.path, json), 'a problem file'),
        next: 'Correct it; without it nothing can be planned.',
      })),
    }
  const problem = outer.data
  const { currency } = problem
  if (!isCurrency(currency))
    return {
      facts: null,
      faults: [
        {
          at: 'currency',
          why: `${currency} is no currency of ISO 4217`,
          next: 'Give its three letters, such as GBP.',
        },
      ],
    }
  const faults: PlanFault[] = []
  const parse = <S extends z.ZodType>(list: unknown[], schema: S, what: string): { at: string; item: z.infer<S> }[] =>
    list.flatMap((one, place) => {
      const read = schema.safeParse(one)
      const at = `${what} ${place + 1}${nameOf(one)}`
      if (read.success) return [{ at, item: read.data }]
      for (const issue of read.error.issues.slice(0, 5))
        faults.push({
          at,
          why: [issue.path.join('.'), shapeReason(issue, shapeValue(issue.path, one), 'a problem file')]
            .filter(Boolean)
            .join(': '),
          next: what === 'supplier' && issue.path[0] === 'leadDays' ? LEAD_NEXT : 'Correct it; it was left out.',
        })
      return []
    })
  const once = (names: Map<string, number>, id: string, at: string): boolean => {
    if (!names.has(id)) return true
    faults.push({ at, why: `${id} is there twice`, next: 'Keep one of them; the first was taken.' })
    return false
  }
  const today = planDay(problem.today)

  const parts: FactPart[] = []
  const names: ReadNames = {
    parts: new Map(),
    suppliers: new Map(),
    currency,
    today,
    scaleOf: (at) => parts[at]!.scale,
  }
  for (const { at, item } of parse(problem.parts, PlanPart, 'part')) {
    if (!once(names.parts, item.id, at)) continue
    const stock: FactPart['stock'] =
      item.free > 0 ? [{ quantity: item.free, day: today, says: 'on the shelf', inKit: false }] : []
    // What should have come is expected today: nobody knows better.
    for (const one of item.incoming)
      stock.push({
        quantity: one.quantity,
        day: Math.max(today, planDay(one.on)),
        says: one.document === undefined ? one.is : `${one.is}, ${one.document}`,
        inKit: one.is === 'in a kit',
      })
    names.parts.set(item.id, parts.push({ id: item.id, unit: item.unit, scale: quantityScale(item.unit), stock }) - 1)
  }

  const suppliers: FactSupplier[] = []
  for (const { at, item } of parse(problem.suppliers, PlanSupplier, 'supplier')) {
    if (!once(names.suppliers, item.id, at)) continue
    if (item.currency !== undefined && item.currency !== currency) {
      faults.push({ at, why: `its prices are in ${item.currency}, the plan is in ${currency}`, next: CURRENCY_NEXT })
      continue
    }
    const { id, leadDays, carriageMinor, carriagePaidFromMinor, minimumOrderMinor, orderDays } = item
    const facts: FactSupplier = {
      id,
      leadDays,
      carriage: carriageMinor,
      paidFrom: carriagePaidFromMinor,
      minimum: minimumOrderMinor,
      orderDays: orderDays ?? null,
    }
    names.suppliers.set(id, suppliers.push(facts) - 1)
  }

  const offers: FactOffer[] = []
  const offerNames = new Map<string, number>()
  const sold = [
    ...parse(problem.offers, PlanOffer, 'offer').map(({ at, item }) => {
      const { part, ...rest } = item
      return { at, item: rest, id: item.id ?? `${item.supplier}/${part}`, holds: [{ part, quantity: 1 }], isKit: false }
    }),
    ...parse(problem.kits, PlanKit, 'kit').map(({ at, item }) => {
      const { holds, ...rest } = item
      return { at, item: rest, id: item.id, holds, isKit: true }
    }),
  ]
  for (const one of sold) {
    if (!once(offerNames, one.id, one.at)) continue
    const offer = offerRead(one, names, suppliers, faults)
    if (offer) offerNames.set(one.id, offers.push(offer) - 1)
  }
  offerDaysShared(offers, suppliers.length)
  offersByHand(problem, { parse, faults, offers, offerNames, supplierNames: names.suppliers })

  const links: { link: StandInLink; bothWays: boolean }[] = []
  const link = (at: string, [part, fills]: [string, string], { per, bothWays }: LinkSaid, isAlternative: boolean) => {
    const [from, to] = [names.parts.get(part), names.parts.get(fills)]
    if (from === undefined || to === undefined)
      faults.push({ at, why: `${from === undefined ? part : fills} is no part of the list`, next: PART_NEXT })
    else if (parts[from]!.unit !== parts[to]!.unit || from === to)
      faults.push({ at, why: `${part} and ${fills} cannot stand for each other`, next: 'Name two parts of one unit.' })
    else if (bothWays && per > 1)
      faults.push({ at, why: `${per} for one cannot go both ways`, next: 'Enter the way back by itself.' })
    else links.push({ link: { part: from, fills: to, per, isAlternative }, bothWays })
  }
  const replacedBy = new Map<string, string[]>()
  for (const { at, item } of parse(problem.supersessions, PlanSupersession, 'supersession')) {
    if (item.new !== item.old && isReplaced(replacedBy, item.new, item.old)) {
      faults.push({
        at,
        why: `${item.new} takes the place of ${item.old}, which takes the place of ${item.new}`,
        next: 'Keep the one that is right (bothWays where each may be used for the other); the first was taken, this one left out.',
      })
      continue
    }
    replacedBy.set(item.old, [...(replacedBy.get(item.old) ?? []), item.new])
    link(at, [item.new, item.old], item, false)
  }
  for (const { at, item } of parse(problem.alternatives, PlanAlternative, 'alternative'))
    link(at, [item.part, item.fills], item, true)
  const standIns = standInsClosed(
    links.flatMap(({ link: one, bothWays }) =>
      bothWays ? [one, { ...one, part: one.fills, fills: one.part }] : [one],
    ),
  )

  const needs: PlanFacts['needs'] = []
  const needNames = new Map<string, number>()
  for (const { at, item } of parse(problem.needs, PlanNeed, 'need')) {
    const part = names.parts.get(item.part)
    const id = item.id ?? `need ${at.split(' ')[1]}`
    if (!once(needNames, id, at)) continue
    if (part === undefined) {
      faults.push({ at, why: `${item.part} is no part of the list`, next: PART_NEXT })
      continue
    }
    needNames.set(id, needs.length)
    needs.push({
      id,
      part,
      quantity: item.quantity,
      day: planDay(item.by),
      for: item.for,
      latePerDay: perDay(item.late ?? problem.late),
      itself: item.itself,
    })
  }

  const facts: PlanFacts = {
    currency,
    today,
    budget: problem.budgetMinor ?? null,
    parts,
    needs,
    suppliers,
    offers,
    standIns,
  }
  return { ...unsoldLeftOut(facts, faults), faults }
}

const LEAD_NEXT = 'Say how many days this supplier takes (leadDays); it was left out with all it offers.'
const CURRENCY_NEXT = 'Turn its prices into the currency of the plan; it was left out.'
const PART_NEXT = 'Add the part to the list or correct the number; it was left out.'

const perDay = (late: PlanLate): number | null => (late === 'never' ? null : late.perDayMinor)

/** Whether `end` takes the place of `start`, by itself or through others. */
function isReplaced(replacedBy: ReadonlyMap<string, readonly string[]>, start: string, end: string): boolean {
  const seen = new Set([start])
  for (const one of seen) for (const next of replacedBy.get(one) ?? []) seen.add(next)
  return seen.has(end)
}

interface LinkSaid {
  per: number
  bothWays: boolean
}

/** How an item is known to the person who mends it. */
function nameOf(item: unknown): string {
  if (typeof item !== 'object' || item === null) return ''
  const fields = item as Record<string, unknown>
  const words = ['id', 'supplier', 'part', 'old', 'new', 'offer'].flatMap((key) => {
    const value = fields[key]
    return typeof value === 'string' ? [value.slice(0, 60)] : []
  })
  return words.length === 0 ? '' : ` (${words.join(', ')})`
}

/**
 * Days on which each offer may be ordered. Nothing costs less or comes sooner by waiting but what is not valid yet, so the first
 * day of a supplier and the first days of its later offers are all that need be looked at.
 */
function offerDaysShared(offers: readonly FactOffer[], suppliers: number): void {
  const days = Array.from({ length: suppliers }, () => new Set<number>())
  for (const offer of offers) for (const day of offer.days) days[offer.supplier]!.add(day)
  for (const offer of offers) {
    const first = offer.days[0]!
    offer.days = [...days[offer.supplier]!]
      .filter((day) => day >= first && (offer.validUntil === null || day <= offer.validUntil))
      .sort((a, b) => a - b)
  }
}

interface ByHand {
  parse: <S extends z.ZodType>(list: unknown[], schema: S, what: string) => { at: string; item: z.infer<S> }[]
  faults: PlanFault[]
  offers: FactOffer[]
  offerNames: ReadonlyMap<string, number>
  supplierNames: ReadonlyMap<string, number>
}

/** What was fixed or forbidden by hand, entered in the offers. */
function offersByHand(
  problem: z.infer<typeof PlanProblem>,
  { parse, faults, offers, offerNames, supplierNames }: ByHand,
) {
  const unknown = (at: string, what: string) =>
    faults.push({ at, why: `there is no ${what}`, next: 'Correct the name; this one was left out.' })
  const isForbidden = new Set<number>()
  for (const { at, item } of parse(problem.forbidden, PlanForbidden, 'forbidden')) {
    const supplier = 'supplier' in item ? supplierNames.get(item.supplier) : undefined
    const offer = 'offer' in item ? offerNames.get(item.offer) : undefined
    if (supplier === undefined && offer === undefined)
      unknown(at, 'supplier' in item ? `supplier ${item.supplier}` : `offer ${item.offer}`)
    for (const [place, one] of offers.entries())
      if (place === offer || one.supplier === supplier) {
        one.days = []
        isForbidden.add(place)
      }
  }
  for (const { at, item } of parse(problem.fixed, PlanFixed, 'fixed')) {
    const place = offerNames.get(item.offer)
    const offer = place === undefined ? undefined : offers[place]
    if (place === undefined || !offer) {
      unknown(at, `offer ${item.offer}`)
      continue
    }
    const packs = item.quantity / offer.pack
    const next = 'Change what is fixed by hand; the plan was made without it.'
    if (isForbidden.has(place)) faults.push({ at, why: `${item.offer} is fixed and forbidden at once`, next })
    else if (!Number.isInteger(packs))
      faults.push({ at, why: `${item.quantity} is no whole number of packs of ${offer.pack}`, next })
    else if (offer.days.length === 0) faults.push({ at, why: `${item.offer} cannot be ordered on any day`, next })
    else if (!offer.segments.some(({ lo, hi }) => packs >= lo && packs <= hi))
      faults.push({ at, why: `${item.offer} is not sold in ${item.quantity}`, next })
    else offer.fixedPacks = packs
  }
}

/** Takes out the needs that no stock and no offer can fill, whatever the dates: a part nobody sells stops nobody else. */
function unsoldLeftOut(facts: PlanFacts, faults: PlanFault[]): Pick<PlanRead, 'facts' | 'unfilled'> {
  const [loose, inKits] = [new Set<number>(), new Set<number>()]
  for (const [part, { stock }] of facts.parts.entries())
    for (const { inKit } of stock) (inKit ? inKits : loose).add(part)
  for (const { days, holds, isKit } of facts.offers)
    if (days.length > 0) for (const { part } of holds) (isKit ? inKits : loose).add(part)
  const gives = (part: number, { itself }: FactNeed) => loose.has(part) || (!itself && inKits.has(part))
  const standsFor = new Map<number, StandIn[]>()
  for (const one of facts.standIns) standsFor.set(one.fills, [...(standsFor.get(one.fills) ?? []), one])
  const isServed = (need: FactNeed) =>
    gives(need.part, need) ||
    (standsFor.get(need.part) ?? []).some((one) => perFor(need, one) !== undefined && gives(one.part, need))
  const sellersOf = (need: FactNeed) => {
    const may = new Set([need.part, ...(standsFor.get(need.part) ?? []).map(({ part }) => part)])
    return facts.offers.filter(({ holds, isKit }) => !(isKit && need.itself) && holds.some(({ part }) => may.has(part)))
  }
  const whyOf = (need: FactNeed) => {
    const sellers = sellersOf(need)
    return sellers.length === 0
      ? 'nobody sells it, nothing of it is there, and nothing may stand for it'
      : `nothing of it is there, and every offer for it is forbidden by hand: ${sellers
          .slice(0, 3)
          .map(({ id }) => id)
          .join(', ')}${sellers.length > 3 ? ' and more' : ''}`
  }
  const unfilled = facts.needs
    .filter((need) => !isServed(need))
    .map((need) => ({
      id: need.id,
      part: facts.parts[need.part]!.id,
      quantity: need.quantity,
      by: planDate(need.day),
      why: whyOf(need),
      isForbidden: sellersOf(need).length > 0,
    }))
  for (const { id, part, why, isForbidden } of unfilled)
    faults.push({
      at: `${id} (${part})`,
      why,
      next: isForbidden
        ? 'Allow one of them, or enter another offer, an alternative or a supersession for it.'
        : 'Enter an offer, an alternative or a supersession for it.',
    })
  return {
    facts: { ...facts, needs: facts.needs.filter(isServed) },
    unfilled: unfilled.map(({ isForbidden: _, ...rest }) => rest),
  }
}
