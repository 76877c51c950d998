import { orderDaysRead } from '../buying/order-day.ts'
import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { offerBest } from '../price/offer-best.ts'
import { RATE_ONE } from '../price/rate.ts'
import type { PlanFault } from '../readiness/plan-check.ts'
import { forecastRead } from '../replenish/forecast-kept.ts'
import { leadTime } from '../replenish/lead-time.ts'
import { dateOf } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import type { WinterFacts, WinterJobFacts, WinterMachineFacts, WinterPartFacts } from '../winter/facts.ts'
import type { SupplierTerms } from '../winter/money.ts'
import { calendarUsed } from '../winter/season.ts'
import { database } from './client.ts'
import { slices } from './exchange-rows.ts'
import { type RunCommon, runCommon } from './level-run-facts.ts'
import { type OfferNow, offersNow, ratesOn } from './offer-price.ts'
import { looksCounted, looksKnown } from './service-schedule.ts'
import { winterPlanRead, winterSaid } from './winter.ts'
import { fleetRunning } from './winter-running.ts'
import { stockOfChains } from './winter-stock.ts'
import { winterWork } from './winter-work.ts'

/** A statement takes a limited number of values. */
const AT_ONCE = 500

/** What past looks tell of each thing that the season looks at: its own, and those at others of its class. */
async function looksOf(
  works: readonly (WinterMachineFacts | WinterJobFacts)[],
  texts: ReadonlyMap<string, string>,
): Promise<WinterFacts['looks']> {
  const counted = await looksCounted(database())
  const keys = new Set(works.flatMap(({ wants }) => wants.flatMap(({ looks }) => looks)))
  return [...keys].sort().map((key) => ({ key, text: texts.get(key) ?? key, ...looksKnown(key, counted) }))
}

async function partsRead(partIds: readonly number[]) {
  const rows = []
  for (const slice of slices(partIds, AT_ONCE))
    rows.push(
      ...(await database().part.findMany({
        where: { id: { in: slice } },
        include: { levelProposal: { select: { forecast: true } } },
        orderBy: { id: 'asc' },
      })),
    )
  return rows
}

/**
 * The offer that is bought by: the best for what the season takes in all, at the price of that quantity, with the lead time as
 * the supplier really keeps it, whole days up. Null where nobody sells it, or only in a currency without a rate.
 */
function offerOf(part: { id: number; unit: string }, offers: readonly OfferNow[], wanted: number, common: RunCommon) {
  const best = offerBest(offers, wanted, quantityScale(part.unit as StockUnit))
  if (best === null || best.homeUnitMinor === null) return null
  const { supplierId, pack, minimum, supplierNumber, depositMinor, on } = best.offer
  const leadDays = Math.ceil(leadTime(common.books.get(supplierId) ?? common.noBook, part.id).meanDays)
  const others = offers.filter((one) => one.supplierId !== supplierId && one.rateMicro !== null)
  return {
    ...{ supplierId, pack, minimum, priceMinor: best.homeUnitMinor, on, leadDays, supplierNumber, depositMinor },
    others: others.map(({ supplier }) => supplier),
  }
}

/** What a supplier asks for an order as such; where its currency has no rate, nothing of it is bought. */
export function termsOf(
  supplier: { currency: string | null } & Omit<SupplierTerms, 'rateMicro'>,
  rates: ReadonlyMap<string, number>,
): SupplierTerms {
  const { currency, carriageMinor, carriagePaidFromMinor, minimumOrderMinor } = supplier
  const rateMicro = currency === null ? RATE_ONE : (rates.get(currency) ?? RATE_ONE)
  return { rateMicro, carriageMinor, carriagePaidFromMinor, minimumOrderMinor }
}

/** Suppliers whose offers cannot be reckoned with, since nobody has kept a rate of their currency. */
function rateFaults(offered: ReadonlyMap<number, readonly OfferNow[]>): PlanFault[] {
  const without = [...offered.values()].flat().filter(({ rateMicro }) => rateMicro === null)
  return [...new Map(without.map((one) => [one.supplier, one.currency])).entries()].map(([where, currency]) => ({
    where,
    says: `asks in ${currency}, and no rate of it is kept: what only it sells is not bought`,
    next: 'Enter the rate under Settings.',
  }))
}

/** All that a winter plan is reckoned from, as the workshop's data has it now. Refuses with 'winter/no-such'. */
export async function winterFacts(planId: number, now: Date): Promise<WinterFacts> {
  const today = dateOf(now)
  const [plan, said] = await Promise.all([winterPlanRead(planId), winterSaid(planId)])
  const { from, until } = plan.work
  const usualMinutes = calendarUsed(plan.work)?.usualMinutes ?? null
  const asked = { today, from, until, said: said.machines, usualMinutes }
  const { machines, jobs, faults, lookTexts } = await winterWork(asked)
  const works = [...machines, ...jobs]
  const chains = await stockOfChains(
    works.flatMap(({ wants }) => wants),
    today,
  )
  for (const one of works)
    one.wants = one.wants.map((want) => {
      const { partId, ratio } = chains.resolved.get(want.partId)!
      return { ...want, partId, quantity: want.quantity * ratio }
    })
  const ids = [...new Set(works.flatMap(({ wants }) => wants.map(({ partId }) => partId)))].sort((a, b) => a - b)
  const [rows, suppliers, common, looks, reckoned, offered, rates] = await Promise.all([
    partsRead(ids),
    database().supplier.findMany({ orderBy: { id: 'asc' } }),
    runCommon(now),
    looksOf(works, lookTexts),
    database().levelProposal.count(),
    offersNow(database(), ids, today),
    ratesOn(database(), today),
  ])
  const foreseen = rows.flatMap(({ id, levelProposal }) => (levelProposal ? [id] : []))
  const [first] = [today, plan.work.until].sort()
  const ahead = { from: [first!, plan.work.from].sort().at(-1)!, until: plan.work.until }
  const running = foreseen.length > 0 ? await fleetRunning(foreseen, ahead, today) : null
  const wanted = new Map<number, number>()
  for (const { wants } of works)
    for (const { partId, quantity } of wants) wanted.set(partId, (wanted.get(partId) ?? 0) + quantity)
  const parts = rows.map((row): WinterPartFacts => {
    const { free, onOrder, drafts } = chains.stock.get(row.id)!
    return {
      id: row.id,
      number: row.number,
      maker: row.maker,
      description: row.description,
      unit: row.unit as StockUnit,
      free,
      onOrder,
      drafts,
      offer: offerOf(row, offered.get(row.id) ?? [], wanted.get(row.id) ?? 1, common),
      discontinued: row.discontinuedOn === null ? null : (row.discontinuedNote ?? ''),
      failures: row.levelProposal ? (forecastRead(row.levelProposal.forecast)?.withoutPlanned ?? null) : null,
      runningShare: running?.shares.get(row.id) ?? 1,
    }
  })
  const selling = new Set(parts.flatMap(({ offer }) => (offer === null ? [] : [offer.supplierId])))
  const buysFrom = suppliers.filter(({ id }) => selling.has(id))
  const atOnce: PlanFault[] = buysFrom
    .filter(({ leadTimeDays }) => leadTimeDays === 0)
    .map(({ name }) => ({
      where: name,
      says: 'has no lead time, so its goods are reckoned as there on the day they are ordered',
      next: 'Enter its lead time, unless it sells over the counter.',
    }))
  const gone = parts.flatMap(({ number, discontinued }): PlanFault[] =>
    discontinued === null
      ? []
      : [
          {
            where: number,
            says: 'is no longer made',
            next: 'Enter on its part card what replaces it, or look for one elsewhere.',
          },
        ],
  )
  const blind: PlanFault[] =
    reckoned > 0 || parts.length === 0
      ? []
      : [
          {
            where: 'Failures',
            says: 'are not foreseen, for levels were never reckoned: only planned work and open jobs count',
            next: 'Have all levels reckoned under Buying, Levels.',
          },
        ]
  const known = new Set(ids)
  return {
    currency: settingsRead().currency,
    today,
    work: plan.work,
    machines,
    jobs,
    parts,
    suppliers: buysFrom.map(({ id, name, leadTimeDays, orderDays, ...row }) => ({
      id,
      name,
      leadDays: leadTimeDays,
      orderDays: orderDaysRead(orderDays),
      terms: termsOf(row, rates),
    })),
    looks,
    byHand: said.quantities
      .filter(({ partId }) => known.has(partId))
      .map(({ partId, quantity }) => ({ partId, quantity })),
    running: running && { bySeason: running.bySeason, byYear: running.byYear },
    faults: [...faults, ...chains.faults, ...gone, ...rateFaults(offered), ...atOnce, ...blind],
  }
}
