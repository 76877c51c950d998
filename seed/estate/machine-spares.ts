import type { PartClass } from '../../lib/catalogue/part-class.ts'
import { MODELS } from '../figures/makers.ts'
import type { ModelKey } from './machines.ts'
import { type Criticality, type EstatePart, estatePart, GOODS } from './part.ts'

/** Spares of the eight models that no drawn figure needs to list: key, number, description, class, price, criticality. */
type Row = [
  key: string,
  number: string,
  description: string,
  partClass: PartClass,
  priceMinor: number,
  criticality?: Criticality,
]

const TRACTOR = (prefix: string): Row[] => [
  ['oil-filter', `${prefix}01`, 'Engine oil filter', 'filter', 980, 'vital'],
  ['fuel-filter', `${prefix}02`, 'Fuel filter', 'filter', 1_240, 'vital'],
  ['hydraulic-filter', `${prefix}03`, 'Hydraulic oil filter', 'filter', 3_150, 'vital'],
  ['air-filter', `${prefix}04`, 'Air filter, outer', 'filter', 2_480],
  ['cab-filter', `${prefix}05`, 'Cab air filter, spray mist', 'filter', 4_900, 'vital'],
  ['fan-belt', `${prefix}06`, 'Fan belt', 'v-belt', 1_690, 'vital'],
  ['clutch-plate', `${prefix}07`, 'Clutch plate, PTO', 'clutch-plate', 16_800],
  ['seat-switch', `${prefix}08`, 'Seat switch', 'electrical', 2_750],
  ['coupler', `${prefix}09`, 'Hydraulic coupler, half inch', 'valve', 2_980],
  ['thermostat', `${prefix}10`, 'Thermostat', 'valve', 1_860],
  ['water-pump', `${prefix}11`, 'Water pump', 'pump', 12_400],
  ['ball-joint', `${prefix}12`, 'Ball joint, steering', 'other', 4_350, 'vital'],
]

const ROWS: Record<ModelKey, Row[]> = {
  tractor74: TRACTOR('HB-207'),
  tractor92: TRACTOR('HB-219'),
  mower: [
    ['flap', 'ST43.110', 'Protective flap, front', 'guard', 1_450, 'vital'],
    ['skid', 'ST43.120', 'Skid', 'other', 3_900],
    ['roller-bearing', 'ST43.131', 'Bearing, rear roller', 'bearing', 2_150],
    ['scraper', 'ST43.140', 'Scraper, rear roller', 'other', 2_600, 'desirable'],
    ['side-ram-seal', 'ST43.152', 'Seal kit, side-shift cylinder', 'seal-kit', 3_350],
    ['belt-guard', 'ST43.160', 'Belt guard', 'guard', 7_400],
  ],
  sprayer: [
    ['suction-filter', 'F0511-01', 'Suction filter element', 'filter', 1_720, 'vital'],
    ['pressure-filter', 'F0511-02', 'Pressure filter element', 'filter', 1_360, 'vital'],
    ['nozzle', 'F0520-14', 'Hollow cone nozzle, ceramic', 'nozzle', 690, 'vital'],
    ['nozzle-gasket', 'F0520-15', 'Gasket, nozzle', 'gasket', 18],
    ['check-valve', 'F0520-18', 'Diaphragm, anti-drip', 'diaphragm', 95],
    ['fan-blade', 'F0532-03', 'Fan blade', 'fan', 4_850],
    ['tank-gauge', 'F0540-02', 'Sight tube, tank', 'other', 1_150, 'desirable'],
    ['pressure-gauge', 'F0541-07', 'Pressure gauge, 0 to 25 bar', 'other', 3_900],
  ],
  trailer: [
    ['tyre', 'DM61300', 'Tyre, 11.5/80-15.3', 'tyre', 14_900],
    ['tube', 'DM61301', 'Inner tube, 11.5/80-15.3', 'tyre', 2_250],
    ['ram-hose', 'DM61410', 'Hose, tipping ram', 'hose', 4_600, 'vital'],
    ['tail-pin', 'DM61520', 'Tailgate pin with chain', 'pin', 890],
    ['brake-cable', 'DM61601', 'Parking brake cable', 'brake-cable', 3_750, 'vital'],
    ['eye', 'DM61700', 'Drawbar eye, 40', 'other', 8_900, 'vital'],
  ],
  telehandler: [
    ['oil-filter', '630-20-101', 'Engine oil filter', 'filter', 1_120, 'vital'],
    ['fuel-filter', '630-20-102', 'Fuel filter', 'filter', 1_680, 'vital'],
    ['hydraulic-filter', '630-20-110', 'Hydraulic return filter', 'filter', 4_750, 'vital'],
    ['air-filter', '630-20-120', 'Air filter, outer', 'filter', 3_150],
    ['boom-pad', '630-31-204', 'Wear pad, boom', 'other', 2_300],
    ['fork-pin', '630-31-230', 'Pin, fork carriage', 'pin', 3_980],
    ['lift-hose', '630-40-012', 'Hose, lift cylinder', 'hose', 7_850, 'vital'],
    ['wheel-seal', '630-52-008', 'Seal, wheel hub', 'oil-seal', 1_940],
  ],
  pumpSet: [
    ['strainer', 'QP-1210', 'Suction strainer', 'filter', 5_600],
    ['gland', 'QP-1224', 'Gland packing, 8 mm', 'gasket', 480, 'vital'],
    ['coupling', 'QP-1240', 'Coupling insert', 'other', 2_950, 'vital'],
    ['oil-filter', 'QP-1301', 'Engine oil filter', 'filter', 940, 'vital'],
    ['fuel-filter', 'QP-1302', 'Fuel filter', 'filter', 1_150, 'vital'],
  ],
  shredder: [
    ['blade', 'BT.7.2104', 'Chipper blade', 'blade', 6_900, 'vital'],
    ['blade-bolt', 'BT.7.2108', 'Blade bolt, M16 x 45, 10.9', 'bolt', 310, 'vital'],
    ['anvil', 'BT.7.2120', 'Anvil', 'blade', 8_450],
    ['drive-belt', 'BT.7.3010', 'Drive belt, set', 'v-belt', 9_800, 'vital'],
    ['feed-spring', 'BT.7.3105', 'Spring, feed roller', 'spring', 1_240],
    ['stop-switch', 'BT.7.4002', 'Switch, stop bar', 'electrical', 2_950, 'vital'],
  ],
}

export interface SpareRef {
  maker: string
  number: string
}

/** Where a spare is found by model and key; refuses a key that the table does not have. */
export function spareOf(model: ModelKey, key: string): SpareRef {
  const row = ROWS[model].find(([own]) => own === key)
  if (!row) throw new Error(`machine-spares: ${model} has no ${key}`)
  return { maker: MODELS[model].maker, number: row[1] }
}

/** What replaced what in these three years, newest number last. Old numbers are no longer made. */
export const OLD_SPARES: EstatePart[] = [
  estatePart('Stourleigh', 'ST43.130', 'Bearing, rear roller', 'bearing', 2_050),
  estatePart('Harrowbeck', 'HB-20700', 'Engine oil filter', 'filter', 960, { criticality: 'vital' }),
  estatePart('Ferncombe', 'F0520-10', 'Hollow cone nozzle, steel', 'nozzle', 420),
  estatePart('Dunmarrow', 'DM61299', 'Tyre, 11.5/80-15.3, cross-ply', 'tyre', 12_200),
  estatePart('Overslade', '630-31-200', 'Wear pad, boom, double', 'other', 4_400),
  estatePart('Quernford', 'QP-1220', 'Gland packing, 8 mm, graphite', 'gasket', 450),
  estatePart('Brackthorn', 'BT.7.2100', 'Chipper blade', 'blade', 6_500, { criticality: 'vital' }),
]

export interface EstateSupersession {
  old: SpareRef
  new: SpareRef
  ratio: number
  interchange: 'one-way' | 'both-ways'
  note: string
}

export const SUPERSESSIONS: readonly EstateSupersession[] = [
  {
    old: { maker: 'Stourleigh', number: 'ST43.130' },
    new: spareOf('mower', 'roller-bearing'),
    ratio: 1,
    interchange: 'both-ways',
    note: 'Same size, better seal',
  },
  {
    old: { maker: 'Harrowbeck', number: 'HB-20700' },
    new: spareOf('tractor74', 'oil-filter'),
    ratio: 1,
    interchange: 'one-way',
    note: 'New one has the bypass valve that later engines need',
  },
  {
    old: { maker: 'Ferncombe', number: 'F0520-10' },
    new: spareOf('sprayer', 'nozzle'),
    ratio: 1,
    interchange: 'one-way',
    note: 'Ceramic replaces steel; change a whole row',
  },
  {
    old: { maker: 'Dunmarrow', number: 'DM61299' },
    new: spareOf('trailer', 'tyre'),
    ratio: 1,
    interchange: 'one-way',
    note: 'Never mix the two on one axle',
  },
  {
    old: { maker: 'Overslade', number: '630-31-200' },
    new: spareOf('telehandler', 'boom-pad'),
    ratio: 2,
    interchange: 'one-way',
    note: 'Two single pads take the place of one double',
  },
  {
    old: { maker: 'Quernford', number: 'QP-1220' },
    new: spareOf('pumpSet', 'gland'),
    ratio: 1,
    interchange: 'both-ways',
    note: 'Either may be used',
  },
  {
    old: { maker: 'Brackthorn', number: 'BT.7.2100' },
    new: spareOf('shredder', 'blade'),
    ratio: 1,
    interchange: 'one-way',
    note: 'Renew as a set, never one old with one new',
  },
]

/** Goods that the workshop kept before and keeps no more: what dead stock looks like. */
const DEAD: EstatePart[] = [
  estatePart('Harrowbeck', 'HB-18240', 'Drag link, tractor sold', 'other', 6_900, { criticality: 'desirable' }),
  estatePart('Harrowbeck', 'HB-18255', 'Brake disc, tractor sold', 'brake-disc', 8_250, { criticality: 'desirable' }),
  estatePart('Stourleigh', 'ST22.014', 'Knife, Y-shaped, mower sold', 'flail-knife', 390, { criticality: 'desirable' }),
  estatePart(GOODS.belts, 'OX B 2500', 'V-belt, B, 2500', 'v-belt', 1_080, { criticality: 'desirable' }),
  estatePart(GOODS.filters, 'LF-0902', 'Air filter, tractor sold', 'filter', 2_200, { criticality: 'desirable' }),
]

export function machineSpares(): EstatePart[] {
  const current = (Object.keys(ROWS) as ModelKey[]).flatMap((model) =>
    ROWS[model].map(([, number, description, partClass, price, criticality]) =>
      estatePart(MODELS[model].maker, number, description, partClass, price, {
        criticality: criticality ?? 'essential',
      }),
    ),
  )
  return [...current, ...OLD_SPARES, ...DEAD]
}
