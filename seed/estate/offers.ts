import type { PartClass } from '../../lib/catalogue/part-class.ts'
import { randomChance, randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { quantityScale, type StockUnit } from '../../lib/measure/quantity.ts'
import { GOODS } from './part.ts'
import { SUPPLIER_KEYS, type SupplierKey } from './suppliers.ts'

const goods = new Set<string>(Object.values(GOODS))

const SUPPLIER_OF_MAKER: Record<string, SupplierKey> = {
  [GOODS.bearings]: 'bearings',
  [GOODS.seals]: 'bearings',
  [GOODS.belts]: 'bearings',
  [GOODS.hoses]: 'hydraulics',
  Stourleigh: 'orchard',
  Brackthorn: 'orchard',
  Ferncombe: 'orchard',
  Dunmarrow: 'imports',
  Overslade: 'imports',
  Quernford: 'hydraulics',
  Harrowbeck: 'imports',
}

export interface EstateOffer {
  supplier: SupplierKey
  supplierNumber: string | null
  /** Minor units of quantity. */
  pack: number
  minimum: number
  priceMinor: number
  preferred: boolean
}

/** Small goods come in packs, fluids in cans. */
function packOf(unit: StockUnit, priceMinor: number): number {
  const scale = quantityScale(unit)
  if (unit === 'litre') return priceMinor > 10_000 ? scale / 20 : 5 * scale
  if (unit === 'kilogram') return priceMinor > 5_000 ? scale / 10 : scale / 2
  if (unit === 'metre') return scale
  return priceMinor < 20 ? 50 : priceMinor < 60 ? 20 : priceMinor < 160 ? 5 : 1
}

/** Who sells a part and for how much: one supplier prefers it, nearly half the parts have a second one, a little dearer. */
export function offersOf(part: { maker: string; number: string; unit: StockUnit; priceMinor: number }): EstateOffer[] {
  const random = randomSeeded(`offers/${part.maker}/${part.number}`)
  const first = SUPPLIER_OF_MAKER[part.maker] ?? 'factors'
  const pack = packOf(part.unit, part.priceMinor)
  const own = `${SUPPLIER_KEYS.indexOf(first) + 1}${String(randomInteger(random, 10_000, 99_999))}`
  const offers: EstateOffer[] = [
    {
      supplier: first,
      supplierNumber: goods.has(part.maker) ? null : own,
      pack,
      minimum: pack,
      priceMinor: part.priceMinor,
      preferred: true,
    },
  ]
  if (randomChance(random, 0.45)) {
    const supplier = randomPick(
      random,
      SUPPLIER_KEYS.filter((key) => key !== first && key !== 'imports'),
    )
    const priceMinor = Math.max(part.priceMinor + 1, Math.round(part.priceMinor * (1.03 + 0.12 * random())))
    offers.push({
      supplier,
      supplierNumber: null,
      pack,
      minimum: pack * (randomChance(random, 0.2) ? 2 : 1),
      priceMinor,
      preferred: false,
    })
  }
  return offers
}

/** What a figure's part costs: parts books print no prices, so class and number decide. Common practice, no source. */
const PRICE_OF_CLASS: Partial<Record<PartClass, number>> = {
  axle: 21_000,
  bearing: 2_600,
  'bearing-cup': 1_400,
  'belt-tensioner': 4_200,
  bolt: 90,
  'brake-backplate': 7_200,
  'brake-drum': 9_800,
  'brake-shoe': 2_850,
  bush: 320,
  cap: 480,
  'castle-nut': 260,
  chain: 3_900,
  circlip: 70,
  'clevis-pin': 340,
  'clutch-plate': 11_500,
  cover: 2_900,
  'crush-washer': 25,
  cylinder: 18_500,
  diaphragm: 1_250,
  electrical: 1_900,
  fan: 16_500,
  filter: 1_900,
  'flail-knife': 640,
  fork: 6_400,
  gasket: 380,
  gear: 12_600,
  'grease-nipple': 45,
  guard: 3_400,
  'hold-down-spring': 190,
  hose: 3_600,
  housing: 14_500,
  hub: 13_200,
  'joint-cross': 3_300,
  key: 180,
  'knife-bolt': 285,
  'knife-nut': 95,
  lever: 2_700,
  nozzle: 690,
  nut: 35,
  'o-ring': 60,
  'oil-seal': 780,
  pin: 420,
  piston: 7_900,
  plug: 240,
  'prevailing-torque-nut': 60,
  pulley: 8_800,
  pump: 38_000,
  'return-spring': 310,
  'roll-pin': 45,
  roller: 3_700,
  rotor: 98_000,
  screw: 40,
  'seal-kit': 3_600,
  'sealing-washer': 30,
  shaft: 14_800,
  'shear-bolt': 110,
  shim: 90,
  spacer: 420,
  'split-pin': 18,
  spring: 460,
  'spring-washer': 14,
  sprocket: 4_400,
  stud: 190,
  'tab-washer': 120,
  tyre: 15_400,
  'v-belt': 1_650,
  valve: 1_350,
  washer: 22,
  wheel: 9_600,
  'wheel-cylinder': 3_100,
  'wheel-nut': 150,
  'wheel-stud': 340,
}

export function figurePartPrice(part: { maker: string; number: string; partClass: PartClass }): number {
  const around = PRICE_OF_CLASS[part.partClass] ?? 2_200
  return Math.max(5, Math.round(around * (0.75 + 0.5 * randomSeeded(`price/${part.maker}/${part.number}`)())))
}
