import { nameKey, partNumberKey } from '../catalogue/part-number.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { type Moves, movesSum } from '../price/moves.ts'
import { priceOn } from '../price/offer-price.ts'
import { periodFits, priceMove, type SaidPrice } from '../price/price-list.ts'
import { currencyFits } from '../price/rate.ts'
import type { BreakKind } from '../replenish/quantity.ts'
import type { Tx } from './client.ts'
import { type NamedPart, partNamer } from './exchange-part-named.ts'
import {
  type Broken,
  type KnownOffer,
  type KnownSupplier,
  newOffer,
  offerKey,
  offersSaid,
  offersWhole,
  type Row,
  type SaidList,
  type SaidOffer,
  spoilers,
} from './exchange-price-offers.ts'
import {
  asked,
  type ExchangeContext,
  type ExchangePlan,
  type Planner,
  put,
  type Reader,
  Refused,
} from './exchange-rows.ts'
import { offersNow } from './offer-price.ts'

async function suppliersKnown(reader: Reader, home: string): Promise<Map<string, KnownSupplier>> {
  const rows = await (reader as Tx).supplier.findMany()
  return new Map(
    rows.map(({ id, name, nameKey: key, currency, discountHundredths }) => [
      key,
      { id, name, currency: currency ?? home, discountHundredths },
    ]),
  )
}

/** The lists that the rows tell of; a row that says something else of its list than the first one is refused. */
async function listsSaid(reader: Reader, rows: readonly Row[], home: string, refused: Refused) {
  const suppliers = await suppliersKnown(reader, home)
  const kept = await (reader as Tx).priceList.findMany()
  const keptOf = new Map(kept.map((list) => [`${list.supplierId}\n${list.nameKey}`, list]))
  const lists = new Map<string, SaidList>()
  const listOf = new Map<Row, SaidList>()
  for (const row of rows) {
    const { values } = row
    const supplier = suppliers.get(nameKey(values.supplier))
    if (!supplier) {
      refused.at(row, 'supplier', `${values.supplier} is no supplier here; enter it first, or correct the name`)
      continue
    }
    const asks = values.currency?.toUpperCase()
    if (asks !== undefined && !currencyFits(asks))
      refused.at(
        row,
        'currency',
        `${asks} is no currency of ISO 4217 that can be kept; ${supplier.name} asks ${supplier.currency}`,
      )
    else if (asks !== undefined && asks !== supplier.currency)
      refused.at(row, 'currency', `is ${asks}, but ${supplier.name} asks ${supplier.currency}; correct one of them`)
    const key = `${supplier.id}\n${nameKey(values.list)}`
    const before = lists.get(key)
    const known = keptOf.get(key)
    const said: SaidList = {
      key,
      row,
      supplier,
      nameKey: nameKey(values.list),
      validFrom: values.valid_from,
      validUntil: values.valid_until ?? before?.validUntil ?? known?.validUntil ?? null,
      breakKind: values.breaks ?? before?.breakKind ?? (known?.breakKind as BreakKind | undefined) ?? 'all-units',
      listId: known?.id ?? null,
    }
    const other = before ?? (known ? { ...known, row: null } : null)
    const where = before ? `what row ${before.row.row} says of the list` : 'the list as it is kept'
    if (other && other.validFrom !== said.validFrom)
      refused.at(row, 'valid_from', `differs from ${where}, ${other.validFrom}; give a new list another name`)
    if (other && other.validUntil !== said.validUntil)
      refused.at(row, 'valid_until', `differs from ${where}, ${other.validUntil ?? 'no last day'}`)
    if (other && other.breakKind !== said.breakKind)
      refused.at(row, 'breaks', `differs from ${where}, ${other.breakKind}`)
    if (!periodFits(said.validFrom, said.validUntil))
      refused.at(row, 'valid_until', `is before the first day of the list, ${said.validFrom}`)
    if (!before) lists.set(key, said)
    listOf.set(row, before ?? said)
  }
  return { lists, listOf }
}

async function offersKnown(reader: Reader, supplierIds: readonly number[]): Promise<Map<number, KnownOffer[]>> {
  const offers = new Map<number, KnownOffer[]>()
  const rows = await asked(
    supplierIds,
    (json) => (reader as Tx).$queryRaw<
      {
        supplierId: number | bigint
        partId: number | bigint
        pack: number | bigint
        minimum: number | bigint
        supplierNumber: string | null
        withdrawnAt: string | null
      }[]
    >`
      SELECT o."supplierId", o."partId", o."pack", o."minimum", o."supplierNumber", o."withdrawnAt"
      FROM json_each(${json}) j JOIN "Offer" o ON o."supplierId" = j.value`,
  )
  for (const row of rows) {
    const supplierId = Number(row.supplierId)
    const of = offers.get(supplierId) ?? offers.set(supplierId, []).get(supplierId)!
    const { supplierNumber, withdrawnAt } = row
    of.push({
      partId: Number(row.partId),
      pack: Number(row.pack),
      minimum: Number(row.minimum),
      supplierNumber,
      withdrawn: withdrawnAt !== null,
    })
  }
  return offers
}

/** Finds the part of a row: by our number, else by the supplier's own. */
async function partFinder(reader: Reader, rows: readonly Row[], offers: ReadonlyMap<number, KnownOffer[]>) {
  const named = await partNamer(
    reader,
    rows.flatMap((row) => row.values.number ?? []),
  )
  const byTheirs = new Map<string, number[]>()
  const wanted = new Set<number>()
  for (const [supplierId, of] of offers)
    for (const { partId, supplierNumber } of of) {
      if (supplierNumber === null) continue
      const key = `${supplierId}\n${partNumberKey(supplierNumber)}`
      byTheirs.set(key, [...(byTheirs.get(key) ?? []), partId])
      wanted.add(partId)
    }
  type Raw = { id: number | bigint; maker: string; makerKey: string; unit: string }
  const parts = await asked(
    wanted,
    (json) => (reader as Tx).$queryRaw<Raw[]>`
      SELECT p."id", p."maker", p."makerKey", p."unit" FROM json_each(${json}) j JOIN "Part" p ON p."id" = j.value`,
  )
  const partOf = new Map(
    parts.map(({ id, unit, ...part }) => [Number(id), { ...part, id: Number(id), unit: unit as StockUnit }]),
  )
  return (row: Row, supplier: KnownSupplier, refused: Refused): NamedPart | undefined => {
    const { number, maker, supplier_number: theirs } = row.values
    if (number !== undefined) return named(row, number, maker, refused)
    if (theirs === undefined) {
      refused.at(row, 'number', 'is empty; give our number or the supplier’s')
      return undefined
    }
    const found = byTheirs.get(`${supplier.id}\n${partNumberKey(theirs)}`) ?? []
    if (found.length === 1) return partOf.get(found[0]!)
    const why = found.length === 0 ? 'is a number of no offer' : 'is a number of several offers'
    refused.at(row, 'supplier_number', `${theirs} ${why} of ${supplier.name}; give our number`)
    return undefined
  }
}

/** What is on the lists now, by list and part. */
async function pricesKept(reader: Reader, offers: readonly SaidOffer[]): Promise<Map<string, SaidPrice[]>> {
  const pairs = offers.flatMap(({ list, part }) => (list.listId === null ? [] : [[list.listId, part.id] as const]))
  const rows = await asked(
    pairs,
    (json) => (reader as Tx).$queryRaw<
      {
        listId: number | bigint
        partId: number | bigint
        fromQuantity: number | bigint
        priceMinor: number | bigint
      }[]
    >`
      SELECT p."listId", p."partId", p."fromQuantity", p."priceMinor" FROM json_each(${json}) k
      JOIN "ListPrice" p ON p."listId" = k.value->>0 AND p."partId" = k.value->>1 ORDER BY p."fromQuantity"`,
  )
  const kept = new Map<string, SaidPrice[]>()
  for (const row of rows) {
    const key = `${row.listId} ${row.partId}`
    const price = { from: Number(row.fromQuantity), priceMinor: Number(row.priceMinor) }
    kept.set(key, [...(kept.get(key) ?? []), price])
  }
  return kept
}

/** How prices move on the first day of their list, at the smallest order and with the discount taken off. */
async function movesOf(reader: Reader, offers: readonly SaidOffer[]): Promise<Moves> {
  const byDay = new Map<string, SaidOffer[]>()
  for (const offer of offers) {
    const { validFrom } = offer.list
    // A list of a hundred thousand rows has one day: its offers are not copied for each more of them.
    const same = byDay.get(validFrom)
    if (same) same.push(offer)
    else byDay.set(validFrom, [offer])
  }
  const moved = []
  for (const [day, of] of byDay) {
    const now = await offersNow(
      reader,
      of.map(({ part }) => part.id),
      day,
    )
    for (const { list, part, called, prices } of of) {
      const { supplier, breakKind } = list
      const before = now.get(part.id)?.find(({ supplierId }) => supplierId === supplier.id)?.on.breaks[0]?.priceMinor
      const asks = priceOn(
        {
          priceMinor: 0,
          discountHundredths: supplier.discountHundredths,
          lists: [{ listId: 0, name: '', validFrom: day, validUntil: null, breakKind, prices }],
        },
        day,
      )
      const move = before === undefined ? null : priceMove(part.id, before, asks.breaks[0]!.priceMinor)
      moved.push({ called, currency: supplier.currency, move })
    }
  }
  return movesSum(moved)
}

/** Price lists of known suppliers; what a part has on a list is replaced by what the file says of it there. */
export const pricesPlan: Planner<'prices'> = async (reader, rows, context): Promise<ExchangePlan> => {
  const refused = new Refused()
  const { lists, listOf } = await listsSaid(reader, rows, context.currency, refused)
  const bySupplier = await offersKnown(reader, [...new Set([...lists.values()].map(({ supplier }) => supplier.id))])
  const known = new Map(
    [...bySupplier].flatMap(([supplierId, of]) =>
      of.map((offer) => [offerKey(supplierId, offer.partId), offer] as const),
    ),
  )
  const broken: Broken[] = [...context.broken, ...rows.filter((row) => !listOf.has(row))]
  const finder = await partFinder(reader, [...rows, ...(broken as Row[])], bySupplier)
  const found = new Map<Row, { list: SaidList; part: NamedPart }>()
  for (const row of rows) {
    const list = listOf.get(row)
    const part = list && finder(row, list.supplier, refused)
    if (part) found.set(row, { list, part })
  }
  const suppliers = new Map([...lists.values()].map(({ supplier }) => [nameKey(supplier.name), supplier]))
  const spoiled = spoilers(broken, suppliers, (row, supplier) => finder(row as Row, supplier, new Refused())?.id)
  const offers = offersWhole(offersSaid(rows, found, known, refused), spoiled, refused)
  const kept = await pricesKept(reader, offers)
  const counts = { new: 0, changed: 0, same: 0 }
  const changed: SaidOffer[] = []
  for (const offer of offers) {
    const before = offer.list.listId === null ? undefined : kept.get(`${offer.list.listId} ${offer.part.id}`)
    const isSame =
      before?.length === offer.prices.length &&
      before.every((price, at) => {
        const { from, priceMinor } = offer.prices[at]!
        return price.from === from && price.priceMinor === priceMinor
      })
    counts[isSame ? 'same' : before ? 'changed' : 'new'] += offer.rows.length
    if (!isSame) changed.push(offer)
  }
  const taken = new Set(offers.map(({ list }) => list.key))
  const made = [...lists.values()].filter(({ key }) => taken.has(key))
  const sold = offers.filter(({ list, part }) => !known.has(offerKey(list.supplier.id, part.id)))
  return {
    refusals: refused.list,
    counts,
    rightRows: counts.new + counts.changed + counts.same,
    made: {
      'price lists': made.filter(({ listId }) => listId === null).length,
      offers: new Set(sold.map(({ list, part }) => offerKey(list.supplier.id, part.id))).size,
    },
    moves: offers.length === 0 ? undefined : await movesOf(reader, offers),
    write: (tx) => pricesWrite(tx, context, { lists: made, changed, sold }),
  }
}

async function pricesWrite(
  tx: Tx,
  { write, file }: ExchangeContext,
  { lists, changed, sold }: { lists: readonly SaidList[]; changed: readonly SaidOffer[]; sold: readonly SaidOffer[] },
): Promise<void> {
  const ids = new Map<string, number>()
  for (const { key, row, supplier, nameKey: listKey, validFrom, validUntil, breakKind, listId } of lists) {
    if (listId !== null) {
      ids.set(key, listId)
      continue
    }
    const { list: name, source = file } = row.values
    const entered = { enteredAt: write.now, enteredById: write.personId, source: source.slice(0, 200) }
    const made = await tx.priceList.create({
      data: { supplierId: supplier.id, name, nameKey: listKey, validFrom, validUntil, breakKind, ...entered },
    })
    ids.set(key, made.id)
  }
  await put(
    sold,
    (offer) => {
      const { pack, minimum } = newOffer(offer)
      const theirs = offer.rows[0]!.values.supplier_number ?? null
      return [offer.list.supplier.id, offer.part.id, theirs, pack, minimum, offer.prices[0]!.priceMinor]
    },
    (json) => tx.$executeRaw`
      INSERT INTO "Offer" ("supplierId", "partId", "supplierNumber", "pack", "minimum", "priceMinor", "preferred")
      SELECT value->>0, value->>1, value->>2, value->>3, value->>4, value->>5, 0 FROM json_each(${json}) WHERE true
      ON CONFLICT DO NOTHING`,
  )
  await put(
    changed,
    ({ list, part }) => [ids.get(list.key), part.id],
    (json) => tx.$executeRaw`
      DELETE FROM "ListPrice" WHERE ("listId", "partId") IN (SELECT value->>0, value->>1 FROM json_each(${json}))`,
  )
  await put(
    changed.flatMap(({ list, part, prices }) =>
      prices.map(({ from, priceMinor }) => [ids.get(list.key), list.supplier.id, part.id, from, priceMinor]),
    ),
    (row) => row,
    (json) => tx.$executeRaw`
      INSERT INTO "ListPrice" ("listId", "supplierId", "partId", "fromQuantity", "priceMinor")
      SELECT value->>0, value->>1, value->>2, value->>3, value->>4 FROM json_each(${json})`,
  )
}
