import type { PartClass } from '../../lib/catalogue/part-class.ts'
import { consumables } from './consumables.ts'
import { fasteners } from './fasteners.ts'
import { machineSpares, type SpareRef, spareOf } from './machine-spares.ts'
import { type Criticality, type EstatePart, estatePart, GOODS } from './part.ts'
import { type Rack, rackOf } from './shelf.ts'
import { wearingGoods } from './wearing-goods.ts'

/** Every part the estate keeps beside those of the drawn figures. */
export function estateParts(): EstatePart[] {
  return [...fasteners(), ...consumables(), ...wearingGoods(), ...machineSpares(), ...KITS.map((kit) => kit.part)]
}

/** A line of a drawn figure, as far as kits and prices ask. */
export interface DrawnLine {
  partId: number
  maker: string
  partNumber: string
  partClass: PartClass
  quantity: number
  positions: number
}

export interface EstateKit {
  part: EstatePart
  contents: readonly { part: SpareRef; quantity: number }[]
}

const filters = (model: 'tractor74' | 'tractor92', ...keys: string[]) =>
  keys.map((key) => ({ part: spareOf(model, key), quantity: 1 }))

export const KITS: readonly EstateKit[] = [
  {
    part: estatePart('Harrowbeck', 'HB-20720', 'Kit, filters for one service, 74N', 'filter', 9_600),
    contents: filters('tractor74', 'oil-filter', 'fuel-filter', 'hydraulic-filter', 'cab-filter'),
  },
  {
    part: estatePart('Harrowbeck', 'HB-21920', 'Kit, filters for one service, 92N', 'filter', 9_800),
    contents: filters('tractor92', 'oil-filter', 'fuel-filter', 'hydraulic-filter', 'cab-filter'),
  },
  {
    part: estatePart('Brackthorn', 'BT.7.2190', 'Kit, chipper blades with bolts', 'blade', 13_900),
    contents: [
      { part: spareOf('shredder', 'blade'), quantity: 2 },
      { part: spareOf('shredder', 'blade-bolt'), quantity: 4 },
    ],
  },
  {
    part: estatePart(GOODS.seals, 'WO KIT-1', 'Kit, O-rings, ten sizes', 'o-ring', 1_450, { criticality: 'desirable' }),
    contents: ['06-20', '08-20', '10-20', '12-20', '14-20', '16-20', '18-25', '20-25', '22-25', '25-25'].map(
      (size) => ({ part: { maker: GOODS.seals, number: `WO ${size}` }, quantity: 10 }),
    ),
  },
]

/** Kits that makers sell for what they draw: by the class that names the kit, what goes in, and how many assemblies it does. */
const DRAWN_KITS: { names: PartClass; description: string; holds: readonly PartClass[]; wholeAxle: boolean }[] = [
  {
    names: 'brake-shoe',
    description: 'Kit, brake shoes for one axle',
    holds: ['brake-shoe', 'return-spring', 'hold-down-spring'],
    wholeAxle: true,
  },
  {
    names: 'diaphragm',
    description: 'Repair kit, diaphragm pump',
    holds: ['diaphragm', 'o-ring', 'valve', 'gasket', 'crush-washer'],
    wholeAxle: false,
  },
  {
    names: 'flail-knife',
    description: 'Kit, knives for one mower',
    holds: ['flail-knife', 'knife-bolt', 'knife-nut', 'bush'],
    wholeAxle: false,
  },
  {
    names: 'joint-cross',
    description: 'Kit, universal joint',
    holds: ['joint-cross', 'circlip', 'grease-nipple'],
    wholeAxle: false,
  },
  {
    names: 'piston',
    description: 'Seal kit, cylinder',
    holds: ['o-ring', 'oil-seal', 'gasket', 'seal-kit'],
    wholeAxle: false,
  },
]

export interface DrawnKit {
  maker: string
  number: string
  description: string
  contents: { contentId: number; quantity: number }[]
}

/** The kits of one figure: those whose contents it draws at least two of. */
export function drawnKits(lines: readonly DrawnLine[]): DrawnKit[] {
  return DRAWN_KITS.flatMap((kit) => {
    const first = lines.find((line) => line.partClass === kit.names)
    if (!first) return []
    const contents = new Map<number, number>()
    for (const line of lines) {
      if (!kit.holds.includes(line.partClass)) continue
      const times = kit.wholeAxle ? Math.max(1, line.positions) : 1
      contents.set(line.partId, (contents.get(line.partId) ?? 0) + line.quantity * times)
    }
    if (contents.size < 2) return []
    return [
      {
        maker: first.maker,
        number: `${first.partNumber}K`,
        description: kit.description,
        contents: [...contents].map(([contentId, quantity]) => ({ contentId, quantity })),
      },
    ]
  })
}

const VITAL = new Set<PartClass>([
  'flail-knife',
  'knife-bolt',
  'knife-nut',
  'brake-shoe',
  'diaphragm',
  'v-belt',
  'joint-cross',
  'shear-bolt',
  'bearing',
  'oil-seal',
  'hose',
  'filter',
  'wheel-nut',
  'wheel-stud',
  'brake-cable',
  'wheel-cylinder',
  'blade',
])
const DESIRABLE = new Set<PartClass>(['cap', 'cover', 'plug', 'guard', 'spacer', 'shim'])

/** By what stands still without it, never by price. */
export function criticalityOf(partClass: PartClass): Criticality {
  return VITAL.has(partClass) ? 'vital' : DESIRABLE.has(partClass) ? 'desirable' : 'essential'
}

/** Numbers of goods of which the bulk lies in a second bin, and of those that ride in the van as well. */
const IN_TWO_BINS = new Set([
  'TM-201',
  'TM-301',
  'TM-321',
  'HC-401',
  'HC-411',
  'GR-120',
  'HB-12-40',
  'HB-10-30',
  'HN-12',
  'PW-12',
  'DM61300',
  'ST43.110',
])
const IN_THE_VAN = new Set([
  'TM-201',
  'HC-401',
  'GR-120',
  'LV-21',
  'LV-T20',
  'SB-10-50',
  'SP-50-50',
  'SP-63-50',
  'HB-12-40',
  'LN-12',
  'SX-J32',
  'ST43.110',
  'GR-132',
  'F0520-14',
])

export interface PartPlace {
  rack: Rack
  twoBins: boolean
  inVan: boolean
}

export function placeOf(part: { number: string; partClass: PartClass }): PartPlace {
  return {
    rack: rackOf(part.partClass),
    twoBins: IN_TWO_BINS.has(part.number),
    inVan: IN_THE_VAN.has(part.number) || part.partClass === 'knife-nut' || part.partClass === 'shear-bolt',
  }
}
