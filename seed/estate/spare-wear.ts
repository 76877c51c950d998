import type { PartClass } from '../../lib/catalogue/part-class.ts'
import { type SpareRef, spareOf } from './machine-spares.ts'
import type { ModelKey } from './machines.ts'
import { GOODS } from './part.ts'

/** A trouble that no drawn figure shows: parts taken by hand. Quantities in minor units. */
export interface Trouble {
  key: string
  partClass: PartClass
  takes: readonly { part: SpareRef; quantity: number }[]
}

const good = (maker: string, number: string): SpareRef => ({ maker, number })
const lamp = (number: string) => good(GOODS.electrical, number)

const spares = (model: ModelKey, partClass: PartClass, ...takes: [key: string, quantity: number][]): Trouble => ({
  key: takes[0]![0],
  partClass,
  takes: takes.map(([key, quantity]) => ({ part: spareOf(model, key), quantity })),
})

const goods = (key: string, partClass: PartClass, ...takes: [part: SpareRef, quantity: number][]): Trouble => ({
  key,
  partClass,
  takes: takes.map(([part, quantity]) => ({ part, quantity })),
})

/** A hose made up in the workshop: a length and two ends. */
const hose = (mm: number, lengthMm: number, thread: number): Trouble =>
  goods(`hose-${mm}`, 'hose', [good(GOODS.hoses, `SX-${mm}M`), lengthMm], [good(GOODS.hoses, `SX-F${thread}`), 2])

const tractor = (model: ModelKey): Trouble[] => [
  spares(model, 'filter', ['fuel-filter', 1]),
  spares(model, 'filter', ['air-filter', 1]),
  spares(model, 'v-belt', ['fan-belt', 1]),
  spares(model, 'clutch-plate', ['clutch-plate', 1]),
  spares(model, 'electrical', ['seat-switch', 1]),
  spares(model, 'valve', ['coupler', 1]),
  spares(model, 'pump', ['water-pump', 1]),
  goods('work-lamp', 'electrical', [lamp('LV-55'), 1], [lamp('LV-T20'), 1]),
  goods('battery', 'electrical', [lamp('LV-B100'), 1]),
  goods('coupler-ring', 'o-ring', [good(GOODS.seals, 'WO 20-25'), 2]),
  hose(13, 1250, 18),
]

export const TROUBLES: Record<ModelKey, readonly Trouble[]> = {
  tractor74: tractor('tractor74'),
  tractor92: tractor('tractor92'),
  mower: [
    spares('mower', 'guard', ['flap', 2]),
    spares('mower', 'bearing', ['roller-bearing', 1]),
    spares('mower', 'seal-kit', ['side-ram-seal', 1]),
    goods('belts', 'v-belt', [good(GOODS.belts, 'OX SPB 1600'), 4]),
    hose(10, 1600, 16),
  ],
  sprayer: [
    spares('sprayer', 'filter', ['suction-filter', 1]),
    spares('sprayer', 'filter', ['pressure-filter', 1]),
    spares('sprayer', 'nozzle', ['nozzle', 8], ['nozzle-gasket', 8]),
    spares('sprayer', 'diaphragm', ['check-valve', 4]),
    spares('sprayer', 'fan', ['fan-blade', 1]),
    goods('line-hose', 'hose', [good(GOODS.hoses, 'SX-13D'), 2200], [good(GOODS.hoses, 'SX-J32'), 2]),
  ],
  trailer: [
    spares('trailer', 'tyre', ['tyre', 1], ['tube', 1]),
    spares('trailer', 'hose', ['ram-hose', 1]),
    spares('trailer', 'brake-cable', ['brake-cable', 1]),
    goods('lamp', 'electrical', [lamp('LV-215'), 1]),
    goods('lamp-body', 'electrical', [lamp('LV-RL'), 1], [lamp('LV-21'), 1]),
    goods('plug', 'electrical', [lamp('LV-P7'), 1]),
  ],
  telehandler: [
    spares('telehandler', 'hose', ['lift-hose', 1]),
    spares('telehandler', 'oil-seal', ['wheel-seal', 1]),
    spares('telehandler', 'filter', ['air-filter', 1]),
    spares('telehandler', 'bush', ['boom-pad', 2]),
    goods('lamp', 'electrical', [lamp('LV-55'), 1]),
    hose(16, 1800, 22),
  ],
  pumpSet: [
    spares('pumpSet', 'gasket', ['gland', 3]),
    spares('pumpSet', 'belt-tensioner', ['coupling', 1]),
    spares('pumpSet', 'filter', ['fuel-filter', 1]),
    goods('battery', 'electrical', [lamp('LV-B74'), 1]),
    goods('suction-hose', 'hose', [good(GOODS.hoses, 'SX-38D'), 1500], [good(GOODS.hoses, 'SX-J60'), 2]),
  ],
  shredder: [
    spares('shredder', 'blade', ['blade', 2], ['blade-bolt', 4]),
    spares('shredder', 'v-belt', ['drive-belt', 1]),
    spares('shredder', 'electrical', ['stop-switch', 1]),
    spares('shredder', 'return-spring', ['feed-spring', 2]),
    goods('shear', 'shear-bolt', [good(GOODS.fasteners, 'SB-10-50'), 1], [good(GOODS.fasteners, 'LN-10'), 1]),
  ],
}

const { fluids, chemicals, safety } = GOODS
const oils = (number: string, quantity: number) => ({ part: good(fluids, number), quantity })
const every = [
  oils('TM-201', 400),
  { part: good(safety, 'HC-401'), quantity: 6 },
  { part: good(chemicals, 'GR-121'), quantity: 500 },
]
const own = (model: ModelKey, ...keys: string[]) => keys.map((key) => ({ part: spareOf(model, key), quantity: 1 }))

/** What a winter service of each model takes in any case. */
export const SERVICE_TAKES: Record<ModelKey, Trouble['takes']> = {
  tractor74: [
    ...every,
    ...own('tractor74', 'oil-filter', 'fuel-filter', 'hydraulic-filter', 'cab-filter'),
    oils('TM-301', 7500),
  ],
  tractor92: [
    ...every,
    ...own('tractor92', 'oil-filter', 'fuel-filter', 'hydraulic-filter', 'cab-filter'),
    oils('TM-301', 8500),
  ],
  mower: [...every, oils('TM-311', 2100)],
  sprayer: [
    ...every,
    ...own('sprayer', 'suction-filter', 'pressure-filter'),
    oils('TM-331', 1200),
    { part: spareOf('sprayer', 'nozzle-gasket'), quantity: 24 },
  ],
  trailer: [...every, { part: good(chemicals, 'GR-120'), quantity: 2 }],
  telehandler: [
    ...every,
    ...own('telehandler', 'oil-filter', 'fuel-filter', 'hydraulic-filter'),
    oils('TM-301', 9500),
    oils('TM-321', 5000),
  ],
  pumpSet: [...every, ...own('pumpSet', 'oil-filter', 'fuel-filter'), oils('TM-302', 5500)],
  shredder: [...every, { part: good(fluids, 'TM-312'), quantity: 800 }],
}

/** What a service renews on the drawn figures, with the chance that the strip-down finds it worn. */
export const SERVICE_RENEWS: Partial<Record<PartClass, number>> = {
  'flail-knife': 0.75,
  diaphragm: 0.9,
  'v-belt': 0.45,
  'brake-shoe': 0.35,
  filter: 0.95,
  'oil-seal': 0.15,
  'joint-cross': 0.3,
  'o-ring': 0.25,
  'knife-bolt': 0,
}
