import type { PartClass } from '../../lib/catalogue/part-class.ts'

export const BARN = 'Long Barn store'
export const VAN = 'Service van'

export interface EstateBin {
  store: string
  code: string
  walkOrder: number
  /** Where it stands in the store from above; the van has no map. */
  square: { column: number; row: number } | null
}

const RACKS = ['A', 'B', 'C', 'D', 'E', 'F'] as const
export type Rack = (typeof RACKS)[number]
const BAYS = 4
const BINS_IN_BAY = 4

/** 96 bins of the barn, A1-01 to F4-04, in the order of the walk down one side and up the other, and eight boxes in the van. */
export function binsOf(): EstateBin[] {
  const barn = RACKS.flatMap((rack, aisle) =>
    Array.from({ length: BAYS }, (_, bay) => bay + 1).flatMap((bay) =>
      Array.from({ length: BINS_IN_BAY }, (_, at) => ({
        store: BARN,
        code: `${rack}${bay}-0${at + 1}`,
        // Every other aisle is walked from the far end, as a person does who wants to walk each aisle once.
        walkOrder: aisle * 100 + (aisle % 2 === 0 ? bay : BAYS + 1 - bay) * 10 + at + 1,
        square: { column: aisle + 1, row: bay },
      })),
    ),
  )
  const van = Array.from({ length: 8 }, (_, at) => ({
    store: VAN,
    code: `V-${at + 1}`,
    walkOrder: 1001 + at,
    square: null,
  }))
  return [...barn, ...van].sort((a, b) => a.walkOrder - b.walkOrder)
}

const RACK_OF: Partial<Record<PartClass, Rack>> = {
  'split-pin': 'A',
  bolt: 'A',
  screw: 'A',
  nut: 'A',
  'castle-nut': 'A',
  'prevailing-torque-nut': 'A',
  washer: 'A',
  'spring-washer': 'A',
  'tab-washer': 'A',
  'knife-bolt': 'A',
  'knife-nut': 'A',
  'shear-bolt': 'A',
  circlip: 'A',
  'roll-pin': 'A',
  key: 'A',
  pin: 'A',
  'clevis-pin': 'A',
  'grease-nipple': 'A',
  bearing: 'B',
  'bearing-cup': 'B',
  'oil-seal': 'B',
  'o-ring': 'B',
  'seal-kit': 'B',
  'crush-washer': 'B',
  'sealing-washer': 'B',
  gasket: 'B',
  'v-belt': 'C',
  chain: 'C',
  filter: 'C',
  electrical: 'C',
  hose: 'D',
  'hose-clamp': 'D',
  diaphragm: 'D',
  valve: 'D',
  nozzle: 'D',
  'anti-seize': 'E',
  'brake-cleaner': 'E',
  'brake-paste': 'E',
  cleaner: 'E',
  coolant: 'E',
  'gear-oil': 'E',
  'engine-oil': 'E',
  'hydraulic-oil': 'E',
  grease: 'E',
  sealant: 'E',
  'thread-lock': 'E',
  'wiping-cloth': 'E',
  'eye-protection': 'E',
  gloves: 'E',
  'dust-mask': 'E',
}

/** Small goods by kind, machine parts in the last aisle. */
export function rackOf(partClass: PartClass): Rack {
  return RACK_OF[partClass] ?? 'F'
}
