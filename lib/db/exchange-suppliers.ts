import { nameKey } from '../catalogue/part-number.ts'
import type { CheckedRow } from '../exchange/check.ts'
import { quantityScale } from '../measure/quantity.ts'
import { currencyFits } from '../price/rate.ts'
import type { Tx } from './client.ts'
import { partNamer } from './exchange-part-named.ts'
import {
  asked,
  type ExchangePlan,
  isFirst,
  type Planner,
  put,
  quantityOf,
  type Reader,
  Refused,
} from './exchange-rows.ts'

type Row = CheckedRow<'suppliers'>

/** What a file says of one supplier; undefined where it says nothing. */
interface Said {
  row: Row
  name: string
  facts: Facts
}
interface Facts {
  contact: string | undefined
  email: string | undefined
  our_number: string | undefined
  order_days: string | undefined
  lead_time_days: number | undefined
  minimum_order: number | undefined
  carriage: number | undefined
  carriage_paid_from: number | undefined
  note: string | undefined
  discount: number | undefined
  currency: string | undefined
}
const FACTS = [
  'contact',
  'email',
  'our_number',
  'order_days',
  'lead_time_days',
  'minimum_order',
  'carriage',
  'carriage_paid_from',
  'note',
  'discount',
  'currency',
] as const

/** "1 4" of a file as "1,4" is kept; undefined with a refusal where it is no list of weekdays. */
function orderDaysSaid(row: Row, said: string | undefined, refused: Refused): string | undefined {
  if (said === undefined) return undefined
  const days = said.split(/[ ,;]+/).filter(Boolean)
  if (days.length > 0 && days.every((day) => /^[1-7]$/.test(day))) return [...new Set(days)].sort().join(',')
  refused.at(row, 'order_days', `${said} are no weekdays; write their numbers, 1 Monday to 7 Sunday, such as 1 4`)
  return undefined
}

/**
 * The currency as it is kept, null for the workshop's. A known supplier that has offers keeps its own: the prices of the file, and
 * those that are kept, would mean something else.
 */
function currencySaid(row: Row, before: { currency: string | null } | undefined, home: string, refused: Refused) {
  const said = row.values.currency?.toUpperCase()
  if (said === undefined) return before?.currency ?? null
  if (!currencyFits(said))
    refused.at(row, 'currency', `${said} is no currency with two decimals; write its ISO 4217 code, such as EUR`)
  else if (before && said !== (before.currency ?? home))
    refused.at(
      row,
      'currency',
      `is ${said}, but the supplier asks ${before.currency ?? home}; change its currency on its screen first`,
    )
  return said === home ? null : said
}

interface KnownOffer {
  supplierNumber: string | null
  pack: number
  minimum: number
  priceMinor: number
  preferred: boolean
  depositMinor: number | null
  returnDays: number | null
  /** Sells nothing any more; a list that has it says that it does. */
  withdrawn: boolean
}

/** The rows of a supplier tell of one supplier: two that differ cannot both be right. */
function suppliersSaid(rows: readonly Row[], refused: Refused): Map<string, Said> {
  const said = new Map<string, Said>()
  for (const row of rows) {
    const { values } = row
    const key = nameKey(values.supplier)
    const before = said.get(key)
    const facts = Object.fromEntries(FACTS.map((name) => [name, values[name]])) as unknown as Facts
    if (!before) {
      said.set(key, { row, name: values.supplier, facts })
      continue
    }
    for (const name of FACTS) {
      if (facts[name] === undefined || facts[name] === before.facts[name]) continue
      if (before.facts[name] === undefined) Object.assign(before.facts, { [name]: facts[name] })
      else refused.at(row, name, `differs from what row ${before.row.row} says of ${before.name}`)
    }
  }
  return said
}

async function offersKnown(
  reader: Reader,
  pairs: readonly (readonly [number, number])[],
): Promise<Map<string, KnownOffer>> {
  type Raw = {
    supplierId: number | bigint
    partId: number | bigint
    supplierNumber: string | null
    pack: number | bigint
    minimum: number | bigint
    priceMinor: number | bigint
    preferred: boolean | number | bigint
    depositMinor: number | bigint | null
    returnDays: number | bigint | null
    withdrawnAt: string | null
  }
  const rows = await asked(
    pairs,
    (json) => (reader as Tx).$queryRaw<Raw[]>`
      SELECT o."supplierId", o."partId", o."supplierNumber", o."pack", o."minimum", o."priceMinor", o."preferred",
        o."depositMinor", o."returnDays", o."withdrawnAt"
      FROM json_each(${json}) k JOIN "Offer" o ON o."supplierId" = k.value->>0 AND o."partId" = k.value->>1`,
  )
  return new Map(
    rows.map((row) => [
      `${row.supplierId} ${row.partId}`,
      {
        supplierNumber: row.supplierNumber,
        pack: Number(row.pack),
        minimum: Number(row.minimum),
        priceMinor: Number(row.priceMinor),
        preferred: Boolean(row.preferred),
        depositMinor: row.depositMinor === null ? null : Number(row.depositMinor),
        returnDays: row.returnDays === null ? null : Number(row.returnDays),
        withdrawn: row.withdrawnAt !== null,
      },
    ]),
  )
}

/** Suppliers by name and their offers by part. A row without a part number is about the supplier alone. */
export const suppliersPlan: Planner<'suppliers'> = async (reader, rows, context): Promise<ExchangePlan> => {
  const refused = new Refused()
  const named = await partNamer(
    reader,
    rows.flatMap((row) => row.values.number ?? []),
  )
  const known = new Map((await (reader as Tx).supplier.findMany()).map((supplier) => [supplier.nameKey, supplier]))
  const said = suppliersSaid(rows, refused)
  const counts = { new: 0, changed: 0, same: 0 }
  const changes: unknown[][] = []
  const touched = new Set<string>()
  for (const [key, { row, name, facts }] of said) {
    const before = known.get(key)
    if (!before && facts.lead_time_days === undefined)
      refused.at(row, 'lead_time_days', `is empty; ${name} is new and must have one`)
    const after = [
      facts.contact ?? before?.contact ?? null,
      facts.email ?? before?.email ?? null,
      facts.our_number ?? before?.customerNumber ?? null,
      orderDaysSaid(row, facts.order_days, refused) ?? before?.orderDays ?? null,
      facts.lead_time_days ?? before?.leadTimeDays ?? 0,
      facts.minimum_order ?? before?.minimumOrderMinor ?? 0,
      facts.carriage ?? before?.carriageMinor ?? 0,
      facts.carriage_paid_from ?? before?.carriagePaidFromMinor ?? null,
      facts.note ?? before?.note ?? null,
      facts.discount === undefined ? (before?.discountHundredths ?? 0) : Math.round(facts.discount * 100),
      currencySaid(row, before, context.currency, refused),
    ]
    const was = before && [
      before.contact,
      before.email,
      before.customerNumber,
      before.orderDays,
      before.leadTimeDays,
      before.minimumOrderMinor,
      before.carriageMinor,
      before.carriagePaidFromMinor,
      before.note,
      before.discountHundredths,
      before.currency,
    ]
    if (was?.every((value, at) => value === after[at])) continue
    touched.add(key)
    changes.push([key, before?.name ?? name, ...after])
  }
  const seen = new Map<string, number>()
  const read = rows.flatMap((row) => {
    const { values } = row
    const key = nameKey(values.supplier)
    if (values.number === undefined) {
      const isNews = said.get(key)?.row === row && touched.has(key)
      counts[isNews ? (known.has(key) ? 'changed' : 'new') : 'same'] += 1
      for (const name of [
        'supplier_number',
        'pack',
        'minimum',
        'price',
        'preferred',
        'deposit',
        'return_days',
      ] as const)
        if (values[name] !== undefined) refused.at(row, 'number', `is empty, but the row has ${name} of an offer`)
      return []
    }
    const part = named(row, values.number, values.maker, refused)
    return part && isFirst(seen, `${key}\n${part.id}`, row, refused, 'offer') ? [{ row, key, part }] : []
  })
  const offers = await offersKnown(
    reader,
    read.flatMap(({ key, part }) => {
      const supplier = known.get(key)
      return supplier ? [[supplier.id, part.id] as const] : []
    }),
  )
  const puts: unknown[][] = []
  for (const { row, key, part } of read) {
    const { values } = row
    const before = offers.get(`${known.get(key)?.id} ${part.id}`)
    const pack = quantityOf(row, 'pack', values.pack, part.unit, refused) ?? before?.pack ?? quantityScale(part.unit)
    const minimum = quantityOf(row, 'minimum', values.minimum, part.unit, refused) ?? before?.minimum ?? pack
    const price = values.price ?? before?.priceMinor
    if (price === undefined) refused.at(row, 'price', 'is empty; a new offer must have one')
    if (pack === 0) refused.at(row, 'pack', 'must be above 0')
    if (minimum === 0) refused.at(row, 'minimum', 'must be above 0')
    const deposit = values.deposit ?? before?.depositMinor ?? 0
    if (values.deposit !== undefined && deposit > 0 && part.unit !== 'each')
      refused.at(row, 'deposit', 'belongs to single pieces; the part is not counted by the piece')
    const after = [
      values.supplier_number ?? before?.supplierNumber ?? null,
      pack,
      minimum,
      price ?? 0,
      values.preferred ?? before?.preferred ?? false,
      deposit === 0 ? null : deposit,
      deposit === 0 ? null : (values.return_days ?? before?.returnDays ?? null),
    ]
    const was = before && [
      before.supplierNumber,
      before.pack,
      before.minimum,
      before.priceMinor,
      before.preferred,
      before.depositMinor,
      before.returnDays,
    ]
    const isSame = !before?.withdrawn && was?.every((value, at) => value === after[at]) === true
    counts[isSame ? 'same' : before ? 'changed' : 'new'] += 1
    if (!isSame) puts.push([key, part.id, ...after])
  }
  return {
    refusals: refused.list,
    counts,
    made: { suppliers: [...said.keys()].filter((key) => !known.has(key)).length, offers: puts.length },
    async write(tx) {
      await put(
        changes,
        (row) => row,
        (json) => tx.$executeRaw`
          INSERT INTO "Supplier" ("nameKey", "name", "contact", "email", "customerNumber", "orderDays", "leadTimeDays",
            "minimumOrderMinor", "carriageMinor", "carriagePaidFromMinor", "note", "discountHundredths", "currency")
          SELECT value->>0, value->>1, value->>2, value->>3, value->>4, value->>5, value->>6, value->>7, value->>8, value->>9,
            value->>10, value->>11, value->>12
          FROM json_each(${json}) WHERE true
          ON CONFLICT ("nameKey") DO UPDATE SET "contact" = excluded."contact", "email" = excluded."email",
            "customerNumber" = excluded."customerNumber", "orderDays" = excluded."orderDays", "leadTimeDays" = excluded."leadTimeDays",
            "minimumOrderMinor" = excluded."minimumOrderMinor", "carriageMinor" = excluded."carriageMinor",
            "carriagePaidFromMinor" = excluded."carriagePaidFromMinor", "note" = excluded."note",
            "discountHundredths" = excluded."discountHundredths", "currency" = excluded."currency"`,
      )
      await put(
        puts,
        (row) => row,
        (json) => tx.$executeRaw`
          INSERT INTO "Offer" ("supplierId", "partId", "supplierNumber", "pack", "minimum", "priceMinor", "preferred",
            "depositMinor", "returnDays")
          SELECT s."id", j.value->>1, j.value->>2, j.value->>3, j.value->>4, j.value->>5, j.value->>6, j.value->>7, j.value->>8
          FROM json_each(${json}) j JOIN "Supplier" s ON s."nameKey" = j.value->>0 WHERE true
          ON CONFLICT ("supplierId", "partId") DO UPDATE SET "supplierNumber" = excluded."supplierNumber",
            "pack" = excluded."pack", "minimum" = excluded."minimum", "priceMinor" = excluded."priceMinor",
            "preferred" = excluded."preferred", "depositMinor" = excluded."depositMinor", "returnDays" = excluded."returnDays",
            "withdrawnAt" = NULL`,
      )
    },
  }
}
