import type { Column } from './column.ts'
import { parts, partsLists } from './columns-catalogue.ts'
import { counts } from './columns-counts.ts'
import { alternatives, kits, supersessions } from './columns-links.ts'
import { prices } from './columns-prices.ts'
import { machines, stock, suppliers } from './columns-workshop.ts'

/**
 * What the workshop brings in and takes out, one set of columns a kind; the same for CSV, XLSX and JSON, in both directions.
 * docs/columns.md is printed from here.
 */
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
  supersessions: {
    title: 'Supersessions',
    says: 'which part replaces which',
    key: 'old part and new part',
    columns: supersessions,
  },
  kits: { title: 'Kits', says: 'what is in which kit', key: 'kit and part in it', columns: kits },
  alternatives: {
    title: 'Alternatives',
    says: 'parts approved for the work of another; withdrawn ones are left out',
    key: 'part and alternative',
    columns: alternatives,
  },
  stock: {
    title: 'Stock',
    says: 'what lies in which bin; booked as count differences',
    key: 'store, bin and part',
    columns: stock,
  },
  counts: {
    title: 'Count sheets',
    says: 'what is to be counted, without what the books say; brought in with what was counted',
    key: 'line of the sheet',
    columns: counts,
  },
  suppliers: {
    title: 'Suppliers and offers',
    says: 'suppliers and what they sell, one row an offer',
    key: 'supplier and part',
    columns: suppliers,
  },
  prices: {
    title: 'Price lists',
    says: 'what suppliers ask from one day to another, by quantity; one row a break',
    key: 'supplier, list, part and quantity',
    columns: prices,
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
