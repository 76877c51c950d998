import { outlineArc, outlineCircle, outlineLink, outlineRounded } from '../draw/outline.ts'
import { ballBearing } from '../draw/parts/bearing.ts'
import { circlip, greaseNipple, hexBolt, parallelKey, splitPin, springWasher, washer } from '../draw/parts/fastener.ts'
import { type Shape, shapeJoin, shapeMove, shapePlace, shapeTurn } from '../draw/shape.ts'
import { extrude, revolve, ring, rod, shadeLines } from '../draw/solid.ts'
import type { Flat, Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

const on = (radius: number, degrees: number): Flat => [
  radius * Math.cos((degrees * Math.PI) / 180),
  radius * Math.sin((degrees * Math.PI) / 180),
]

/** Five discs on the shaft, four hammer pins through them, a hammer of every pin in every gap: sixteen stations. */
const DISC = 124
const PIN = 98
const PINS = [50, 140, 230, 320]
const DISCS = [0, 86, 172, 258, 344]
/** The pin that is drawn out with one of its hammers, so that its row in the rotor is empty. */
const OPEN = 50

/** Hammer hanging along +y from its eye at the origin, pin along x: block with a hardened striking edge. */
function hammer(): Shape {
  const block = extrude(
    [
      ...outlineArc(22, 90, 270),
      ...outlineRounded([
        [44, -22, 4],
        [62, -27, 2],
        [92, -27, 2],
        [92, 27, 2],
        [62, 27, 2],
        [44, 22, 4],
      ]),
    ],
    -12,
    12,
    [outlineCircle(10.5, [0, 0], 24)],
  )
  const edge = extrude(
    outlineRounded([
      [80, -28],
      [93, -28],
      [93, 28],
      [80, 28],
    ]),
    -12.6,
    12.6,
  )
  return shapeJoin(block, edge)
}

function rotor(): Shape {
  const discs = DISCS.map((x) =>
    extrude(outlineCircle(DISC, [0, 0], 88), x, x + 14, [
      outlineCircle(30, [0, 0], 36),
      ...PINS.map((a) => outlineCircle(10.5, on(PIN, a), 20)),
    ]),
  )
  const shaft = revolve([
    [-150, 0],
    [-150, 22],
    [-148, 24],
    [-60, 24],
    [-60, 30],
    [-12, 30],
    [-12, 44, 2],
    [370, 44, 2],
    [370, 30],
    [418, 30],
    [418, 24],
    [530, 24],
    [530, 20],
    [608, 20],
    [610, 18],
    [610, 0],
  ])
  shaft.lines.push(...shadeLines(424, 526, 24, [-60, -66], 12))
  return shapeJoin(shaft, ...discs)
}

const gaps = DISCS.slice(0, 4).map((x) => x + 50)
const fittedHammers = (): Shape =>
  shapeJoin(
    ...PINS.filter((a) => a !== OPEN).flatMap((a) =>
      gaps.map((x) => shapeMove(shapeTurn(hammer(), 'x', a), [x, ...on(PIN, a)])),
    ),
  )
const hammerPin = (): Shape =>
  shapeJoin(
    rod(0, 400, 10, 1.5),
    revolve([
      [-9, 0],
      [-9, 15, 1],
      [0.2, 15],
      [0.2, 0],
    ]),
  )
const fittedPins = (): Shape =>
  shapeJoin(...PINS.filter((a) => a !== OPEN).map((a) => shapeMove(hammerPin(), [-10, ...on(PIN, a)])))

/** Flanged bearing housing; flange towards -x, barrel with its grease boss towards +x. */
function housing(): Shape {
  const flange = extrude(
    outlineRounded([
      [-72, -72, 22],
      [72, -72, 22],
      [72, 72, 22],
      [-72, 72, 22],
    ]),
    0,
    14,
    [outlineCircle(44, [0, 0], 48), ...[45, 135, 225, 315].map((a) => outlineCircle(7.5, on(76, a), 16))],
  )
  const barrel = revolve([
    [-6, 46],
    [-6, 58, 1.5],
    [13, 58],
    [18, 58, 4],
    [44, 56, 2],
    [44, 46],
    [38, 46],
    [38, 43],
    [4, 43],
    [4, 34],
    [-2, 34],
    [-2, 46],
  ])
  return shapeJoin(flange, barrel, shapePlace(rod(0, 12, 8, 1), [28, 0, 50], '+z'))
}

function flywheel(): Shape {
  const rim = revolve([
    [0, 132],
    [0, 168, 3],
    [52, 168, 3],
    [52, 132, 2],
  ])
  const web = extrude(outlineCircle(134, [0, 0], 88), 20, 32, [
    outlineCircle(24, [0, 0], 32),
    ...[0, 60, 120, 180, 240, 300].map((a) => outlineCircle(24, on(88, a), 32)),
  ])
  const hub = revolve([
    [-14, 20.5],
    [-14, 46, 2],
    [20, 50, 3],
    [32, 50, 3],
    [62, 46, 2],
    [62, 20.5],
  ])
  return shapeJoin(rim, web, hub)
}

/** Tab washer: one tab folded into the flywheel, the other bent up against a flat of the bolt. */
const tabWasher = (): Shape => extrude(outlineLink([0, 0], 27, [0, 30], 13), 0, 3, [outlineCircle(9.5, [0, 0], 20)])

const at = (x: number, y = 0, z = 0): Vec => [x, y, z]

export function figure(): FigurePage {
  const X = { guard: 660, housing: 730, bearing: 850, clip: 915, bolts: 860, flywheel: 1090, tab: 1220, bolt: 1310 }
  const up: Flat = [0, 330]
  const row = (x: number): Vec => [x, up[0], up[1]]
  const corner = [45, 135, 225, 315].map((a) => on(76, a))
  return figurePage({
    slug: 'shredder-rotor',
    title: 'Hammer rotor and flywheel',
    number: '4-01',
    model: MODELS.shredder,
    drawing: {
      width: 1400,
      view: { yawDegrees: -50, pitchDegrees: 30 },
      margins: { top: 90, right: 90, bottom: 90, left: 90 },
      parts: [
        { item: '1', shape: rotor(), near: [at(480, 0, 24)], rail: 'lower' },
        { item: '2', shape: fittedHammers() },
        {
          item: '2',
          shape: shapePlace(shapeTurn(hammer(), 'x', 180), row(330)),
          near: [at(342, -60, up[1])],
          rail: 'upper',
        },
        { item: '3', shape: fittedPins() },
        { item: '3', shape: shapePlace(hammerPin(), row(-200)), near: [at(-60, 0, up[1] + 10)], rail: 'upper' },
        { item: '4', shape: shapePlace(ring(0, 36, 10.6, 17, 0.8), row(246)), rail: 'upper' },
        { item: '5', shape: shapePlace(washer(10.6, 19, 4), row(400)), rail: 'upper' },
        { item: '6', shape: shapePlace(splitPin(5.5, 44), [450, 0, up[1] + 62], '-z'), rail: 'upper' },
        {
          item: '7',
          shape: shapePlace(
            revolve([
              [0, 25],
              [0, 62, 1],
              [5, 62, 1],
              [5, 36],
              [16, 36],
              [16, 25],
            ]),
            at(X.guard),
          ),
          rail: 'lower',
        },
        { item: '8', shape: shapePlace(housing(), at(X.housing)), near: [at(X.housing + 14, -60, 50)], rail: 'lower' },
        { item: '9', shape: shapePlace(ballBearing(48, 86, 24), at(X.bearing)), rail: 'lower' },
        {
          item: '10',
          shape: shapePlace(circlip(39, 45, 3, { internal: true, atDegrees: 90 }), at(X.clip)),
          rail: 'lower',
        },
        { item: '11', shape: shapePlace(greaseNipple(12), [X.housing + 28, 0, 96], '+z'), rail: 'upper' },
        ...corner.map(([y, z], k) => ({
          item: '12',
          shape: shapePlace(hexBolt(12, 38, 20), [X.bolts, y, z], '-x'),
          ...(k === 0 ? { near: [[X.bolts, y, z] as Vec], rail: 'upper' } : {}),
        })),
        ...corner.map(([y, z], k) => ({
          item: '13',
          shape: shapePlace(springWasher(6.5, 11, 3.4), [X.bolts - 84, y, z]),
          ...(k === 0 ? { near: [[X.bolts - 82, y, z + 8] as Vec], rail: 'upper' } : {}),
        })),
        { item: '14', shape: shapePlace(parallelKey(56, 12, 10), at(X.flywheel - 60, 0, 190)), rail: 'upper' },
        {
          item: '15',
          shape: shapePlace(flywheel(), at(X.flywheel)),
          near: [at(X.flywheel + 30, 0, 168)],
          rail: 'upper',
        },
        { item: '16', shape: shapePlace(tabWasher(), at(X.tab)), rail: 'upper' },
        { item: '17', shape: shapePlace(hexBolt(18, 52, 36), at(X.bolt), '-x'), rail: 'upper' },
        { item: '8', shape: shapePlace(housing(), at(-190), '-x') },
      ],
      axes: [
        [at(-240), at(X.bolt + 30)],
        [row(-230), row(470)],
        [
          [450, 0, up[1] + 80],
          [450, 0, up[1]],
        ],
        [at(X.housing + 28, 0, 110), at(X.housing + 28, 0, 52)],
        [at(X.flywheel - 32, 0, 200), at(X.flywheel - 32)],
        ...corner.map(([y, z]): Vec[] => [at(X.bolts + 10, y, z), at(X.housing, y, z)]),
      ],
      rails: {
        upper: { from: [520, 50], to: [1370, 540] },
        lower: { from: [420, 700], to: [900, 900] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'BT.4.1001',
        description: 'Rotor with shaft, balanced',
        quantity: 1,
        partClass: 'rotor',
        facts: { massKg: 58, safetyJoint: 'cutting' },
      },
      {
        item: '2',
        partNumber: 'BT.4.1020',
        description: 'Hammer, swinging, hard faced',
        quantity: 16,
        partClass: 'flail-knife',
        facts: { stations: 16, safetyJoint: 'cutting' },
        note: 'Renew in opposite pairs of equal mass',
      },
      {
        item: '3',
        partNumber: 'BT.4.1021',
        description: 'Hammer pin, 20 x 400',
        quantity: 4,
        indenture: 2,
        attaches: '2',
        partClass: 'pin',
        facts: { splitPinHoleMm: 5, clevisPinMm: 20, safetyJoint: 'cutting' },
        partFacts: { outsideMm: 20, lengthMm: 400 },
      },
      {
        item: '4',
        partNumber: 'BT.4.1022',
        description: 'Distance bush, hammer',
        quantity: 16,
        indenture: 2,
        partClass: 'spacer',
        partFacts: { boreMm: 21, outsideMm: 34, widthMm: 36 },
      },
      {
        item: '5',
        partNumber: 'BT.9.6020',
        description: 'Washer, 20',
        quantity: 4,
        indenture: 2,
        attaches: '3',
        partClass: 'washer',
        partFacts: { boreMm: 21 },
      },
      {
        item: '6',
        partNumber: 'BT.9.3536',
        description: 'Split pin, 5 x 36',
        quantity: 4,
        indenture: 3,
        attaches: '3',
        partClass: 'split-pin',
        partFacts: { splitPinMm: 5, lengthMm: 36 },
        note: 'Renew each time a hammer pin comes out',
      },
      {
        item: '7',
        partNumber: 'BT.4.1041',
        description: 'Wrap guard ring',
        quantity: 2,
        partClass: 'guard',
        facts: { ends: ['DE', 'NDE'] },
      },
      {
        item: '8',
        partNumber: 'BT.4.1040',
        description: 'Bearing housing',
        quantity: 2,
        partClass: 'housing',
        facts: { ends: ['DE', 'NDE'], massKg: 6.8 },
      },
      {
        item: '9',
        partNumber: 'BT.4.1045',
        description: 'Ball bearing, 50 x 90 x 20',
        quantity: 2,
        partClass: 'bearing',
        serialTo: 'C0219',
        facts: { ends: ['DE', 'NDE'], joint: ['bearing-fill', 'shaft-fit'] },
        partFacts: { boreMm: 50, outsideMm: 90, widthMm: 20 },
      },
      {
        item: '9',
        partNumber: 'BT.4.1145',
        description: 'Ball bearing, 50 x 90 x 20, sealed, enlarged clearance',
        quantity: 2,
        partClass: 'bearing',
        serials: 'C0220-C0399, D001-',
        facts: { ends: ['DE', 'NDE'], joint: ['shaft-fit'] },
        partFacts: { boreMm: 50, outsideMm: 90, widthMm: 20 },
      },
      {
        item: '10',
        partNumber: 'BT.9.2090',
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
        partNumber: 'BT.9.7008',
        description: 'Grease nipple, M8 x 1',
        quantity: 2,
        indenture: 2,
        partClass: 'grease-nipple',
        facts: { ends: ['DE', 'NDE'], thread: 'M8x1', joint: ['grease-nipple'] },
      },
      {
        item: '12',
        partNumber: 'BT.9.5240',
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
        partNumber: 'BT.9.6112',
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
        partNumber: 'BT.9.4056',
        description: 'Key, 12 x 8 x 56',
        quantity: 1,
        partClass: 'key',
        facts: { ends: ['DE'] },
        partFacts: { widthMm: 12, lengthMm: 56 },
      },
      {
        item: '15',
        partNumber: 'BT.4.1060',
        description: 'Flywheel',
        quantity: 1,
        partClass: 'other',
        facts: { ends: ['DE'], massKg: 31, joint: ['shaft-fit'] },
      },
      {
        item: '16',
        partNumber: 'BT.9.6318',
        description: 'Tab washer, 18',
        quantity: 1,
        indenture: 2,
        attaches: '15',
        partClass: 'tab-washer',
        facts: { ends: ['DE'] },
        partFacts: { boreMm: 19 },
        note: 'Renew: a tab is bent once only',
      },
      {
        item: '17',
        partNumber: 'BT.9.5352',
        description: 'Bolt, M18 x 50',
        quantity: 1,
        indenture: 2,
        attaches: '15',
        partClass: 'bolt',
        facts: {
          ends: ['DE'],
          stripFirst: ['Bend the tab of the tab washer (16) back'],
          fitThen: ['Bend a tab of the new tab washer (16) up against a flat of the bolt'],
          thread: 'M18',
          propertyClass: '8.8',
          torqueNm: 260,
          torqueState: 'dry',
        },
        partFacts: { thread: 'M18', propertyClass: '8.8', lengthMm: 50 },
      },
    ],
    strip: ['6>5>3>4', '3>2', '17>16>15>14>10>9>8', '14>12>13>8', '11>8>7>1', '2>1', '4>1'],
    tests: [
      'Turn the rotor by hand through two turns: no hammer touches the housing or the counter blade.',
      'Every hammer swings freely on its pin, and every hammer pin has its split pin, opened.',
      'Run up slowly with everybody clear and the hood bolted: no vibration above what the maker allows.',
      'Hood switch stops the drive; the rotor runs down within the time the maker gives.',
    ],
  })
}
