import type { PartClass } from '../../lib/catalogue/part-class.ts'
import type { PartFacts } from '../../lib/figure/schema.ts'
import type { StockUnit } from '../../lib/measure/quantity.ts'

export type Criticality = 'vital' | 'essential' | 'desirable'

/** A part of the estate's own catalogue, beside those that the figures list. */
export interface EstatePart {
  maker: string
  number: string
  description: string
  partClass: PartClass
  unit: StockUnit
  facts: PartFacts
  /** Price of one stock unit, money minor units. */
  priceMinor: number
  criticality: Criticality
}

interface More {
  unit?: StockUnit
  facts?: PartFacts
  criticality?: Criticality
}

export function estatePart(
  maker: string,
  number: string,
  description: string,
  partClass: PartClass,
  priceMinor: number,
  more: More = {},
): EstatePart {
  return {
    maker,
    number,
    description,
    partClass,
    unit: more.unit ?? 'each',
    facts: more.facts ?? {},
    priceMinor,
    criticality: more.criticality ?? 'essential',
  }
}

/** Invented brands of goods that fit any machine. */
export const GOODS = {
  fasteners: 'Brindlewick',
  bearings: 'Corvale',
  seals: 'Wexcombe',
  belts: 'Oxmarsh',
  filters: 'Linfold',
  fluids: 'Tallowmere',
  chemicals: 'Gristock',
  hoses: 'Saxholme',
  electrical: 'Lampwick Vale',
  safety: 'Hollin Croft',
} as const
