import splitPins from '../../lib/fastener/split-pin.json'
import { type EstatePart, estatePart, GOODS } from './part.ts'

const maker = GOODS.fasteners
const number = (prefix: string, ...sizes: (number | string)[]) => `${prefix}-${sizes.join('-').replaceAll('.', '')}`

/** Sizes of ISO 1234 that a workshop keeps, four lengths each, inside the lengths that the standard makes. */
function pins(): EstatePart[] {
  return splitPins.sizes
    .filter((size) => size.nominalMm >= 1 && size.nominalMm <= 13)
    .flatMap((size) => {
      const lengths = splitPins.lengthsMm.filter((mm) => mm >= size.lengthMmMin && mm <= size.lengthMmMax)
      const kept = [0.15, 0.35, 0.55, 0.75].map((share) => lengths[Math.floor(share * (lengths.length - 1))]!)
      return [...new Set(kept)].map((lengthMm) =>
        estatePart(
          maker,
          number('SP', size.nominalMm * 10, lengthMm),
          `Split pin, ${size.nominalMm} x ${lengthMm}`,
          'split-pin',
          4 + Math.round(size.nominalMm * 2.5),
          { facts: { splitPinMm: size.nominalMm, lengthMm } },
        ),
      )
    })
}

const BOLTS: [thread: number, lengths: number[]][] = [
  [6, [16, 20, 30, 40]],
  [8, [20, 25, 30, 40, 50]],
  [10, [25, 30, 40, 50, 60]],
  [12, [30, 40, 50, 60, 80]],
  [16, [40, 50, 65, 80]],
  [20, [60, 80, 100]],
]

function bolts(): EstatePart[] {
  return BOLTS.flatMap(([mm, lengths]) =>
    lengths.map((lengthMm) =>
      estatePart(
        maker,
        number('HB', mm, lengthMm),
        `Bolt, M${mm} x ${lengthMm}, 8.8`,
        'bolt',
        Math.round(4 + mm * mm * 0.12 + lengthMm * mm * 0.02),
        {
          facts: { thread: `M${mm}`, propertyClass: '8.8', lengthMm },
        },
      ),
    ),
  )
}

const hole = (mm: number) => Math.round(mm * 10.6) / 10

function nutsAndWashers(): EstatePart[] {
  return [
    ...[5, 6, 8, 10, 12, 16, 20, 24].flatMap((mm) => [
      estatePart(maker, number('HN', mm), `Nut, M${mm}`, 'nut', 2 + Math.round(mm * mm * 0.06), {
        facts: { thread: `M${mm}`, propertyClass: '8' },
      }),
      estatePart(maker, number('PW', mm), `Washer, ${mm}`, 'washer', 1 + Math.round(mm * 0.5), {
        facts: { boreMm: hole(mm) },
      }),
      estatePart(maker, number('SW', mm), `Spring washer, ${mm}`, 'spring-washer', 2 + Math.round(mm * 0.4), {
        facts: { boreMm: hole(mm) },
      }),
    ]),
    ...[5, 6, 8, 10, 12, 16, 20].map((mm) =>
      estatePart(
        maker,
        number('LN', mm),
        `Prevailing-torque nut, M${mm}`,
        'prevailing-torque-nut',
        4 + Math.round(mm * mm * 0.12),
        {
          facts: { thread: `M${mm}`, propertyClass: '8' },
        },
      ),
    ),
    ...[16, 20, 24, 30, 36].map((mm) =>
      estatePart(maker, number('CN', mm), `Castle nut, M${mm}`, 'castle-nut', 40 + mm * 6, {
        facts: { thread: `M${mm}` },
      }),
    ),
  ]
}

function pinsAndRings(): EstatePart[] {
  return [
    ...[12, 15, 17, 20, 25, 30, 35, 40, 45, 50, 60].map((mm) =>
      estatePart(maker, number('CE', mm), `Circlip, external, ${mm}`, 'circlip', 12 + mm, {
        facts: { boreMm: mm },
      }),
    ),
    ...[32, 35, 40, 42, 47, 52, 62, 72, 80, 90].map((mm) =>
      estatePart(maker, number('CI', mm), `Circlip, internal, ${mm}`, 'circlip', 12 + mm, {
        facts: { outsideMm: mm },
      }),
    ),
    ...(
      [
        [3, 20],
        [4, 30],
        [5, 30],
        [5, 40],
        [6, 40],
        [6, 50],
        [8, 40],
        [8, 60],
        [10, 60],
        [12, 70],
      ] as const
    ).map(([mm, lengthMm]) =>
      estatePart(
        maker,
        number('RP', mm, lengthMm),
        `Spring pin, slotted, ${mm} x ${lengthMm}`,
        'roll-pin',
        8 + mm * 3,
        {
          facts: { outsideMm: mm, lengthMm },
        },
      ),
    ),
    ...(
      [
        [6, 20],
        [6, 32],
        [8, 32],
        [8, 45],
        [10, 50],
        [12, 56],
      ] as const
    ).map(([mm, lengthMm]) =>
      estatePart(maker, number('PK', mm, lengthMm), `Key, parallel, ${mm} x ${lengthMm}`, 'key', 45 + mm * 9, {
        facts: { widthMm: mm, lengthMm },
      }),
    ),
    ...(
      [
        ['M6x1', 32],
        ['M8x1', 35],
        ['M10x1', 41],
      ] as const
    ).map(([thread, price]) =>
      estatePart(maker, number('GN', thread), `Grease nipple, ${thread.replace('x', ' x ')}`, 'grease-nipple', price, {
        facts: { thread },
      }),
    ),
    ...(
      [
        [6, 42],
        [8, 48],
        [10, 52],
      ] as const
    ).map(([mm, price]) =>
      estatePart(maker, number('LP', mm), `Linch pin, ${mm}`, 'pin', price, {
        facts: { outsideMm: mm },
        criticality: 'desirable',
      }),
    ),
    ...(
      [
        [8, 40, 26],
        [10, 50, 38],
      ] as const
    ).map(([mm, lengthMm, price]) =>
      estatePart(maker, number('SB', mm, lengthMm), `Shear bolt, M${mm} x ${lengthMm}, 4.6`, 'shear-bolt', price, {
        facts: { thread: `M${mm}`, propertyClass: '4.6', lengthMm },
        criticality: 'vital',
      }),
    ),
  ]
}

export function fasteners(): EstatePart[] {
  return [...pins(), ...bolts(), ...nutsAndWashers(), ...pinsAndRings()]
}
