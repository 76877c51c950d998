/** Five invented suppliers. Money in minor units. */
export interface EstateSupplier {
  name: string
  contact: string
  /** A name of RFC 2606 that nobody can own. */
  email: string
  customerNumber: string | null
  /** Weekdays by ISO 8601 number; null: any day. */
  orderDays: string | null
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
    email: 'counter@marlpit.example',
    customerNumber: 'QB-117',
    orderDays: null,
    leadTimeDays: 3,
    minimumOrderMinor: 0,
    carriageMinor: 850,
    carriagePaidFromMinor: 15_000,
  },
  bearings: {
    name: 'Thornwick Bearings & Belts',
    contact: 'Counter 2, ask for dimensions read back',
    email: 'trade@thornwick.example',
    customerNumber: null,
    orderDays: null,
    leadTimeDays: 2,
    minimumOrderMinor: 2_500,
    carriageMinor: 695,
    carriagePaidFromMinor: 12_000,
  },
  orchard: {
    name: 'Ellerby Mower & Orchard Spares',
    contact: 'Order desk; van passes the estate on Fridays',
    email: 'orders@ellerby.example',
    customerNumber: '2206',
    orderDays: '2,4',
    leadTimeDays: 7,
    minimumOrderMinor: 5_000,
    carriageMinor: 1_250,
    carriagePaidFromMinor: 30_000,
  },
  hydraulics: {
    name: 'Saxholme Fluid Power',
    contact: 'Hoses made up to sample',
    email: 'hoses@saxholme.example',
    customerNumber: null,
    orderDays: null,
    leadTimeDays: 10,
    minimumOrderMinor: 4_000,
    carriageMinor: 1_100,
    carriagePaidFromMinor: 25_000,
  },
  imports: {
    name: 'Pendrell Machinery Imports',
    contact: 'Parts department, answers within two working days',
    email: 'parts@pendrell.example',
    customerNumber: 'EST-0431',
    orderDays: '1',
    leadTimeDays: 21,
    minimumOrderMinor: 10_000,
    carriageMinor: 2_400,
    carriagePaidFromMinor: 60_000,
  },
} as const satisfies Record<string, EstateSupplier>

export type SupplierKey = keyof typeof SUPPLIERS
export const SUPPLIER_KEYS = Object.keys(SUPPLIERS) as SupplierKey[]
