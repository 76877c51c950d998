import { createHash } from 'node:crypto'
import { lineDueOn } from '../buying/due-day.ts'
import { orderDaysRead } from '../buying/order-day.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { rateTurn } from '../price/rate.ts'
import { leadBook } from '../replenish/lead-time.ts'
import { type ShopProblem, shopProblem } from '../replenish/plan-shop.ts'
import type {
  PlanChoice,
  ShopFault,
  ShopIncoming,
  ShopNeed,
  ShopPart,
  ShopState,
} from '../replenish/plan-shop-state.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import type { Tx } from './client.ts'
import { type DraftsComing, draftsComing } from './draft-coming.ts'
import { slices } from './exchange-rows.ts'
import { leadsObserved } from './level-proposal.ts'
import { levelSettings } from './level-settings.ts'
import { ratesOn } from './offer-price.ts'
import { partsInQuestion } from './order-need.ts'
import { planOffers } from './order-plan-offers.ts'
import type { WinterAsked } from './order-plan-winter.ts'
import { partStock, supersessionLinks } from './part.ts'

/** Alternatives of alternatives are followed so far; a circle ends there. */
const ROUNDS_MAX = 6

export interface PlanQuestion extends ShopProblem {
  /** SHA-256 of the problem: the same only while nothing that the plan hangs on has changed. */
  digest: string
}

/** The workshop as a problem of the order plan, and what on file stands in its way; `winter` as `winterAsked` reads it. */
export async function planQuestion(tx: Tx, today: PlainDate, winter: WinterAsked): Promise<PlanQuestion> {
  const asked = shopProblem(await planState(tx, today, winter))
  return { ...asked, digest: createHash('sha256').update(JSON.stringify(asked.problem)).digest('hex') }
}

async function planState(tx: Tx, today: PlainDate, winter: WinterAsked): Promise<ShopState> {
  const needs = await jobNeeds(tx)
  const worked = [...new Set([...needs, ...winter.needs].map(({ partId }) => partId))]
  const wanted = [...new Set([...(await partsInQuestion(today, tx)), ...worked])]
  const { partIds, links, alternatives } = await allThatServes(tx, wanted)
  const kits = await kitsOf(tx, worked)
  const all = [
    ...new Set([...partIds, ...kits.flatMap(({ kitId, holds }) => [kitId, ...holds.map((one) => one.partId)])]),
  ]
  const [parts, offers, suppliers, settings, choices] = await Promise.all([
    shopParts(tx, all, today),
    planOffers(tx, all, today),
    shopSuppliers(tx, today),
    levelSettings(tx),
    planChoices(tx),
  ])
  return {
    today,
    currency: settingsRead().currency,
    standingDayMinor: settings.standingDayMinor,
    parts: parts.parts,
    needs,
    winter: winter.needs,
    suppliers,
    offers: offers.offers,
    kits,
    links,
    alternatives,
    byHand: choices,
    faults: [...offers.faults, ...parts.faults, ...winter.faults],
  }
}

/** What open jobs want beyond what is taken and kept for them. */
async function jobNeeds(tx: Tx): Promise<ShopNeed[]> {
  const rows = await tx.jobNeed.findMany({
    where: { state: 'accepted', partId: { not: null }, job: { state: 'open' } },
    select: {
      id: true,
      partId: true,
      wanted: true,
      taken: true,
      allocated: true,
      job: {
        select: { id: true, number: true, needOn: true, priority: true, machine: { select: { fleetNumber: true } } },
      },
    },
    orderBy: { id: 'asc' },
  })
  return rows.flatMap(({ id, partId, wanted, taken, allocated, job }) => {
    const quantity = wanted - taken - allocated
    if (quantity <= 0 || partId === null) return []
    const { number, needOn, priority, machine } = job
    return [{ id, partId, quantity, jobId: job.id, job: number, machine: machine.fleetNumber, needOn, priority }]
  })
}

/** Parts with whatever may stand in for them, through supersession and approved alternatives. */
async function allThatServes(tx: Tx, wanted: readonly number[]) {
  const partIds = new Set(wanted)
  let links: ShopState['links'] = []
  let alternatives: ShopState['alternatives'] = []
  for (let round = 0, before = -1; round < ROUNDS_MAX && before < partIds.size; round++) {
    before = partIds.size
    links = await supersessionLinks(tx, [...partIds])
    for (const { oldPartId, newPartId } of links) partIds.add(oldPartId).add(newPartId)
    const rows = await tx.alternative.findMany({ where: { withdrawnAt: null }, orderBy: { id: 'asc' } })
    alternatives = rows.flatMap(({ wantedPartId, usedPartId, interchange }) => {
      const bothWays = interchange === 'both-ways'
      const isAsked = partIds.has(wantedPartId) || (bothWays && partIds.has(usedPartId))
      return isAsked ? [{ wantedPartId, usedPartId, bothWays }] : []
    })
    for (const { wantedPartId, usedPartId } of alternatives) partIds.add(wantedPartId).add(usedPartId)
  }
  return { partIds: [...partIds], links, alternatives }
}

/** Kits that hold something that jobs or the winter want; those that are no longer made are left out. */
async function kitsOf(tx: Tx, partIds: readonly number[]): Promise<ShopState['kits']> {
  const kits = new Map<number, ShopState['kits'][number]>()
  for (const slice of slices(partIds, 500)) {
    const rows = await tx.part.findMany({
      where: { kitContents: { some: { contentId: { in: slice } } } },
      select: { id: true, kitContents: { orderBy: { contentId: 'asc' } } },
      orderBy: { id: 'asc' },
    })
    for (const { id, kitContents } of rows)
      kits.set(id, {
        kitId: id,
        holds: kitContents.map(({ contentId, quantity }) => ({ partId: contentId, quantity })),
      })
  }
  return [...kits.values()]
}

/** Parts with what is there, on order, on the way and in drafts; a draft that cannot be sent as it stands brings nothing. */
async function shopParts(
  tx: Tx,
  partIds: readonly number[],
  today: PlainDate,
): Promise<{ parts: ShopPart[]; faults: ShopFault[] }> {
  const [stock, drafts] = await Promise.all([partStock(tx, partIds, today), draftsComing(tx, partIds, today)])
  const incoming = new Map<number, ShopIncoming[]>()
  const add = (partId: number, one: ShopIncoming) => {
    if (one.quantity > 0) incoming.set(partId, [...(incoming.get(partId) ?? []), one])
  }
  const parts: ShopPart[] = []
  for (const slice of slices(partIds, 500)) {
    const [ordered, sent, rows] = await Promise.all([
      tx.purchaseOrderLine.findMany({
        where: { partId: { in: slice }, order: { state: 'ordered' } },
        include: { order: true },
        orderBy: { id: 'asc' },
      }),
      tx.consignmentLine.findMany({
        where: { partId: { in: slice }, consignment: { sentAt: { not: null } } },
        include: { consignment: true },
        orderBy: { id: 'asc' },
      }),
      tx.part.findMany({ where: { id: { in: slice } }, include: { level: true }, orderBy: { id: 'asc' } }),
    ])
    for (const { partId, quantity, received, cancelled, order, ...line } of ordered)
      add(partId, {
        quantity: quantity - received - cancelled,
        on: lineDueOn(line, order.dueOn),
        is: 'on order',
        document: `order ${order.number}`,
        orderId: order.id,
        draftId: null,
      })
    for (const { partId, quantity, arrived, lost, consignment } of sent)
      add(partId, {
        quantity: quantity - arrived - lost,
        on: today,
        is: 'on the way',
        document: `consignment ${consignment.number}`,
        orderId: null,
        draftId: null,
      })
    for (const partId of slice)
      for (const { draftId, quantity, on } of drafts.coming.get(partId) ?? [])
        add(partId, { quantity, on, is: 'in a draft', document: `draft ${draftId}`, orderId: null, draftId })
    for (const { id, number, maker, unit, level, discontinuedOn } of rows) {
      const { onHand, allocated, wantedByJobs } = stock.get(id)!
      parts.push({
        id,
        number,
        maker,
        unit: unit as StockUnit,
        onHand,
        allocated,
        wantedByJobs,
        incoming: incoming.get(id) ?? [],
        level: level && { reorderPoint: level.reorderPoint, orderUpTo: level.orderUpTo },
        discontinued: discontinuedOn !== null,
      })
    }
  }
  return { parts, faults: drafts.stuck.map(stuckFault) }
}

const stuckFault = ({ draftId, number }: DraftsComing['stuck'][number]): ShopFault => ({
  at: `${number} in draft ${draftId}`,
  why: 'it is no longer made, so the draft cannot be sent with it; nothing of it is expected',
  next: 'Take the line off the draft.',
  draftId,
})

/** Suppliers with the lead time that their deliveries show; what a supplier says counts until there are enough. */
async function shopSuppliers(tx: Tx, today: PlainDate): Promise<ShopState['suppliers']> {
  // The age of what is still open is taken from the beginning of the day, so that the same day asks the same.
  const [observed, rows, rates] = await Promise.all([
    leadsObserved(null, new Date(`${today}T00:00:00Z`), tx),
    tx.supplier.findMany({ orderBy: { id: 'asc' } }),
    ratesOn(tx, today),
  ])
  return rows.map((row) => {
    // Without a rate nothing of it is offered, so that its carriage says nothing either.
    const rate = row.currency === null ? undefined : rates.get(row.currency)
    const atHome = (minor: number) => (rate === undefined ? minor : rateTurn(minor, rate))
    const book = leadBook(
      observed.filter(({ supplierId }) => supplierId === row.id),
      row.leadTimeDays,
    )
    return {
      id: row.id,
      name: row.name,
      leadDays: Math.min(1000, Math.ceil(book.supplierDays - 1e-9)),
      orderDays: orderDaysRead(row.orderDays),
      carriageMinor: atHome(row.carriageMinor),
      carriagePaidFromMinor: row.carriagePaidFromMinor === null ? null : atHome(row.carriagePaidFromMinor),
      minimumOrderMinor: atHome(row.minimumOrderMinor),
    }
  })
}

/** What was decided by hand and is not undone. */
export async function planChoices(tx: Tx): Promise<PlanChoice[]> {
  const rows = await tx.orderPlanChoice.findMany({ where: { undoneAt: null }, orderBy: { id: 'asc' } })
  return rows.map(({ id, kind, supplierId, partId, amount }) => ({
    id,
    kind: kind as PlanChoice['kind'],
    supplierId,
    partId,
    amount,
  }))
}
