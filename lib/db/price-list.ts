import { nameKey } from '../catalogue/part-number.ts'
import { moneyFormat } from '../measure/money.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import type { PriceListFacts, PriceListInput } from '../price/schema.ts'
import { Refusal } from '../refusal.ts'
import type { BreakKind } from '../replenish/quantity.ts'
import { dateOf } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import type { Tx } from './client.ts'
import { database } from './client.ts'
import { listFactsFit } from './offer.ts'
import { personNames } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

const PRICES_SHOWN = 100

/** The lists of a supplier, the newest first, with how many parts each has. */
export async function priceLists(supplierId: number) {
  const lists = await database().$queryRaw<
    { id: number | bigint; name: string; validFrom: string; validUntil: string | null; parts: number | bigint }[]
  >`
    SELECT l."id", l."name", l."validFrom", l."validUntil",
      (SELECT COUNT(DISTINCT p."partId") FROM "ListPrice" p WHERE p."listId" = l."id") AS "parts"
    FROM "PriceList" l WHERE l."supplierId" = ${supplierId} ORDER BY l."validFrom" DESC, l."id" DESC`
  return lists.map(({ id, parts, ...list }) => ({ ...list, id: Number(id), parts: Number(parts) }))
}

/** One list with a page of its prices, a row a part. Refuses with 'price/unknown-list'. */
export async function priceListRead(supplierId: number, listId: number, page: number) {
  const db = database()
  const list = await db.priceList.findFirst({ where: { id: listId, supplierId }, include: { supplier: true } })
  if (!list) throw new Refusal('price/unknown-list', { list: listId })
  const currency = list.supplier.currency ?? settingsRead().currency
  const rows = await db.$queryRaw<{ partId: number | bigint; number: string; description: string; unit: string }[]>`
    SELECT p."id" AS "partId", p."number", p."description", p."unit" FROM "Part" p
    WHERE p."id" IN (SELECT "partId" FROM "ListPrice" WHERE "listId" = ${listId})
    ORDER BY p."numberKey", p."id" LIMIT ${PRICES_SHOWN + 1} OFFSET ${(page - 1) * PRICES_SHOWN}`
  const parts = rows.slice(0, PRICES_SHOWN)
  const prices = await db.listPrice.findMany({
    where: { listId, partId: { in: parts.map(({ partId }) => Number(partId)) } },
    orderBy: { fromQuantity: 'asc' },
  })
  const names = await personNames(db as unknown as Tx, [list.enteredById])
  const { name, validFrom, validUntil, source } = list
  const facts: PriceListFacts = { name, validFrom, validUntil, source, breakKind: list.breakKind as BreakKind }
  return {
    supplier: { id: supplierId, name: list.supplier.name },
    facts,
    enteredAt: list.enteredAt,
    enteredBy: names(list.enteredById),
    parts: parts.map(({ partId, number, description, unit }) => ({
      partId: Number(partId),
      number,
      description,
      says: prices
        .filter((price) => price.partId === Number(partId))
        .map(
          (price) =>
            `from ${quantityFormat(price.fromQuantity, unit as StockUnit)}: ${moneyFormat(price.priceMinor, currency)}`,
        )
        .join('; '),
    })),
    isLastPage: rows.length <= PRICES_SHOWN,
  }
}

/**
 * Changes what is kept of a list: its name, its days, what its breaks mean. Refuses with 'price/unknown-list', 'price/period',
 * 'price/list-name', and with 'price/list-over' where it was history already, but for its name and source.
 */
export function priceListChange(context: WriteContext, input: PriceListInput): Promise<{ listId: number }> {
  return write(context, 'price.list', input, async (tx) => {
    const { supplierId, listId, ...facts } = input
    const list = await tx.priceList.findFirst({ where: { id: listId, supplierId } })
    if (!list) throw new Refusal('price/unknown-list', { list: listId })
    const isOver = list.validUntil !== null && list.validUntil < dateOf(context.now)
    const isSame =
      list.validFrom === facts.validFrom && list.validUntil === facts.validUntil && list.breakKind === facts.breakKind
    if (isOver && !isSame) throw new Refusal('price/list-over', { name: list.name, day: list.validUntil! })
    await listFactsFit(tx, supplierId, facts, listId)
    await tx.priceList.update({ where: { id: listId }, data: { ...facts, nameKey: nameKey(facts.name) } })
    return { listId }
  })
}
