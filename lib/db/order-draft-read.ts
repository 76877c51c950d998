import { orderDaysRead } from '../buying/order-day.ts'
import type { DraftState } from '../buying/order-life.ts'
import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { lineAmount, quantityPrice } from '../price/offer-price.ts'
import { rateTurn } from '../price/rate.ts'
import { Refusal } from '../refusal.ts'
import { carriageOn } from '../replenish/order-list.ts'
import { dateOf } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import { taxRate } from './buying-settings.ts'
import { database, type Tx } from './client.ts'
import { slices } from './exchange-rows.ts'
import { offersNow, ratesOn } from './offer-price.ts'
import { goodsOf, orderDue } from './order-draft.ts'
import { personNames } from './part-typed.ts'

/** States in which a draft waits for somebody. */
export const OPEN_DRAFTS = ['draft', 'approved', 'sending'] as const satisfies readonly DraftState[]

/** Drafts that wait, newest first, or the last ones that were discarded or merged. */
export async function draftsList(which: 'open' | 'gone', now: Date, take = 200) {
  const db = database()
  const rates = await ratesOn(db, dateOf(now))
  const drafts = await db.orderDraft.findMany({
    where: { state: { in: which === 'open' ? [...OPEN_DRAFTS] : ['discarded', 'merged'] } },
    include: { supplier: { select: { name: true } }, lines: { include: { part: { select: { unit: true } } } } },
    orderBy: { id: 'desc' },
    take,
  })
  const names = await personNames(
    db as unknown as Tx,
    drafts.map((draft) => draft.personId),
  )
  return drafts.map((draft) => ({
    id: draft.id,
    version: draft.version,
    number: draft.number,
    supplierId: draft.supplierId,
    supplier: draft.supplier.name,
    state: draft.state as DraftState,
    createdAt: draft.createdAt,
    person: names(draft.personId),
    lines: draft.lines.length,
    winterPlanId: draft.winterPlanId,
    goodsMinor: goodsOf(draft.lines),
    currency: draft.currency ?? settingsRead().currency,
    /** In the workshop's money; null where no rate of the currency is kept. */
    homeMinor: atHome(draft, rates),
  }))
}

function atHome(
  draft: { currency: string | null; lines: Parameters<typeof goodsOf>[0] },
  rates: ReadonlyMap<string, number>,
): number | null {
  const goods = goodsOf(draft.lines)
  if (draft.currency === null) return goods
  const rate = rates.get(draft.currency)
  return rate === undefined ? null : rateTurn(goods, rate)
}
export type DraftListed = Awaited<ReturnType<typeof draftsList>>[number]

/** One draft with its lines and what each is sold for today. Refuses with 'buying/no-such-draft'. */
export async function draftRead(draftId: number, now: Date) {
  const draft = await database().orderDraft.findUnique({
    where: { id: draftId },
    include: {
      supplier: true,
      order: { select: { id: true, number: true, carriageMinor: true, taxThousandths: true } },
      lines: { orderBy: { id: 'asc' }, include: { part: true } },
    },
  })
  if (!draft) throw new Refusal('buying/no-such-draft', { draft: draftId })
  const offers = await offersNow(
    database(),
    draft.lines.map((line) => line.partId),
    dateOf(now),
  )
  const { order, supplier, winterPlanId } = draft
  const goodsMinor = goodsOf(draft.lines)
  const plan = { where: { id: winterPlanId ?? 0 }, select: { id: true, name: true } } as const
  return {
    id: draft.id,
    state: draft.state as DraftState,
    version: draft.version,
    number: draft.number,
    order,
    /** It counts against its budget; null where it belongs to none. */
    winterPlan: winterPlanId === null ? null : await database().winterPlan.findUnique(plan),
    /** Carriage and tax as they were fixed once it was sent, else by the terms of now. */
    carriageMinor: order?.carriageMinor ?? carriageOn(goodsMinor, supplier),
    taxThousandths: order ? order.taxThousandths : await taxRate(database(), supplier),
    note: draft.note,
    createdAt: draft.createdAt,
    supplier: { ...supplier, orderDays: orderDaysRead(supplier.orderDays) },
    goodsMinor,
    currency: draft.currency ?? settingsRead().currency,
    homeMinor: atHome(draft, await ratesOn(database(), dateOf(now))),
    /** When it would come if it were sent now. */
    dueOn: orderDue(dateOf(now), draft.supplier),
    lines: draft.lines.map((line) => {
      const offer = offers.get(line.partId)?.find((one) => one.supplierId === draft.supplierId)
      const unit = line.part.unit as StockUnit
      return {
        id: line.id,
        partId: line.partId,
        number: line.part.number,
        maker: line.part.maker,
        description: line.part.description,
        unit,
        quantity: line.quantity,
        reason: line.reason,
        supplierNumber: offer?.supplierNumber ?? null,
        pack: offer?.pack ?? null,
        priceMinor: line.priceMinor,
        /** What the supplier asks today; null when it no longer offers the part. */
        priceNowMinor: offer ? quantityPrice(offer.on, line.quantity, quantityScale(unit)).unitMinor : null,
        depositMinor: line.depositMinor,
        returnDays: line.returnDays,
        costMinor: lineAmount(line, unit),
      }
    }),
  }
}
export type DraftView = Awaited<ReturnType<typeof draftRead>>

export interface InDraft {
  draftId: number
  supplier: string
  /** Minor units of the part's stock unit. */
  quantity: number
}

/** What of each part stands in a draft that is not sent: wanted, but on order from nobody. */
export async function inDrafts(partIds: readonly number[]): Promise<Map<number, InDraft[]>> {
  const found = new Map<number, InDraft[]>()
  for (const slice of slices(partIds, 500)) {
    const lines = await database().orderDraftLine.findMany({
      where: { partId: { in: slice }, draft: { state: { in: [...OPEN_DRAFTS] } } },
      include: { draft: { select: { supplier: { select: { name: true } } } } },
      orderBy: { draftId: 'asc' },
    })
    for (const { partId, draftId, quantity, draft } of lines)
      found.set(partId, [...(found.get(partId) ?? []), { draftId, supplier: draft.supplier.name, quantity }])
  }
  return found
}
