import { z } from 'zod'
import { partClassSays } from '../catalogue/part-class.ts'
import { dateSays } from '../measure/date.ts'
import { moneyFormat, moneyMinor } from '../measure/money.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { Id } from './schema.ts'
import { type StockFacts, stockWords } from './stock-words.ts'

/** Columns of the stock table, in the order in which they stand; the part number always stands first. */
export const TABLE_COLUMNS = {
  description: 'Description',
  maker: 'Maker',
  where: 'Where',
  stock: 'Stock',
  reorder: 'Reorder point',
  upTo: 'Order up to',
  class: 'Class',
  criticality: 'Criticality',
  cost: 'Cost of one',
  value: 'Worth',
  moved: 'Last moved',
} as const
export type TableColumn = keyof typeof TABLE_COLUMNS

/** What stands there until somebody chooses. */
export const USUAL_COLUMNS: readonly TableColumn[] = ['description', 'where', 'stock', 'reorder']
/** Set on the right, under each other. */
export const NUMBER_COLUMNS: ReadonlySet<TableColumn> = new Set(['reorder', 'upTo', 'cost', 'value'])

export const TABLE_SORTS = { number: 'Part number', description: 'Description', value: 'Worth, most first' } as const
export type TableSort = keyof typeof TABLE_SORTS

export interface TableQuestion {
  search: string
  storeId: number | null
  /** low: at or below the reorder point; none: nothing free */
  state: 'all' | 'low' | 'none'
  sort: TableSort
  columns: readonly TableColumn[]
}

const COLUMN_NAMES = Object.keys(TABLE_COLUMNS) as [TableColumn, ...TableColumn[]]
const texts = (value: unknown) =>
  (Array.isArray(value) ? value : [value]).flatMap((one) => (typeof one === 'string' ? one.split(',') : []))

/** Reads what stands in an address; what cannot be read is left out. */
export const TableQuestionRead = z.object({
  search: z.string().max(200).catch(''),
  storeId: Id.nullable().catch(null),
  state: z.enum(['all', 'low', 'none']).catch('all'),
  sort: z.enum(Object.keys(TABLE_SORTS) as [TableSort, ...TableSort[]]).catch('number'),
  columns: z.preprocess(texts, z.array(z.string())).transform((names): readonly TableColumn[] => {
    const known = COLUMN_NAMES.filter((name) => names.includes(name))
    return known.length === 0 ? USUAL_COLUMNS : known
  }),
})

/** Where one window of the table begins: behind this row. `key` is what the table is sorted by. */
export const TableAnchor = z.object({ key: z.string().max(300), id: z.coerce.number<string>().int().min(0) })
export type TableAnchor = z.infer<typeof TableAnchor>

export interface TableRow {
  partId: number
  number: string
  maker: string
  description: string
  partClass: string
  criticality: string
  unit: StockUnit
  bins: { binId: number; bin: string; store: string; quantity: number }[]
  stock: StockFacts
  reorderPoint: number | null
  orderUpTo: number | null
  costMinor: number | null
  /** Of all that is on hand, money minor units. */
  valueMinor: number
  movedAt: Date | null
}

/** A piece of a cell: words, and where they lead when they lead anywhere. */
export interface CellPiece {
  text: string
  bin?: number
}

/** What a cell says, in pieces; the same for the rows of a page and for those that come while somebody scrolls. */
export function tableCell(row: TableRow, column: TableColumn, currency: string, today: string): CellPiece[] {
  const quantity = (minor: number | null) => (minor === null ? 'none' : quantityFormat(minor, row.unit))
  const money = (minor: number | null) => (minor === null ? 'not known' : moneyFormat(moneyMinor(minor), currency))
  switch (column) {
    case 'description':
      return [{ text: row.description }]
    case 'maker':
      return [{ text: row.maker }]
    case 'where':
      if (row.bins.length === 0) return [{ text: 'in no bin' }]
      return row.bins.flatMap((bin, at) => [
        { text: bin.bin, bin: bin.binId },
        { text: `: ${quantityFormat(bin.quantity, row.unit)} ${bin.store}${at < row.bins.length - 1 ? ', ' : ''}` },
      ])
    case 'stock': {
      const { shape, words } = stockWords(row.stock, row.unit, row.reorderPoint, null, today)
      return [{ text: `${shape} ${words}` }]
    }
    case 'reorder':
      return [{ text: quantity(row.reorderPoint) }]
    case 'upTo':
      return [{ text: quantity(row.orderUpTo) }]
    case 'class':
      return [{ text: partClassSays(row.partClass) }]
    case 'criticality':
      return [{ text: row.criticality }]
    case 'cost':
      return [{ text: money(row.costMinor) }]
    case 'value':
      return [{ text: money(row.valueMinor) }]
    case 'moved':
      return [{ text: row.movedAt === null ? 'never' : dateSays(row.movedAt) }]
  }
}
