import type { OfferAsked } from '../price/offer-best.ts'
import { type ListedPrices, type PriceOn, priceOn } from '../price/offer-price.ts'
import { RATE_ONE, rateTurn } from '../price/rate.ts'
import { Refusal } from '../refusal.ts'
import type { BreakKind } from '../replenish/quantity.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import { Prisma, type Tx } from './client.ts'
import { asked, type Reader } from './exchange-rows.ts'
import { packedRead } from './packed.ts'

/** An offer that sells, with what it asks on one day. Amounts are minor units of `currency`. */
export interface OfferNow extends OfferAsked {
  partId: number
  supplier: string
  supplierNumber: string | null
  depositMinor: number | null
  returnDays: number | null
  currency: string
}

/** Packed into one value, since the reckoning of all levels reads every offer there is. */
type PackedOffer = [
  supplierId: number,
  partId: number,
  supplier: string,
  supplierNumber: string | null,
  pack: number,
  minimum: number,
  priceMinor: number,
  preferred: 0 | 1,
  depositMinor: number | null,
  returnDays: number | null,
  currency: string | null,
  discountHundredths: number,
]

interface PriceRow {
  listId: number | bigint
  supplierId: number | bigint
  partId: number | bigint
  name: string
  validFrom: PlainDate
  validUntil: PlainDate | null
  breakKind: string
  fromQuantity: number | bigint
  priceMinor: number | bigint
}

const offerKey = (supplierId: number, partId: number) => `${supplierId} ${partId}`

/** Lists that hold on a day, by supplier and part; only of the parts that are named. */
async function listedRead(
  reader: Reader,
  partIds: Iterable<number>,
  day: PlainDate,
): Promise<Map<string, ListedPrices[]>> {
  const rows = await asked(
    partIds,
    (json) => (reader as Tx).$queryRaw<PriceRow[]>`
      SELECT p."listId", p."supplierId", p."partId", l."name", l."validFrom", l."validUntil", l."breakKind",
        p."fromQuantity", p."priceMinor"
      FROM json_each(${json}) j JOIN "ListPrice" p ON p."partId" = j.value JOIN "PriceList" l ON l."id" = p."listId"
      WHERE l."validFrom" <= ${day} AND (l."validUntil" IS NULL OR l."validUntil" >= ${day})
      ORDER BY p."listId", p."fromQuantity"`,
  )
  const listed = new Map<string, ListedPrices[]>()
  for (const row of rows) {
    const key = offerKey(Number(row.supplierId), Number(row.partId))
    const listId = Number(row.listId)
    const lists = listed.get(key) ?? listed.set(key, []).get(key)!
    const price = { from: Number(row.fromQuantity), priceMinor: Number(row.priceMinor) }
    const before = lists.at(-1)
    // Ordered by list, so the rows of one stand together.
    if (before?.listId === listId) before.prices = [...before.prices, price]
    else {
      const { name, validFrom, validUntil, breakKind } = row
      lists.push({ listId, name, validFrom, validUntil, breakKind: breakKind as BreakKind, prices: [price] })
    }
  }
  return listed
}

/** Rates that count on a day, by currency; the workshop's own is one for one. */
export async function ratesOn(reader: Reader, day: PlainDate): Promise<Map<string, number>> {
  const rates = await (reader as Tx).currencyRate.findMany({
    where: { day: { lte: day } },
    orderBy: [{ day: 'asc' }, { id: 'asc' }],
  })
  return new Map([
    ...rates.map(({ currency, rateMicro }) => [currency, rateMicro] as const),
    [settingsRead().currency, RATE_ONE] as const,
  ])
}

/** What is offered of some parts on a day, with its price by quantity; withdrawn offers are left out. By part. */
export async function offersNow(
  reader: Reader,
  partIds: Iterable<number>,
  day: PlainDate,
): Promise<Map<number, OfferNow[]>> {
  const ids = [...new Set(partIds)]
  const home = settingsRead().currency
  const rows = await asked(ids, (json) =>
    packedRead<PackedOffer>(
      Prisma.sql`
        SELECT json_array(o."supplierId", o."partId", s."name", o."supplierNumber", o."pack", o."minimum", o."priceMinor",
          o."preferred", o."depositMinor", o."returnDays", s."currency", s."discountHundredths") AS "packed"
        FROM json_each(${json}) j JOIN "Offer" o ON o."partId" = j.value JOIN "Supplier" s ON s."id" = o."supplierId"
        WHERE o."withdrawnAt" IS NULL`,
      reader,
    ),
  )
  rows.sort(([aSupplier, aPart], [bSupplier, bPart]) => aPart - bPart || aSupplier - bSupplier)
  const listed = await listedRead(reader, ids, day)
  const rates = await ratesOn(reader, day)
  const offers = new Map<number, OfferNow[]>()
  for (const [supplierId, partId, supplier, supplierNumber, pack, minimum, priceMinor, ...rest] of rows) {
    const [preferred, depositMinor, returnDays, currencyOwn, discountHundredths] = rest
    const currency = currencyOwn ?? home
    const lists = listed.get(offerKey(supplierId, partId)) ?? []
    const offer: OfferNow = {
      supplierId,
      partId,
      supplier,
      supplierNumber,
      pack,
      minimum,
      preferred: preferred === 1,
      depositMinor,
      returnDays,
      currency,
      rateMicro: rates.get(currency) ?? null,
      on: priceOn({ priceMinor, discountHundredths, lists }, day),
    }
    const same = offers.get(partId)
    if (same) same.push(offer)
    else offers.set(partId, [offer])
  }
  return offers
}

/** The breaks of an offer in the workshop's money; null where its currency has no rate on the day. */
export function breaksAtHome({ on, rateMicro }: Pick<OfferNow, 'on' | 'rateMicro'>): PriceOn | null {
  if (rateMicro === null) return null
  return {
    ...on,
    breaks: on.breaks.map(({ from, priceMinor }) => ({ from, priceMinor: rateTurn(priceMinor, rateMicro) })),
  }
}

/** The currency of an order and its rate of the day. Refuses with 'price/no-rate'. */
export async function orderMoney(tx: Tx, supplier: { name: string; currency: string | null }, day: PlainDate) {
  const { currency } = supplier
  if (currency === null || currency === settingsRead().currency) return {}
  const rateMicro = (await ratesOn(tx, day)).get(currency)
  if (rateMicro === undefined) throw new Refusal('price/no-rate', { supplier: supplier.name, currency })
  return { currency, rateMicro }
}
