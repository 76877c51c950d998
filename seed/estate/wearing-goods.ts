import { type EstatePart, estatePart, GOODS } from './part.ts'

const sizes = (...mm: number[]) => mm.join('-')

const BEARINGS: [bore: number, outside: number, width: number, price: number][] = [
  [12, 32, 10, 310],
  [15, 35, 11, 340],
  [17, 40, 12, 380],
  [20, 42, 12, 420],
  [20, 47, 14, 450],
  [25, 52, 15, 510],
  [25, 62, 17, 690],
  [30, 62, 16, 640],
  [30, 72, 19, 880],
  [35, 72, 17, 820],
  [35, 80, 21, 1_140],
  [40, 80, 18, 980],
  [40, 90, 23, 1_490],
  [45, 85, 19, 1_160],
  [50, 90, 20, 1_390],
  [50, 110, 27, 2_350],
]

const SEALS: [bore: number, outside: number, width: number][] = [
  [15, 30, 7],
  [20, 35, 7],
  [20, 40, 7],
  [25, 40, 7],
  [25, 47, 7],
  [28, 47, 7],
  [30, 47, 7],
  [30, 52, 7],
  [35, 52, 7],
  [35, 62, 8],
  [40, 60, 8],
  [40, 62, 8],
  [45, 65, 8],
  [50, 72, 8],
  [55, 80, 8],
  [60, 85, 8],
]

const O_RINGS: [inside: number, section: number][] = [
  [6, 2],
  [8, 2],
  [10, 2],
  [12, 2],
  [14, 2],
  [16, 2],
  [18, 2.5],
  [20, 2.5],
  [22, 2.5],
  [25, 2.5],
  [28, 3],
  [30, 3],
  [32, 3],
  [36, 3],
  [40, 3],
  [45, 3],
  [50, 3.5],
  [56, 3.5],
  [63, 3.5],
  [71, 4],
  [80, 4],
  [90, 4],
]

const BELTS: [profile: string, lengthMm: number, price: number][] = [
  ['A', 925, 420],
  ['A', 1075, 460],
  ['A', 1250, 510],
  ['B', 1400, 690],
  ['B', 1650, 780],
  ['B', 1900, 860],
  ['SPA', 1060, 720],
  ['SPA', 1250, 810],
  ['SPA', 1500, 940],
  ['SPB', 1600, 1_310],
  ['SPB', 1900, 1_490],
  ['SPB', 2240, 1_720],
]

export function wearingGoods(): EstatePart[] {
  return [
    ...BEARINGS.map(([boreMm, outsideMm, widthMm, price]) =>
      estatePart(
        GOODS.bearings,
        `CB ${sizes(boreMm, outsideMm, widthMm)}`,
        `Ball bearing, ${boreMm} x ${outsideMm} x ${widthMm}, sealed`,
        'bearing',
        price,
        {
          facts: { boreMm, outsideMm, widthMm },
        },
      ),
    ),
    ...SEALS.map(([boreMm, outsideMm, widthMm]) =>
      estatePart(
        GOODS.seals,
        `WS ${sizes(boreMm, outsideMm, widthMm)}`,
        `Oil seal, ${boreMm} x ${outsideMm} x ${widthMm}`,
        'oil-seal',
        140 + boreMm * 7,
        {
          facts: { boreMm, outsideMm, widthMm },
        },
      ),
    ),
    ...O_RINGS.map(([boreMm, widthMm]) =>
      estatePart(
        GOODS.seals,
        `WO ${String(boreMm).padStart(2, '0')}-${widthMm * 10}`,
        `O-ring, ${boreMm} x ${widthMm}`,
        'o-ring',
        14 + Math.round(boreMm * widthMm * 0.35),
        {
          facts: { boreMm, widthMm },
        },
      ),
    ),
    ...[10, 12, 14, 16, 18, 22, 26].map((boreMm) =>
      estatePart(GOODS.seals, `WC ${boreMm}`, `Sealing washer, copper, ${boreMm}`, 'crush-washer', 9 + boreMm, {
        facts: { boreMm },
      }),
    ),
    ...BELTS.map(([profile, lengthMm, price]) =>
      estatePart(GOODS.belts, `OX ${profile} ${lengthMm}`, `V-belt, ${profile}, ${lengthMm}`, 'v-belt', price, {
        facts: { lengthMm },
      }),
    ),
    ...hosesAndClamps(),
    ...electrical(),
  ]
}

function hosesAndClamps(): EstatePart[] {
  return [
    ...(
      [
        [6, 520],
        [8, 610],
        [10, 690],
        [13, 840],
        [16, 1_020],
        [19, 1_260],
      ] as const
    ).map(([mm, price]) =>
      estatePart(GOODS.hoses, `SX-${mm}M`, `Hydraulic hose, ${mm} mm, by the metre`, 'hose', price, {
        unit: 'metre',
        facts: { boreMm: mm },
        criticality: 'vital',
      }),
    ),
    ...(
      [
        [10, 190],
        [13, 240],
        [19, 310],
        [25, 420],
        [38, 610],
      ] as const
    ).map(([mm, price]) =>
      estatePart(GOODS.hoses, `SX-${mm}D`, `Delivery hose, ${mm} mm, by the metre`, 'hose', price, {
        unit: 'metre',
        facts: { boreMm: mm },
      }),
    ),
    ...(
      [
        [12, 20],
        [16, 27],
        [20, 32],
        [25, 40],
        [32, 50],
        [40, 60],
        [60, 80],
      ] as const
    ).map(([from, to]) =>
      estatePart(GOODS.hoses, `SX-J${to}`, `Hose clip, ${from} to ${to}`, 'hose-clamp', 35 + to, {
        facts: { outsideMm: to },
      }),
    ),
    ...(
      [
        ['M14 x 1.5', 640],
        ['M16 x 1.5', 690],
        ['M18 x 1.5', 760],
        ['M22 x 1.5', 880],
      ] as const
    ).map(([thread, price]) =>
      estatePart(GOODS.hoses, `SX-F${thread.slice(1, 3)}`, `Hose end, ${thread}`, 'hose', price, {
        facts: { thread: thread.replaceAll(' ', '') },
      }),
    ),
  ]
}

function electrical(): EstatePart[] {
  const lamp = (
    number: string,
    description: string,
    price: number,
    criticality: EstatePart['criticality'] = 'desirable',
  ) => estatePart(GOODS.electrical, number, description, 'electrical', price, { criticality })
  return [
    lamp('LV-21', 'Bulb, 12 V 21 W', 65),
    lamp('LV-215', 'Bulb, 12 V 21/5 W', 80),
    lamp('LV-55', 'Bulb, work lamp, 12 V 55 W', 260),
    lamp('LV-H4', 'Bulb, headlamp, 12 V 60/55 W', 390),
    lamp('LV-T10', 'Fuse, blade, 10 A', 15),
    lamp('LV-T20', 'Fuse, blade, 20 A', 15),
    lamp('LV-T30', 'Fuse, blade, 30 A', 15),
    lamp('LV-R40', 'Relay, 12 V 40 A', 480, 'essential'),
    lamp('LV-B74', 'Battery, 12 V 74 Ah', 7_900, 'vital'),
    lamp('LV-B100', 'Battery, 12 V 100 Ah', 10_400, 'vital'),
    lamp('LV-S7', 'Trailer socket, 7 pin', 620),
    lamp('LV-P7', 'Trailer plug, 7 pin', 540),
    lamp('LV-RL', 'Rear lamp, left', 1_850, 'essential'),
    lamp('LV-RR', 'Rear lamp, right', 1_850, 'essential'),
    lamp('LV-BC', 'Beacon, amber', 3_400),
  ]
}
