import { PART_CLASSES } from '../catalogue/part-class.ts'
import { Item } from '../figure/schema.ts'
import { STOCK_UNITS, type StockUnit } from '../measure/quantity.ts'
import { type Column, choice, identifier, money, number, optional, quantity, required, text, yesNo } from './column.ts'

/**
 * What the workshop brings in and takes out, one set of columns a kind; the same for CSV, XLSX and JSON, in both directions.
 * docs/columns.md is printed from here.
 */
const UNIT_WORDS: Record<string, StockUnit> = {
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
const millimetres = (says: string) => optional(number(`${says}, millimetres`, 0.001, 5000, 3))
const unit = () =>
  optional(
    choice('stock unit: each, litre, kilogram or metre; new parts: each', STOCK_UNITS, UNIT_WORDS),
    'uom',
    'u/m',
    'stock unit',
    'unit of measure',
    'unit of issue',
  )
const partClass = () =>
  optional(
    choice('what kind of thing it is; new parts: other', PART_CLASSES),
    'part class',
    'category',
    'group',
    'type',
  )
const currency = () => optional(text('ISO 4217 code; must be the currency of the workshop', 3), 'ccy', 'currency code')

/** An item as figure files have it. */
const itemNumber = (says: string): Omit<Column<string>, 'required' | 'words'> => ({
  type: 'identifier',
  says,
  read: Item,
})

const partMaker = () => identifier('who makes it', 80)
const MAKER_WORDS = ['manufacturer', 'make', 'brand', 'mfr', 'mfg', 'part maker']
const NUMBER_WORDS = [
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
const DESCRIPTION_WORDS = ['name', 'part name', 'part description', 'designation', 'desc', 'nomenclature', 'title']
const MODEL_WORDS = ['machine model', 'model name', 'machine type']
const MODEL_MAKER_WORDS = ['machine maker', 'machine manufacturer', 'model manufacturer', 'machine make']

const parts = {
  maker: required(partMaker(), ...MAKER_WORDS),
  number: required(identifier('part number as printed'), ...NUMBER_WORDS),
  description: optional(text('what it is; a part that is new must have one'), ...DESCRIPTION_WORDS),
  class: partClass(),
  unit: unit(),
  criticality: optional(
    choice('vital, essential or desirable: by what stands still without it; new parts: essential', CRITICALITIES),
    'critical',
    'importance',
    'ved',
  ),
  cost: optional(
    money('last known cost of one stock unit'),
    'unit cost',
    'price',
    'unit price',
    'cost price',
    'standard cost',
    'last cost',
  ),
  currency: currency(),
  reorder_point: optional(
    quantity('order when free and ordered together fall to it; only together with order_up_to'),
    'min',
    'minimum stock',
    'min stock',
    'reorder level',
    'rop',
    'min level',
  ),
  order_up_to: optional(
    quantity('order up to this; above reorder_point'),
    'max',
    'maximum stock',
    'max stock',
    'order up to level',
    'max level',
    'target stock',
  ),
  level_reason: optional(text('why the levels are what they are')),
  split_pin_mm: millimetres('nominal size of a split pin'),
  length_mm: optional(number('length, millimetres', 0.001, 5000, 3), 'length'),
  bore_mm: optional(number('bore, millimetres', 0.001, 5000, 3), 'bore', 'inside diameter', 'id mm'),
  outside_mm: optional(number('outside diameter, millimetres', 0.001, 5000, 3), 'outside diameter', 'od mm'),
  width_mm: optional(number('width, millimetres', 0.001, 5000, 3), 'width'),
  thread: optional(text('thread, e.g. M16x1.5', 20)),
  property_class: optional(text('property class of a fastener, e.g. 8.8', 8), 'strength class', 'grade of bolt'),
  grade: optional(text('grade of a compound, grease or oil', 40)),
}

const partsLists = {
  model_maker: required(identifier('maker of the machine', 80), ...MODEL_MAKER_WORDS),
  model: required(identifier('machine model; made when it is not known', 80), ...MODEL_WORDS),
  model_kind: optional(text('kind of machine, e.g. flail mower; new models: machine', 60), 'machine kind', 'kind'),
  figure: required(
    identifier('figure number as printed', 20),
    'figure number',
    'figure no',
    'fig',
    'fig no',
    'plate',
    'diagram',
    'page',
  ),
  figure_title: optional(
    text('title of the figure; a new one without it is called Figure and its number', 120),
    'assembly',
    'figure name',
    'section',
  ),
  item: required(
    itemNumber('item number on the drawing: 7 or 12A'),
    'item no',
    'item number',
    'callout',
    'ref',
    'ref no',
    'reference',
    'pos',
    'position',
    'index',
    'key',
  ),
  maker: optional(partMaker(), ...MAKER_WORDS),
  number: required(identifier('part number as printed'), ...NUMBER_WORDS),
  description: required(text('what the list calls it'), ...DESCRIPTION_WORDS),
  quantity: required(
    quantity('per assembly, in the stock unit of the part'),
    'qty',
    'quantity per assembly',
    'qty per assy',
    'units per assy',
    'no off',
    'no. off',
    'number off',
    'qty req',
  ),
  quantity_note: optional(text('printed in place of a number: AR, REF', 20), 'qty note'),
  unit: unit(),
  class: partClass(),
  indenture: optional(
    number('0 the assembly itself, 1 its parts, 2 parts of parts; new lines: 1', 0, 9),
    'level',
    'indent',
    'indenture level',
  ),
  attaches: optional(itemNumber('item whose part this line holds'), 'holds', 'attaching'),
  serial_from: optional(
    identifier('applies from this serial number on', 40),
    'from serial',
    's/n from',
    'effective from',
    'sn from',
  ),
  serial_to: optional(
    identifier('applies up to this serial number', 40),
    'to serial',
    's/n to',
    'effective to',
    'sn to',
    'up to serial',
  ),
  side: optional(choice('LH or RH', ['LH', 'RH'], { left: 'LH', l: 'LH', right: 'RH', r: 'RH' }), 'hand', 'lh/rh'),
  note: optional(text('note of the list', 300), 'notes', 'remark', 'remarks', 'comment', 'comments'),
}

const stock = {
  store: required(identifier('building or van; made when it is not known', 80), 'warehouse', 'site', 'depot'),
  bin: required(
    identifier('bin code; made when it is not known', 40),
    'bin code',
    'bin location',
    'shelf',
    'location',
    'bin no',
  ),
  maker: optional(identifier('who makes the part; needed where two makers have the number', 80), ...MAKER_WORDS),
  number: required(identifier('part number; the part must be known'), ...NUMBER_WORDS),
  description: optional(text('for the reader only; nothing is changed by it'), ...DESCRIPTION_WORDS),
  quantity: required(
    quantity('what lies in the bin, in the stock unit of the part'),
    'qty',
    'on hand',
    'counted',
    'count',
    'stock',
    'qoh',
    'quantity on hand',
  ),
  unit: optional(
    choice('stock unit, to be checked against the part', STOCK_UNITS, UNIT_WORDS),
    'uom',
    'u/m',
    'stock unit',
    'unit of measure',
  ),
  book_quantity: optional(
    quantity('what the books said when counting began; when the shelf has moved since, the row is refused'),
    'book stock',
    'system quantity',
    'expected',
  ),
  reason: optional(text('why the shelf differs; else the name of the file'), 'why', 'remark'),
}

const suppliers = {
  supplier: required(
    identifier('name of the supplier; made when it is not known', 80),
    'supplier name',
    'vendor',
    'vendor name',
    'dealer',
  ),
  contact: optional(text('telephone, mail or person'), 'phone', 'telephone', 'email', 'contact person'),
  lead_time_days: optional(
    number('calendar days from order to delivery; a new supplier must have it', 0, 1000),
    'lead time',
    'lead time (days)',
    'delivery days',
    'delivery time',
  ),
  minimum_order: optional(
    money('least value of an order; new suppliers: 0'),
    'min order',
    'minimum order value',
    'moq value',
  ),
  carriage: optional(money('carriage on an order; new suppliers: 0'), 'freight', 'shipping', 'delivery charge'),
  carriage_paid_from: optional(
    money('value from which carriage is paid'),
    'carriage paid',
    'free delivery from',
    'free freight from',
    'free shipping from',
  ),
  maker: optional(identifier('who makes the part; needed where two makers have the number', 80), ...MAKER_WORDS),
  number: optional(identifier('part number of ours; empty for a supplier without offers'), ...NUMBER_WORDS),
  supplier_number: optional(
    identifier("the supplier's own number", 60),
    'supplier part number',
    'vendor part number',
    'order number',
    'supplier part no',
    'order code',
    'catalogue number',
    'catalog number',
  ),
  pack: optional(
    quantity('sold in multiples of this; new offers: one stock unit'),
    'pack size',
    'packing unit',
    'multiple',
    'pack qty',
  ),
  minimum: optional(
    quantity('least quantity of an order line; new offers: one pack'),
    'moq',
    'min qty',
    'minimum quantity',
    'minimum order quantity',
  ),
  price: optional(
    money('of one stock unit; a new offer must have it'),
    'unit price',
    'cost',
    'net price',
    'list price',
  ),
  preferred: optional(yesNo('yes or no: ordered here first; new offers: no'), 'main supplier', 'preferred supplier'),
  currency: currency(),
}

const machines = {
  model_maker: required(identifier('maker of the machine', 80), ...MODEL_MAKER_WORDS, ...MAKER_WORDS),
  model: required(identifier('machine model; made when it is not known', 80), ...MODEL_WORDS),
  model_kind: optional(
    text('kind of machine, e.g. flail mower; new models: machine', 60),
    'machine kind',
    'kind',
    'type',
    'category',
  ),
  fleet_number: required(
    identifier('the number painted on it', 20),
    'fleet no',
    'unit number',
    'asset number',
    'asset',
    'unit no',
    'machine number',
    'plant number',
  ),
  name: optional(
    text('what people call it; a machine that is new must have one', 80),
    'machine',
    'description',
    'machine name',
  ),
  serial_number: optional(
    identifier('serial number on its plate', 40),
    'serial',
    'serial no',
    's/n',
    'sn',
    'vin',
    'pin',
    'chassis number',
  ),
  year: optional(number('year it was built', 1900, 2100), 'year of build', 'model year', 'built', 'year built'),
  hours: optional(
    number('reading of the hour meter; never below the last one', 0, 999_999, 1),
    'hour meter',
    'meter',
    'hour reading',
    'operating hours',
    'engine hours',
  ),
}

export const KINDS = {
  parts: {
    title: 'Parts',
    says: 'the catalogue of parts, with cost and levels',
    key: 'maker and number',
    columns: parts,
  },
  'parts-lists': {
    title: 'Parts lists',
    says: 'the lists of figures: item, part and quantity',
    key: 'model, figure, item, part, serial break and side',
    columns: partsLists,
  },
  stock: {
    title: 'Stock',
    says: 'what lies in which bin; booked as count differences',
    key: 'store, bin and part',
    columns: stock,
  },
  suppliers: {
    title: 'Suppliers and offers',
    says: 'suppliers and what they sell, one row an offer',
    key: 'supplier and part',
    columns: suppliers,
  },
  machines: { title: 'Machines', says: 'the machines of the fleet', key: 'fleet number', columns: machines },
} as const

export type Kind = keyof typeof KINDS
export const KIND_NAMES = Object.keys(KINDS) as Kind[]

export type ValuesOf<C> = { [N in keyof C]: C[N] extends Column<infer T> ? T : never }
/** A row of a file as it was read: names are those of the columns. */
export type RowOf<K extends Kind> = ValuesOf<(typeof KINDS)[K]['columns']>

export function kindIs(text: string): text is Kind {
  return Object.hasOwn(KINDS, text)
}

export function columnsOf(kind: Kind): [name: string, column: Column][] {
  return Object.entries<Column>(KINDS[kind].columns)
}
