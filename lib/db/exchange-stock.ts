import { nameKey, partNumberKey } from '../catalogue/part-number.ts'
import { quantityFormat } from '../measure/quantity.ts'
import type { Tx } from './client.ts'
import { type Counted, countsPlace } from './counts-place.ts'
import { partNamer } from './exchange-part-named.ts'
import type { ExchangePlan, Planner, Reader } from './exchange-rows.ts'
import { asked, isFirst, put, quantityOf, Refused } from './exchange-rows.ts'
import { lotReader, lotsMake, type RowLot } from './exchange-stock-lot.ts'

interface Place {
  store: string
  storeKey: string
  storeKind: string
  bin: string
  binKey: string
  walkOrder: number | null
}

const placeKey = ({ storeKey, binKey }: Pick<Place, 'storeKey' | 'binKey'>) => `${storeKey}\n${binKey}`

interface Bins {
  stores: Map<string, number>
  bins: Map<string, number>
  /** Why nothing is counted in a bin, by its id. */
  barred: Map<number, string>
}

async function binsKnown(reader: Reader): Promise<Bins> {
  const stores = await (reader as Tx).store.findMany({ include: { bins: true } })
  return {
    stores: new Map(stores.map((store) => [store.nameKey, store.id])),
    bins: new Map(
      stores.flatMap((store) =>
        store.bins.map((bin) => [placeKey({ storeKey: store.nameKey, binKey: bin.codeKey }), bin.id] as const),
      ),
    ),
    barred: new Map(
      stores.flatMap((store) =>
        store.bins.flatMap(({ id, kind, closedAt }): [number, string][] => {
          if (kind === 'on-the-way') return [[id, 'holds goods on the way between two stores, which are not counted']]
          return closedAt === null ? [] : [[id, 'is closed; open it again under Stores and bins, or name another bin']]
        }),
      ),
    ),
  }
}

async function onHand(reader: Reader, pairs: readonly (readonly [partId: number, binId: number])[]) {
  const rows = await asked(
    pairs,
    (json) => (reader as Tx).$queryRaw<
      { partId: number | bigint; binId: number | bigint; quantity: number | bigint }[]
    >`
      SELECT b."partId", b."binId", b."quantity" FROM json_each(${json}) k
      JOIN "Balance" b ON b."partId" = k.value->>0 AND b."binId" = k.value->>1`,
  )
  return new Map(rows.map((row) => [`${row.partId} ${row.binId}`, Number(row.quantity)]))
}

/**
 * What lies in the bins, as counted, of each batch where the list names them: each row that differs from the books is a count difference in the ledger with its reason;
 * a balance is never written by itself. Stores and bins that are not known are made, at the end of the walk.
 */
export const stockPlan: Planner<'stock'> = async (reader, rows, context): Promise<ExchangePlan> => {
  const refused = new Refused()
  const named = await partNamer(
    reader,
    rows.map((row) => row.values.number),
  )
  const known = await binsKnown(reader)
  const seen = new Map<string, number>()
  const partOf = (row: (typeof rows)[number]) => named(row, row.values.number, row.values.maker, refused)
  // Lists without batches are as long as ever, and pay nothing for them.
  const parts =
    context.columns.has('batch') || context.columns.has('use_by')
      ? new Map(rows.map((row) => [row, partOf(row)] as const))
      : null
  const lots =
    parts &&
    (await lotReader(
      reader,
      [...parts.values()].flatMap((part) => part?.id ?? []),
    ))
  const read = rows.flatMap((row) => {
    const { values } = row
    const part = parts ? parts.get(row) : partOf(row)
    if (!part) return []
    const place: Place = {
      store: values.store,
      storeKey: nameKey(values.store),
      storeKind: values.store_kind ?? 'building',
      bin: values.bin,
      binKey: partNumberKey(values.bin),
      walkOrder: values.walk_order ?? null,
    }
    if (values.unit !== undefined && values.unit !== part.unit)
      refused.at(row, 'unit', `is ${values.unit}, but the part is kept by ${part.unit}`)
    const counted = quantityOf(row, 'quantity', values.quantity, part.unit, refused)
    const lot = lots === null ? null : lots.of(row, part.id, counted, refused)
    if (lot === undefined) return []
    const what = lot ? 'batch in the same bin' : 'part in the same bin'
    const key = `${placeKey(place)}\n${part.id}`
    if (!isFirst(seen, lot ? `${key}\n${lot.codeKey}` : key, row, refused, what)) return []
    const book = quantityOf(row, 'book_quantity', values.book_quantity, part.unit, refused)
    const binId = known.bins.get(placeKey(place))
    const why = binId === undefined ? undefined : known.barred.get(binId)
    if (why !== undefined) refused.at(row, 'bin', why)
    return counted === undefined ? [] : [{ row, part, place, counted, book, binId, lot }]
  })
  const balances = await onHand(
    reader,
    read.flatMap(({ part, binId }) => (binId === undefined ? [] : [[part.id, binId] as const])),
  )
  const counts = { new: 0, changed: 0, same: 0 }
  const fresh = new Map<string, Place>()
  const placings: (Omit<Counted, 'binId'> & { bin: string; lot?: RowLot | null })[] = []
  const lotsSaid: RowLot[] = []
  const inLots = new Set(read.flatMap(({ part, place, lot }) => (lot ? [`${placeKey(place)}\n${part.id}`] : [])))
  for (const { row, part, place, counted, book, binId, lot } of read) {
    const whole = binId === undefined ? undefined : balances.get(`${part.id} ${binId}`)
    // Beside rows of its batches, a row that names none is about what belongs to none.
    const isLoose = !lot && inLots.has(`${placeKey(place)}\n${part.id}`)
    const before =
      whole === undefined || binId === undefined || !lots || !(lot || isLoose)
        ? whole
        : lot
          ? lot.id === null
            ? undefined
            : lots.there(lot.id, binId)
          : whole - lots.inBatches(part.id, binId)
    // A part that never lay in the bin has no books to be wrong: a list from another workshop may bring its first stock.
    if (book !== undefined && before !== undefined && book !== before) {
      const says = (quantity: number) => quantityFormat(quantity, part.unit)
      refused.at(
        row,
        'book_quantity',
        `the books said ${says(book)} when counting began and say ${says(before)} now; count the bin again`,
      )
    }
    if (binId === undefined) fresh.set(placeKey(place), fresh.get(placeKey(place)) ?? place)
    if (lot) lotsSaid.push(lot)
    if (counted === (before ?? 0)) {
      counts[lot?.isDated ? 'changed' : 'same'] += 1
      continue
    }
    if (before === undefined) counts.new += 1
    else counts.changed += 1
    const reason = row.values.reason ?? `Stock list ${context.file}`.slice(0, 200)
    placings.push({
      partId: part.id,
      bin: placeKey(place),
      onHand: before ?? 0,
      counted,
      reason,
      ...(lot || isLoose ? { lot } : {}),
    })
  }
  const newStores = new Map(
    [...fresh.values()].filter((one) => !known.stores.has(one.storeKey)).map((one) => [one.storeKey, one]),
  )
  return {
    refusals: refused.list,
    counts,
    made: { stores: newStores.size, bins: fresh.size },
    async write(tx) {
      await binsMake(tx, newStores, [...fresh.values()])
      const batchOf = await lotsMake(tx, lotsSaid)
      const { bins } = fresh.size > 0 ? await binsKnown(tx) : known
      await countsPlace(
        tx,
        context.write,
        placings.map(({ bin, lot, ...placing }) => ({
          ...placing,
          binId: bins.get(bin)!,
          ...(lot === undefined ? {} : { batchId: lot && batchOf(lot) }),
        })),
      )
    },
  }
}

async function binsMake(tx: Tx, stores: ReadonlyMap<string, Place>, bins: readonly Place[]): Promise<void> {
  await put(
    [...stores],
    ([key, { store, storeKind }]) => [key, store, storeKind],
    (json) => tx.$executeRaw`
      INSERT INTO "Store" ("nameKey", "name", "kind") SELECT value->>0, value->>1, value->>2 FROM json_each(${json})`,
  )
  // Behind every bin there is: a person says later where they stand.
  await put(
    bins,
    ({ storeKey, bin, binKey, walkOrder }) => [storeKey, bin, binKey, walkOrder],
    (json) => tx.$executeRaw`
      INSERT INTO "Bin" ("storeId", "code", "codeKey", "walkOrder")
      SELECT s."id", j.value->>1, j.value->>2, COALESCE(j.value->>3, (SELECT COALESCE(MAX("walkOrder"), 0) FROM "Bin") + j.key + 1)
      FROM json_each(${json}) j JOIN "Store" s ON s."nameKey" = j.value->>0`,
  )
}
