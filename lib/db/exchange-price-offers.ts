import { nameKey } from '../catalogue/part-number.ts'
import type { BrokenRow, CheckedRow } from '../exchange/check.ts'
import { quantityFormat } from '../measure/quantity.ts'
import { listFault, type SaidPrice } from '../price/price-list.ts'
import { orderRound } from '../replenish/order-list.ts'
import type { BreakKind } from '../replenish/quantity.ts'
import type { NamedPart } from './exchange-part-named.ts'
import { quantityOf, type Refused } from './exchange-rows.ts'

export type Row = CheckedRow<'prices'>
/** A row of which not all could be read or used. */
export type Broken = BrokenRow
/** Stands for a supplier that is not known. */
const NOBODY: KnownSupplier = { id: 0, name: '', currency: '', discountHundredths: 0 }

/** One list as the file has it, by supplier and name. */
export interface SaidList {
  key: string
  row: Row
  supplier: KnownSupplier
  nameKey: string
  validFrom: string
  validUntil: string | null
  breakKind: BreakKind
  /** Kept under that name already. */
  listId: number | null
}

export interface KnownSupplier {
  id: number
  name: string
  currency: string
  discountHundredths: number
}

export interface KnownOffer {
  partId: number
  pack: number
  minimum: number
  withdrawn: boolean
  supplierNumber: string | null
}

/** All prices of one part on one list of the file. */
export interface SaidOffer {
  list: SaidList
  part: NamedPart
  /** As the file calls it. */
  called: string
  rows: Row[]
  prices: SaidPrice[]
}

export const offerKey = (supplierId: number, partId: number) => `${supplierId} ${partId}`

/** Rows that can be used, gathered by list and part, each with its prices in order; the others are refused. */
export function offersSaid(
  rows: readonly Row[],
  found: ReadonlyMap<Row, { list: SaidList; part: NamedPart }>,
  known: ReadonlyMap<string, KnownOffer>,
  refused: Refused,
): SaidOffer[] {
  const offers = new Map<string, SaidOffer>()
  for (const row of rows) {
    const at = found.get(row)
    if (!at) continue
    const { list, part } = at
    const called = row.values.number ?? row.values.supplier_number ?? ''
    const offer = known.get(offerKey(list.supplier.id, part.id))
    if (offer?.withdrawn) {
      refused.at(row, 'number', `${list.supplier.name} does not sell ${called} any more; offer it again first`)
      continue
    }
    const least = offer ? orderRound(1, offer) : 1
    const from = quantityOf(row, 'from_quantity', row.values.from_quantity, part.unit, refused) ?? least
    const to = quantityOf(row, 'to_quantity', row.values.to_quantity, part.unit, refused)
    const key = `${list.key}\n${part.id}`
    const said = offers.get(key) ?? { list, part, called, rows: [], prices: [] }
    if (said.prices.some((price) => price.from === from))
      refused.at(row, 'from_quantity', `is a second price of ${called} from ${quantityFormat(from, part.unit)}`)
    said.rows.push(row)
    said.prices.push({ from, ...(to === undefined ? {} : { to }), priceMinor: row.values.price })
    offers.set(key, said)
  }
  for (const said of offers.values()) {
    said.prices.sort((a, b) => a.from - b.from)
    const { part, list, prices, rows: of, called } = said
    const offer = known.get(offerKey(list.supplier.id, part.id)) ?? newOffer(said)
    const why = listFault(prices, offer, (quantity) => quantityFormat(quantity, part.unit))
    // Told at each of its rows: they are mended together.
    if (why !== null) for (const row of of) refused.at(row, 'from_quantity', `of ${called}: ${why}; correct its rows`)
  }
  return [...offers.values()]
}

/** An offer that the list is the first to name: sold by the stock unit's smallest part, from its first quantity on. */
export function newOffer({ prices }: Pick<SaidOffer, 'prices'>): Pick<KnownOffer, 'pack' | 'minimum'> {
  return { pack: 1, minimum: Math.max(1, prices[0]?.from ?? 1) }
}

/**
 * Offers of which every row can be used: the prices of a part on a list come in together or not at all. The other rows of the rest
 * are refused as well, so that the file of refused rows holds all that has to be mended and brought again. `spoiled` answers the row
 * that spoils an offer from outside, or undefined.
 */
export function offersWhole(
  offers: readonly SaidOffer[],
  spoiled: (offer: SaidOffer) => number | undefined,
  refused: Refused,
): SaidOffer[] {
  const isRefused = new Set(refused.list.map(({ row }) => row))
  return offers.filter((offer) => {
    const bad = offer.rows.find(({ row }) => isRefused.has(row))?.row ?? spoiled(offer)
    if (bad === undefined) return true
    for (const row of offer.rows)
      if (!isRefused.has(row.row))
        refused.at(row, '', `belongs to row ${bad}, which is refused: the prices of ${offer.called} come in together`)
    return false
  })
}

/**
 * Rows without an offer to stand in, by what they name: a row that cannot be read, or of a supplier that is not known, may be a
 * break of a part that other rows tell of, and that part would come in without it.
 */
export function spoilers(
  rows: readonly Broken[],
  suppliers: ReadonlyMap<string, KnownSupplier>,
  partOf: (row: Broken, supplier: KnownSupplier) => number | undefined,
): (offer: SaidOffer) => number | undefined {
  const bySaid = new Map<string, number>()
  const said = (list: string, supplierId: number, partId: number) => [list, supplierId, partId].join('\n')
  for (const row of rows) {
    const { list, supplier } = row.values
    const of = (typeof supplier === 'string' ? suppliers.get(nameKey(supplier)) : undefined) ?? NOBODY
    const partId = partOf(row, of)
    if (partId === undefined) continue
    const key = said(typeof list === 'string' ? nameKey(list) : '', of.id, partId)
    if (!bySaid.has(key)) bySaid.set(key, row.row)
  }
  // By its list and supplier; where either could not be read or is not known, by the rest.
  return ({ list, part }) =>
    bySaid.get(said(list.nameKey, list.supplier.id, part.id)) ??
    bySaid.get(said('', list.supplier.id, part.id)) ??
    bySaid.get(said(list.nameKey, NOBODY.id, part.id)) ??
    bySaid.get(said('', NOBODY.id, part.id))
}
