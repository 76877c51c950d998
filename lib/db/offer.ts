import { nameKey } from '../catalogue/part-number.ts'
import { moneyFormat } from '../measure/money.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import type { ListedPrices } from '../price/offer-price.ts'
import { listFault, periodFits } from '../price/price-list.ts'
import type { ListPricesInput, OfferInput, OfferWithdrawInput, PriceListFacts } from '../price/schema.ts'
import { Refusal } from '../refusal.ts'
import type { BreakKind } from '../replenish/quantity.ts'
import { dateOf, type PlainDate } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import { database, type Tx } from './client.ts'
import { offersNow } from './offer-price.ts'
import { partKnown, personNames } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

/** Lines shown of what became of an offer. */
const CHANGES_SHOWN = 20

async function supplierOf(reader: Tx, supplierId: number) {
  const supplier = await reader.supplier.findUnique({ where: { id: supplierId } })
  if (!supplier) throw new Refusal('buying/unknown-supplier', { supplier: supplierId })
  return { ...supplier, currency: supplier.currency ?? settingsRead().currency }
}

/** An offer with its lists and what became of it; without one, what is needed to add it. Refuses where supplier or part is not known. */
export async function offerRead(supplierId: number, partId: number, today: PlainDate) {
  const db = database() as unknown as Tx
  const supplier = await supplierOf(db, supplierId)
  const part = await partKnown(db, partId)
  const [offer, lists, changes, now] = await Promise.all([
    db.offer.findUnique({ where: { supplierId_partId: { supplierId, partId } } }),
    db.priceList.findMany({
      where: { supplierId, prices: { some: { partId } } },
      include: { prices: { where: { partId }, orderBy: { fromQuantity: 'asc' } } },
      orderBy: [{ validFrom: 'desc' }, { id: 'desc' }],
    }),
    db.offerChange.findMany({ where: { supplierId, partId }, orderBy: { id: 'desc' }, take: CHANGES_SHOWN }),
    offersNow(db, [partId], today),
  ])
  const without = await db.priceList.findMany({
    where: {
      supplierId,
      id: { notIn: lists.map(({ id }) => id) },
      OR: [{ validUntil: null }, { validUntil: { gte: today } }],
    },
    select: { id: true, name: true },
    orderBy: [{ validFrom: 'desc' }, { id: 'desc' }],
  })
  const names = await personNames(
    db,
    changes.map(({ personId }) => personId),
  )
  return {
    supplier,
    part: { ...part, unit: part.unit as StockUnit },
    offer,
    /** What it asks today; null where it sells nothing. */
    on: now.get(partId)?.find((one) => one.supplierId === supplierId)?.on ?? null,
    lists: lists.map(
      ({ prices, id: listId, name, validFrom, validUntil, breakKind, source }): ListedPrices & { source: string } => ({
        listId,
        name,
        validFrom,
        validUntil,
        source,
        breakKind: breakKind as BreakKind,
        prices: prices.map(({ fromQuantity, priceMinor }) => ({ from: fromQuantity, priceMinor })),
      }),
    ),
    /** Lists of the supplier that hold or will, without this part. */
    without,
    changes: changes.map(({ personId, ...change }) => ({ ...change, person: names(personId) })),
  }
}

export type OfferView = Awaited<ReturnType<typeof offerRead>>

function offerSaid(tx: Tx, context: WriteContext, of: { supplierId: number; partId: number }, says: string) {
  const { supplierId, partId } = of
  return tx.offerChange.create({
    data: { supplierId, partId, at: context.now, personId: context.personId, says },
  })
}

/**
 * Adds an offer, changes it, or offers again what was withdrawn. Of a part one offer is preferred: preferring one takes it off the
 * others. Refuses where the prices of a list that still holds would no longer fit its packs.
 */
export function offerKeep(context: WriteContext, input: OfferInput): Promise<{ supplierId: number; partId: number }> {
  return write(context, 'price.offer', input, async (tx) => {
    const { supplierId, partId, ...facts } = input
    const { name, currency } = await supplierOf(tx, supplierId)
    const part = await partKnown(tx, partId)
    const unit = part.unit as StockUnit
    const show = (quantity: number) => quantityFormat(quantity, unit)
    const before = await tx.offer.findUnique({ where: { supplierId_partId: { supplierId, partId } } })
    const lists = await tx.priceList.findMany({
      where: {
        supplierId,
        OR: [{ validUntil: null }, { validUntil: { gte: dateOf(context.now) } }],
        prices: { some: { partId } },
      },
      include: { prices: { where: { partId }, orderBy: { fromQuantity: 'asc' } } },
    })
    for (const list of lists) {
      const prices = list.prices.map(({ fromQuantity: from, priceMinor }) => ({ from, priceMinor }))
      const why = listFault(prices, facts, show)
      if (why !== null)
        throw new Refusal(
          'price/breaks',
          { part: part.number, why: `on the list ${list.name} ${why}` },
          { fields: { minimum: `on ${list.name} ${why}` } },
        )
    }
    await tx.offer.upsert({
      where: { supplierId_partId: { supplierId, partId } },
      create: input,
      update: { ...facts, withdrawnAt: null },
    })
    const sold = `${moneyFormat(facts.priceMinor, currency)}, packs of ${show(facts.pack)}, at least ${show(facts.minimum)}`
    const did = before === null ? 'offered' : before.withdrawnAt === null ? 'changed' : 'offered again'
    await offerSaid(tx, context, input, `${did}: ${sold}${facts.preferred ? ', from here first' : ''}`)
    if (facts.preferred) {
      const others = await tx.offer.findMany({ where: { partId, preferred: true, supplierId: { not: supplierId } } })
      for (const other of others) {
        await tx.offer.update({
          where: { supplierId_partId: { supplierId: other.supplierId, partId } },
          data: { preferred: false },
        })
        await offerSaid(tx, context, other, `no longer first: ${name} is`)
      }
    }
    return { supplierId, partId }
  })
}

async function offerSells(tx: Tx, of: { supplierId: number; partId: number }) {
  const { supplierId, partId } = of
  const supplier = await supplierOf(tx, supplierId)
  const part = await partKnown(tx, partId)
  const offer = await tx.offer.findUnique({ where: { supplierId_partId: { supplierId, partId } } })
  if (!offer) throw new Refusal('buying/no-offer', { supplier: supplier.name, part: part.number })
  if (offer.withdrawnAt !== null) throw new Refusal('price/withdrawn', { supplier: supplier.name, part: part.number })
  return { supplier, part, offer }
}

/** Withdraws an offer: it is neither proposed nor ordered any more, what stands of it stays readable. */
export function offerWithdraw(context: WriteContext, input: OfferWithdrawInput): Promise<null> {
  return write(context, 'price.withdraw', input, async (tx) => {
    const { supplierId, partId, reason } = input
    await offerSells(tx, input)
    await tx.offer.update({
      where: { supplierId_partId: { supplierId, partId } },
      data: { withdrawnAt: context.now, preferred: false },
    })
    await offerSaid(tx, context, input, `withdrawn${reason === '' ? '' : `: ${reason}`}`)
    return null
  })
}

/** Makes a list of a supplier. Refuses with 'price/period' and 'price/list-name'. */
async function listNew(tx: Tx, context: WriteContext, supplierId: number, facts: PriceListFacts) {
  await listFactsFit(tx, supplierId, facts, null)
  return tx.priceList.create({
    data: {
      supplierId,
      nameKey: nameKey(facts.name),
      ...facts,
      enteredAt: context.now,
      enteredById: context.personId,
    },
  })
}

export async function listFactsFit(
  tx: Tx,
  supplierId: number,
  { name, validFrom, validUntil }: Pick<PriceListFacts, 'name' | 'validFrom' | 'validUntil'>,
  listId: number | null,
): Promise<void> {
  if (!periodFits(validFrom, validUntil))
    throw new Refusal('price/period', {}, { fields: { validUntil: `not before ${validFrom}` } })
  const same = await tx.priceList.findUnique({ where: { supplierId_nameKey: { supplierId, nameKey: nameKey(name) } } })
  if (same && same.id !== listId) {
    const supplier = await supplierOf(tx, supplierId)
    throw new Refusal('price/list-name', { supplier: supplier.name, name: same.name }, { fields: { name: 'taken' } })
  }
}

/** Puts the prices of an offer on a list, in place of those it had there. Refuses gaps, overlaps, and what is over. */
export function offerPrices(context: WriteContext, input: ListPricesInput): Promise<{ listId: number }> {
  return write(context, 'price.list-prices', input, async (tx) => {
    const { supplierId, partId, prices } = input
    const { supplier, part, offer } = await offerSells(tx, input)
    const unit = part.unit as StockUnit
    const list =
      input.list === null
        ? await tx.priceList.findFirst({ where: { id: input.listId ?? 0, supplierId } })
        : await listNew(tx, context, supplierId, input.list)
    if (!list) throw new Refusal('price/unknown-list', { list: input.listId ?? 0 })
    const { validUntil } = list
    if (validUntil !== null && validUntil < dateOf(context.now))
      throw new Refusal('price/list-over', { name: list.name, day: validUntil })
    const show = (quantity: number) => quantityFormat(quantity, unit)
    const why = prices.length === 0 && input.list === null ? null : listFault(prices, offer, show)
    if (why !== null) throw new Refusal('price/breaks', { part: part.number, why }, { fields: { 'from.0': why } })
    await tx.listPrice.deleteMany({ where: { listId: list.id, partId } })
    for (const { from, priceMinor } of prices)
      await tx.listPrice.create({ data: { listId: list.id, supplierId, partId, fromQuantity: from, priceMinor } })
    const said = prices.map(
      ({ from, priceMinor }) => `from ${show(from)} ${moneyFormat(priceMinor, supplier.currency)}`,
    )
    await offerSaid(tx, context, input, `on ${list.name}: ${said.length === 0 ? 'taken off' : said.join(', ')}`)
    return { listId: list.id }
  })
}
