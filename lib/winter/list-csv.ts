import { stringify } from 'csv-stringify/sync'
import { quantityInput } from '../measure/quantity.ts'
import type { BuyGroup } from './buy-list.ts'
import { lotDays, type OrderLots } from './lots.ts'
import type { NotToBeHad } from './not-to-be-had.ts'

/**
 * The list to buy of a winter plan as CSV (RFC 4180; UTF-8 with a byte order mark), a row a line. Quantities in the stock unit of
 * their row with a decimal point, money in whole units of the currency, dates by ISO 8601. Carriage is a row of its own, so that
 * the costs add up to what the list says when all is ordered at once; `cheapest_order_by` is the day of the order in which a line
 * goes where several orders are cheaper, else that of the order. What nobody on file can bring in time stands last, without
 * supplier and price, with the reason.
 */
export const WINTER_COLUMNS = [
  'supplier',
  'order_by',
  'part_number',
  'supplier_number',
  'maker',
  'description',
  'quantity',
  'unit',
  'price',
  'cost',
  'currency',
  'needed_on',
  'why',
  'cheapest_order_by',
] as const

const certainSays = (isCertain: boolean) => (isCertain ? 'certain' : 'may be needed')

const amount = (minor: number) => (minor / 100).toFixed(2)

export function winterCsv(
  groups: readonly BuyGroup[],
  { absent, lots }: { absent: readonly NotToBeHad[]; lots: ReadonlyMap<number, OrderLots> },
  currency: string,
): string {
  const bought = groups.flatMap(({ supplier, lastDay, lines, carriageMinor }) => {
    const dayOf = lotDays(lots.get(supplier.id))
    return [
      ...lines.map(({ part, quantity, priceMinor, costMinor, isCertain, isByHand }) => ({
        supplier: supplier.name,
        order_by: lastDay,
        part_number: part.number,
        supplier_number: part.supplierNumber ?? '',
        maker: part.maker,
        description: part.description,
        quantity: quantityInput(quantity, part.unit),
        unit: part.unit,
        price: amount(priceMinor),
        cost: amount(costMinor),
        currency,
        needed_on: part.neededOn,
        why: [isByHand ? 'by hand' : certainSays(isCertain), ...part.goesWith].join('; '),
        cheapest_order_by: dayOf.get(part.partId) ?? lastDay,
      })),
      ...(carriageMinor === 0
        ? []
        : [
            {
              ...{ supplier: supplier.name, order_by: lastDay, part_number: '', supplier_number: '', maker: '' },
              ...{ description: 'Carriage', quantity: '', unit: '', price: '', cost: amount(carriageMinor), currency },
              ...{ needed_on: '', why: '', cheapest_order_by: '' },
            },
          ]),
    ]
  })
  const missing = absent.map(({ number, maker, description, quantity, unit, isCertain, neededOn, why }) => ({
    ...{ supplier: '', order_by: '', part_number: number, supplier_number: '', maker, description },
    ...{ quantity: quantityInput(quantity, unit), unit, price: '', cost: '', currency: '', needed_on: neededOn },
    ...{ why: `not to be had: ${why}; ${certainSays(isCertain)}`, cheapest_order_by: '' },
  }))
  return stringify([...bought, ...missing], {
    header: true,
    columns: [...WINTER_COLUMNS],
    bom: true,
    escape_formulas: true,
    record_delimiter: 'windows',
    quoted_match: /[\r\n]/,
  })
}
