/** Five invented suppliers. Money in minor units. */
export interface EstateSupplier {
  name: string
  contact: string
  /** Stated lead time; what really happens scatters around it. */
  leadTimeDays: number
  minimumOrderMinor: number
  carriageMinor: number
  carriagePaidFromMinor: number | null
}

export const SUPPLIERS = {
  factors: {
    name: 'Marlpit Farm Factors',
    contact: 'Trade counter, mornings; orders before noon leave the same day',
    leadTimeDays: 3,
    minimumOrderMinor: 0,
    carriageMinor: 850,
    carriagePaidFromMinor: 15_000,
  },
  bearings: {
    name: 'Thornwick Bearings & Belts',
    contact: 'Counter 2, ask for dimensions read back',
    leadTimeDays: 2,
    minimumOrderMinor: 2_500,
    carriageMinor: 695,
    carriagePaidFromMinor: 12_000,
  },
  orchard: {
    name: 'Ellerby Mower & Orchard Spares',
    contact: 'Order desk; van passes the estate on Fridays',
    leadTimeDays: 7,
    minimumOrderMinor: 5_000,
    carriageMinor: 1_250,
    carriagePaidFromMinor: 30_000,
  },
  hydraulics: {
    name: 'Saxholme Fluid Power',
    contact: 'Hoses made up to sample',
    leadTimeDays: 10,
    minimumOrderMinor: 4_000,
    carriageMinor: 1_100,
    carriagePaidFromMinor: 25_000,
  },
  imports: {
    name: 'Pendrell Machinery Imports',
    contact: 'Parts department, answers within two working days',
    leadTimeDays: 21,
    minimumOrderMinor: 10_000,
    carriageMinor: 2_400,
    carriagePaidFromMinor: 60_000,
  },
} as const satisfies Record<string, EstateSupplier>

export type SupplierKey = keyof typeof SUPPLIERS
export const SUPPLIER_KEYS = Object.keys(SUPPLIERS) as SupplierKey[]
