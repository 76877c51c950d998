import { outlineCircle, outlineRounded } from '../draw/outline.ts'
import { ballBearing, bush, oilSeal } from '../draw/parts/bearing.ts'
import { vPulley } from '../draw/parts/drive.ts'
import {
  castleNut,
  circlip,
  greaseNipple,
  hexBolt,
  lockNut,
  parallelKey,
  splitPin,
  springWasher,
  washer,
} from '../draw/parts/fastener.ts'
import { type Shape, shapeJoin, shapeMove, shapePlace, shapeRing, shapeTurn } from '../draw/shape.ts'
import { extrude, loft, revolve, ring, rod, shadeLines, threadLines } from '../draw/solid.ts'
import type { Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

const TUBE = 46
const HOLE = 68
const STATIONS = Array.from({ length: 12 }, (_, k) => ({ x: 46 + k * 53, degrees: 24 + k * 75 }))

/** Flail knife hanging along +y from its eye at the origin: strap, bend and sharpened foot, bolt axis along x. */
function flailKnife(): Shape {
  const [half, thick] = [15, 3.6]
  const path: [x: number, y: number, nx: number, ny: number, t: number][] = [
    [0, 10, 1, 0, thick],
    [0, 54, 1, 0, thick],
    ...[0.15, 0.32, 0.5, 0.68, 0.84].map((k): [number, number, number, number, number] => {
      const a = (k * Math.PI) / 2.2
      return [14 - 14 * Math.cos(a), 54 + 14 * Math.sin(a), Math.cos(a), -Math.sin(a), thick]
    }),
    [12.4, 67.8, 0.16, -0.987, thick],
    [26, 69.9, 0.16, -0.987, thick],
    [36, 71.4, 0.16, -0.987, 0.6],
  ]
  const strap = loft(
    path.map(([x, y, nx, ny, t]): Vec[] => [
      [x - nx * t, y - ny * t, -half],
      [x + nx * t, y + ny * t, -half],
      [x + nx * t, y + ny * t, half],
      [x - nx * t, y - ny * t, half],
    ]),
    { capped: true, creaseDegrees: 34 },
  )
  return shapeJoin(strap, ring(-6.5, 6.5, 8.5, 17.5, 1))
}

const lugOutline = outlineRounded([
  [-19, TUBE - 8],
  [19, TUBE - 8],
  [15, HOLE + 14, 14],
  [-15, HOLE + 14, 14],
])
const lug = (x: number): Shape => extrude(lugOutline, x - 3.2, x + 3.2, [outlineCircle(7, [0, HOLE], 20)])

function rotor(): Shape {
  const tube = revolve([
    [0, 0],
    [0, TUBE, 2],
    [676, TUBE, 2],
    [676, 0],
  ])
  tube.lines.push(...shadeLines(8, 668, TUBE, [-62, -66], 40))
  const journal = (x: number, way: 1 | -1, more: [number, number][]) =>
    revolve([[x, 0], ...more.map(([d, r]): [number, number] => [x + way * d, r]), [x + way * more.at(-1)![0], 0]])
  const thread = threadLines(676 + 190, 676 + 214, 11, 3)
  const stubs = shapeJoin(
    journal(-0.5, -1, [
      [0, 30],
      [9, 30],
      [9, 24],
      [30, 24],
      [30, 20.5],
      [74, 20.5],
      [76, 18.5],
    ]),
    journal(676.5, 1, [
      [0, 30],
      [9, 30],
      [9, 24],
      [30, 24],
      [30, 20.5],
      [98, 20.5],
      [98, 17],
      [184, 17],
      [184, 11],
      [214, 11],
      [216, 9.5],
    ]),
  )
  stubs.lines.push(...thread)
  // Keyway in the pulley seat and cross hole for the split pin: drawn as lines cut into the surface.
  const lugs = STATIONS.flatMap(({ x, degrees }) =>
    [0, 180].flatMap((side) => [-11, 11].map((d) => shapeTurn(lug(x + d), 'x', degrees + side - 90))),
  )
  return shapeJoin(tube, stubs, ...lugs)
}

const OPEN_STATION = 2
const openAt = STATIONS[OPEN_STATION]!

/** The station whose knife is shown taken off: the one on the reader's side of the third pair. */
const isOpen = (station: number, side: number): boolean => station === OPEN_STATION && side === 0

function fitted(piece: (station: number) => Shape): Shape {
  return shapeJoin(
    ...STATIONS.flatMap(({ x, degrees }, station) =>
      [0, 180]
        .filter((side) => !isOpen(station, side))
        .map((side) => shapeMove(shapeTurn(piece(station), 'x', degrees + side), [x, 0, 0])),
    ),
  )
}
const outward = (shape: Shape): Shape => shapeMove(shape, [0, HOLE, 0])
const fittedKnife = (station: number): Shape => outward(station % 2 ? shapeTurn(flailKnife(), 'y', 180) : flailKnife())
const fittedBolt = (): Shape => outward(shapeMove(hexBolt(13, 34, 8), [-16, 0, 0]))
const fittedNut = (): Shape => outward(shapeMove(lockNut(13), [15, 0, 0]))

/** Cast bearing housing: square flange with four bolt holes towards -x, turned barrel towards +x. */
function bearingHousing(): Shape {
  const square = outlineRounded([
    [-66, -66, 20],
    [66, -66, 20],
    [66, 66, 20],
    [-66, 66, 20],
  ])
  const holes = [45, 135, 225, 315].map((a) =>
    outlineCircle(7.5, [70 * Math.cos((a * Math.PI) / 180), 70 * Math.sin((a * Math.PI) / 180)], 20),
  )
  const flange = extrude(square, 0, 13, [outlineCircle(44, [0, 0], 64), ...holes])
  const barrel = revolve([
    [-7, 42.5],
    [-7, 54, 1.5],
    [0.5, 54],
    [12.5, 56],
    [17, 56, 4],
    [20, 53.5, 3],
    [42, 52, 2],
    [42, 42.5],
    [36, 42.5],
    [36, 40],
    [4, 40],
    [4, 36],
    [-3, 36],
    [-3, 42.5],
  ])
  const boss = shapePlace(rod(0, 12, 8, 1), [28, 0, 48], '+z')
  return shapeJoin(flange, barrel, boss)
}

function endCover(): Shape {
  const dome = revolve([
    [0, 0],
    [0, 54, 1],
    [-6, 54, 1],
    [-6, 34],
    [-12, 28, 6],
    [-14, 0],
  ])
  const ears = shapeRing(extrude([...outlineCircle(9, [0, 55], 20)], -6.2, 0.2, [outlineCircle(4, [0, 57], 14)]), 3, 30)
  return shapeJoin(dome, ears)
}

const DRIVE = 676
const at = (x: number): Vec => [x, 0, 0]
const corners: Vec[] = [45, 135, 225, 315].map((a) => [
  0,
  70 * Math.cos((a * Math.PI) / 180),
  70 * Math.sin((a * Math.PI) / 180),
])

export function figure(): FigurePage {
  const knifeY = -262
  const row = (dx: number): Vec => [openAt.x + dx, knifeY, 0]
  const housingX = DRIVE + 318
  return figurePage({
    slug: 'mower-rotor',
    title: 'Rotor and knives',
    number: '3-02',
    model: MODELS.mower,
    drawing: {
      width: 1400,
      view: { yawDegrees: -52, pitchDegrees: 32 },
      margins: { top: 84, right: 70, bottom: 84, left: 84 },
      parts: [
        { item: '1', shape: rotor(), near: [[640, -6, 44]], rail: 'upper' },
        { item: '2', shape: fitted(fittedKnife) },
        { item: '3', shape: fitted(fittedBolt) },
        { item: '5', shape: fitted(fittedNut) },
        {
          item: '2',
          shape: shapePlace(shapeTurn(flailKnife(), 'z', 180), row(0)),
          near: [[openAt.x, knifeY - 46, 0]],
          rail: 'lower',
        },
        {
          item: '3',
          shape: shapePlace(hexBolt(15, 46, 16), row(-122)),
          near: [[openAt.x - 98, knifeY, 0]],
          rail: 'lower',
        },
        {
          item: '4',
          shape: shapePlace(bush(24, 7.6, 10.5), row(-54)),
          near: [[openAt.x - 40, knifeY, 8]],
          at: [268, 266],
        },
        { item: '5', shape: shapePlace(lockNut(15), row(66)), near: [[openAt.x + 70, knifeY, 0]], rail: 'lower' },
        {
          item: '6',
          shape: revolve([
            [DRIVE + 112, 31],
            [DRIVE + 112, 60, 1],
            [DRIVE + 117, 60, 1],
            [DRIVE + 117, 40],
            [DRIVE + 128, 40],
            [DRIVE + 128, 31],
          ]),
          near: [[DRIVE + 117, 20, 46]],
          rail: 'upper',
        },
        { item: '7', shape: shapePlace(oilSeal(46, 84, 12), at(DRIVE + 240)), rail: 'upper' },
        {
          item: '8',
          shape: shapePlace(bearingHousing(), at(housingX)),
          near: [[housingX + 13, 40, 52]],
          rail: 'upper',
        },
        { item: '9', shape: shapePlace(ballBearing(41, 84, 26), at(housingX + 128)), rail: 'upper' },
        {
          item: '10',
          shape: shapePlace(circlip(36, 42, 3, { internal: true, atDegrees: 90 }), at(housingX + 188)),
          rail: 'upper',
        },
        { item: '11', shape: shapePlace(greaseNipple(12), [housingX + 28, 0, 100], '+z'), rail: 'upper' },
        ...corners.map((corner, k) => ({
          item: '12',
          shape: shapePlace(hexBolt(12, 36, 18), [housingX + 96, corner[1], corner[2]], '-x'),
          ...(k === 2 ? { near: [[housingX + 80, corner[1], corner[2]] as Vec], rail: 'drive-low' } : {}),
        })),
        ...corners.map((corner, k) => ({
          item: '13',
          shape: shapePlace(springWasher(6.5, 11, 3.4), [housingX + 36, corner[1], corner[2]]),
          ...(k === 2 ? { near: [[housingX + 38, corner[1], corner[2] - 8] as Vec], rail: 'drive-low' } : {}),
        })),
        { item: '14', shape: shapePlace(ring(0, 30, 18, 25, 1), at(housingX + 222)), rail: 'upper' },
        { item: '15', shape: shapePlace(parallelKey(52, 10, 9), [DRIVE + 106, 0, 104]), rail: 'upper' },
        {
          item: '16',
          shape: shapePlace(
            vPulley(86, 4, { pitch: 17, depth: 15, bore: 17.5, hub: 30, hubLength: 92 }),
            at(housingX + 330),
          ),
          rail: 'drive-low',
        },
        { item: '17', shape: shapePlace(washer(12, 27, 6), at(housingX + 492)), rail: 'upper' },
        { item: '18', shape: shapePlace(castleNut(25, 38), at(housingX + 528)), rail: 'upper' },
        { item: '19', shape: shapePlace(splitPin(6, 52), [housingX + 540, 0, 92], '-z'), rail: 'upper' },
        // Non-drive end: the same housing, seal and bearing, shown fitted.
        {
          item: '6',
          shape: revolve([
            [-40, 31],
            [-40, 60, 1],
            [-35, 60, 1],
            [-35, 40],
            [-24, 40],
            [-24, 31],
          ]),
        },
        { item: '8', shape: shapePlace(bearingHousing(), at(-150), '-x') },
        { item: '20', shape: shapePlace(endCover(), at(-272)), rail: 'left-end' },
        ...[30, 150, 270].map((a, k) => ({
          item: '21',
          shape: shapePlace(hexBolt(8, 22, 16), [
            -346,
            57 * Math.cos(((a + 90) * Math.PI) / 180),
            57 * Math.sin(((a + 90) * Math.PI) / 180),
          ]),
          ...(k === 0 ? { rail: 'left-end' } : {}),
        })),
      ],
      axes: [
        [at(-300), at(housingX + 640)],
        [row(-150), row(110)],
        [
          [DRIVE + 132, 0, 104],
          [DRIVE + 132, 0, 17],
        ],
        [
          [housingX + 540, 0, 110],
          [housingX + 540, 0, 0],
        ],
        [
          [housingX + 28, 0, 110],
          [housingX + 28, 0, 50],
        ],
        ...corners.map(([, y, z]): Vec[] => [
          [housingX + 100, y, z],
          [housingX, y, z],
        ]),
        [
          [openAt.x, -HOLE - 30, 0],
          [openAt.x, knifeY, 0],
        ],
      ],
      rails: {
        upper: { from: [560, 60], to: [1370, 520] },
        lower: { from: [120, 420], to: [520, 586] },
        'drive-low': { from: [860, 600], to: [1180, 698] },
        'left-end': { from: [60, 40], to: [300, 40] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'ST40.001',
        description: 'Rotor, balanced, with lugs',
        quantity: 1,
        partClass: 'rotor',
        facts: { massKg: 74, safetyJoint: 'cutting' },
      },
      {
        item: '2',
        partNumber: 'ST40.020',
        description: 'Flail knife, right-angled',
        quantity: 24,
        partClass: 'flail-knife',
        facts: { stations: 24, safetyJoint: 'cutting' },
        note: 'Renew in opposite pairs of equal mass',
      },
      {
        item: '3',
        partNumber: 'ST40.021',
        description: 'Knife bolt, M16 x 65',
        quantity: 24,
        indenture: 2,
        attaches: '2',
        partClass: 'knife-bolt',
        facts: {
          stations: 24,
          thread: 'M16',
          propertyClass: '10.9',
          safetyJoint: 'cutting',
        },
        partFacts: { thread: 'M16', propertyClass: '10.9', lengthMm: 65 },
      },
      {
        item: '4',
        partNumber: 'ST40.022',
        description: 'Bush, knife',
        quantity: 24,
        indenture: 2,
        partClass: 'bush',
        facts: { stations: 24 },
        partFacts: { boreMm: 16.2, outsideMm: 22, widthMm: 24 },
      },
      {
        item: '5',
        partNumber: 'ST40.023',
        description: 'Prevailing-torque nut, M16',
        quantity: 24,
        indenture: 2,
        attaches: '2',
        partClass: 'knife-nut',
        // The torque is that of the nut: the bolt is held.
        facts: {
          stations: 24,
          thread: 'M16',
          propertyClass: '10.9',
          torqueNm: 210,
          torqueState: 'oiled',
          safetyJoint: 'cutting',
        },
        partFacts: { thread: 'M16', propertyClass: '10' },
        note: 'Renew each time a knife comes off',
      },
      {
        item: '6',
        partNumber: 'ST40.040',
        description: 'Wrap guard ring',
        quantity: 2,
        partClass: 'guard',
        facts: { ends: ['DE', 'NDE'] },
      },
      {
        item: '7',
        partNumber: 'ST41.007',
        description: 'Oil seal, 45 x 90 x 10',
        quantity: 2,
        partClass: 'oil-seal',
        facts: { ends: ['DE', 'NDE'], sitsOn: '8' },
        serialTo: '1499',
        partFacts: { boreMm: 45, outsideMm: 90, widthMm: 10 },
      },
      {
        item: '7',
        partNumber: 'ST41.107',
        description: 'Oil seal, 45 x 90 x 12, with dust lip',
        quantity: 2,
        partClass: 'oil-seal',
        facts: { ends: ['DE', 'NDE'], sitsOn: '8' },
        serialFrom: '1500',
        partFacts: { boreMm: 45, outsideMm: 90, widthMm: 12 },
      },
      {
        item: '8',
        partNumber: 'ST41.001',
        description: 'Bearing housing',
        quantity: 2,
        partClass: 'housing',
        facts: { ends: ['DE', 'NDE'], massKg: 6.5 },
      },
      {
        item: '9',
        partNumber: 'ST41.009',
        description: 'Ball bearing, 40 x 90 x 23',
        quantity: 2,
        partClass: 'bearing',
        facts: { ends: ['DE', 'NDE'], joint: ['bearing-fill', 'shaft-fit'] },
        partFacts: { boreMm: 40, outsideMm: 90, widthMm: 23 },
      },
      {
        item: '10',
        partNumber: 'ST98.090',
        description: 'Circlip, internal, 90',
        quantity: 2,
        indenture: 2,
        attaches: '9',
        partClass: 'circlip',
        facts: { ends: ['DE', 'NDE'] },
        partFacts: { outsideMm: 90 },
      },
      {
        item: '11',
        partNumber: 'ST97.008',
        description: 'Grease nipple, M8 x 1',
        quantity: 2,
        indenture: 2,
        partClass: 'grease-nipple',
        facts: { ends: ['DE', 'NDE'], thread: 'M8x1', joint: ['grease-nipple'] },
      },
      {
        item: '12',
        partNumber: 'ST95.240',
        description: 'Bolt, M12 x 40',
        quantity: 8,
        indenture: 2,
        attaches: '8',
        partClass: 'bolt',
        facts: {
          ends: ['DE', 'NDE'],
          stripFirst: ['Hold the rotor up on blocks or slings'],
          thread: 'M12',
          propertyClass: '8.8',
          torqueNm: 79,
          torqueState: 'dry',
          joint: ['threads-that-shake'],
        },
        partFacts: { thread: 'M12', propertyClass: '8.8', lengthMm: 40 },
      },
      {
        item: '13',
        partNumber: 'ST96.012',
        description: 'Spring washer, 12',
        quantity: 8,
        indenture: 2,
        attaches: '8',
        partClass: 'spring-washer',
        facts: { ends: ['DE', 'NDE'] },
        partFacts: { boreMm: 12.2 },
      },
      {
        item: '14',
        partNumber: 'ST40.051',
        description: 'Distance piece',
        quantity: 1,
        partClass: 'spacer',
        facts: { ends: ['DE'] },
        partFacts: { boreMm: 35, widthMm: 30 },
      },
      {
        item: '15',
        partNumber: 'ST99.045',
        description: 'Key, 10 x 8 x 50',
        quantity: 1,
        partClass: 'key',
        facts: { ends: ['DE'] },
        partFacts: { widthMm: 10, lengthMm: 50 },
      },
      {
        item: '16',
        partNumber: 'ST42.016',
        description: 'V-belt pulley, four grooves',
        quantity: 1,
        partClass: 'pulley',
        facts: {
          ends: ['DE'],
          stripFirst: ['Take the belts off the pulley: see the belt drive'],
          fitThen: ['Put the belts on and set their tension: see the belt drive'],
          massKg: 11,
          joint: ['shaft-fit'],
        },
      },
      {
        item: '17',
        partNumber: 'ST96.124',
        description: 'Washer, thick, 24',
        quantity: 1,
        indenture: 2,
        attaches: '16',
        partClass: 'washer',
        facts: { ends: ['DE'] },
        partFacts: { boreMm: 25 },
      },
      {
        item: '18',
        partNumber: 'ST94.024',
        description: 'Castle nut, M24',
        quantity: 1,
        indenture: 2,
        attaches: '16',
        partClass: 'castle-nut',
        facts: { ends: ['DE'], thread: 'M24', torqueNm: 180, torqueState: 'oiled' },
        partFacts: { thread: 'M24' },
      },
      {
        item: '19',
        partNumber: 'ST93.540',
        description: 'Split pin, 5 x 40',
        quantity: 1,
        indenture: 3,
        attaches: '18',
        partClass: 'split-pin',
        facts: { ends: ['DE'] },
        partFacts: { splitPinMm: 5, lengthMm: 40 },
      },
      {
        item: '20',
        partNumber: 'ST41.020',
        description: 'Cover, non-drive end',
        quantity: 1,
        partClass: 'cover',
        facts: { ends: ['NDE'] },
      },
      {
        item: '21',
        partNumber: 'ST95.122',
        description: 'Bolt, M8 x 22',
        quantity: 3,
        indenture: 2,
        attaches: '20',
        partClass: 'bolt',
        facts: { ends: ['NDE'], thread: 'M8', propertyClass: '8.8', torqueNm: 25, torqueState: 'dry' },
        partFacts: { thread: 'M8', propertyClass: '8.8', lengthMm: 22 },
      },
    ],
    strip: [
      '5>3>2',
      '3>4',
      '19>18>17>16>15',
      '16>14',
      '12>13>8',
      '16>12',
      '14>10>9>7',
      '8>9',
      '8>6',
      '21>20',
      '20>10',
      '20>1',
      '6>1',
      '11>8',
      '15>6',
    ],
    tests: [
      'Turn the rotor by hand through two turns: no knife touches the hood, no grinding in the bearings.',
      'Every knife swings freely on its bolt.',
      'Run up slowly with everybody clear: no vibration above what the maker allows.',
      'Bearing housings hand-warm at most after ten minutes of running.',
    ],
  })
}
