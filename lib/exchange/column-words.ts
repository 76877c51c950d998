import { PART_CLASSES } from '../catalogue/part-class.ts'
import { Item } from '../figure/schema.ts'
import { STOCK_UNITS, type StockUnit } from '../measure/quantity.ts'
import { type Column, choice, identifier, number, optional, text } from './column.ts'

/** Columns that several kinds share, and the words people put over them, UK and US. */
export const UNIT_WORDS: Record<string, StockUnit> = {
  ea: 'each',
  pc: 'each',
  pcs: 'each',
  piece: 'each',
  pieces: 'each',
  off: 'each',
  no: 'each',
  unit: 'each',
  l: 'litre',
  lt: 'litre',
  ltr: 'litre',
  litres: 'litre',
  liter: 'litre',
  liters: 'litre',
  kg: 'kilogram',
  kilo: 'kilogram',
  kilos: 'kilogram',
  kilograms: 'kilogram',
  kilogramme: 'kilogram',
  m: 'metre',
  mtr: 'metre',
  metres: 'metre',
  meter: 'metre',
  meters: 'metre',
}

export const CRITICALITIES = ['vital', 'essential', 'desirable'] as const
export const millimetres = (says: string) => optional(number(`${says}, millimetres`, 0.001, 5000, 3))
export const unit = () =>
  optional(
    choice('stock unit: each, litre, kilogram or metre; new parts: each', STOCK_UNITS, UNIT_WORDS),
    'uom',
    'u/m',
    'stock unit',
    'unit of measure',
    'unit of issue',
  )
export const partClass = () =>
  optional(
    choice('what kind of thing it is; new parts: other', PART_CLASSES),
    'part class',
    'category',
    'group',
    'type',
  )
export const currency = () =>
  optional(text('ISO 4217 code; must be the currency of the workshop', 3), 'ccy', 'currency code')

/** An item as figure files have it. */
export const itemNumber = (says: string): Omit<Column<string>, 'required' | 'words'> => ({
  type: 'identifier',
  says,
  read: Item,
})

export const partMaker = () => identifier('who makes it', 80)
export const MAKER_WORDS = ['manufacturer', 'make', 'brand', 'mfr', 'mfg', 'part maker']
export const NUMBER_WORDS = [
  'part number',
  'part no',
  'part nr',
  'p/n',
  'pn',
  'part',
  'maker number',
  'manufacturer part number',
  'mpn',
  'stock number',
  'article',
  'part #',
]
export const DESCRIPTION_WORDS = [
  'name',
  'part name',
  'part description',
  'designation',
  'desc',
  'nomenclature',
  'title',
]
export const MODEL_WORDS = ['machine model', 'model name', 'machine type']
export const MODEL_MAKER_WORDS = ['machine maker', 'machine manufacturer', 'model manufacturer', 'machine make']
