import { stringify } from 'csv-stringify/sync'
import { quantityInput } from '../measure/quantity.ts'
import type { BuyGroup } from './buy-list.ts'
import { lotDays, type OrderLots } from './lots.ts'

/**
 * The list to buy of a winter plan as CSV (RFC 4180; UTF-8 with a byte order mark), a row a line. Quantities in the stock unit of
 * their row with a decimal point, money in whole units of the currency, dates by ISO 8601. Carriage is a row of its own, so that
 * the costs add up to what the list says when all is ordered at once; `cheapest_order_by` is the day of the order in which a line
 * goes where several orders are cheaper, else that of the order.
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

const amount = (minor: number) => (minor / 100).toFixed(2)

export function winterCsv(
  groups: readonly BuyGroup[],
  orderLots: ReadonlyMap<number, OrderLots>,
  currency: string,
): string {
  const rows = groups.flatMap(({ supplier, lastDay, lines, carriageMinor }) => {
    const dayOf = lotDays(orderLots.get(supplier.id))
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
        why: [isByHand ? 'by hand' : isCertain ? 'certain' : 'may be needed', ...part.goesWith].join('; '),
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
  return stringify(rows, {
    header: true,
    columns: [...WINTER_COLUMNS],
    bom: true,
    escape_formulas: true,
    record_delimiter: 'windows',
    quoted_match: /[\r\n]/,
  })
}
