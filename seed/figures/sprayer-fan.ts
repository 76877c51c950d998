import { outlineCircle, outlineRounded } from '../draw/outline.ts'
import { oRing } from '../draw/parts/bearing.ts'
import { hexagon, hexBolt, parallelKey, socketScrew, springWasher, washer } from '../draw/parts/fastener.ts'
import { coilSpring } from '../draw/parts/spring.ts'
import { type Shape, shapeJoin, shapeMove, shapePlace, shapeRing, shapeTurn } from '../draw/shape.ts'
import { extrude, loft, revolve, ring, rod, tube } from '../draw/solid.ts'
import { around, type Flat, radians, type Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

const on = (radius: number, degrees: number): Flat => [
  radius * Math.cos(radians(degrees)),
  radius * Math.sin(radians(degrees)),
]
const FAN = 170
const ARC = 232
const GRILLE = 196
const SIX = [30, 90, 150, 210, 270, 330]
const FOUR = [45, 135, 225, 315]

/** Blade standing along +y: lens-shaped section, coarse pitch at the root, fine at the tip. */
function blade(): Shape {
  const section = (r: number, pitchDegrees: number, chord: number): Vec[] => {
    const [s, c] = [Math.sin(radians(pitchDegrees)), Math.cos(radians(pitchDegrees))]
    return [
      [-1, 0],
      [-0.5, 3.4],
      [0.2, 4],
      [1, 0.4],
      [0.2, -1.4],
      [-0.5, -1.2],
    ].map(([u, t]): Vec => [s * u! * chord - c * t!, r, c * u! * chord + s * t!])
  }
  return loft(
    [section(54, 48, 27), section(90, 40, 31), section(130, 32, 34), section(FAN - 6, 27, 34), section(FAN, 26, 26)],
    {
      capped: true,
      creaseDegrees: 32,
    },
  )
}

function fanWheel(): Shape {
  const hub = revolve([
    [-34, 30],
    [-34, 58, 3],
    [26, 58, 6],
    [34, 48, 3],
    [34, 42],
    [6, 42, 3],
    [6, 30],
  ])
  return shapeJoin(hub, shapeRing(blade(), 8, 10))
}

function hub(): Shape {
  const flange = extrude(outlineCircle(46, [0, 0], 56), 0, 12, [
    outlineCircle(22, [0, 0], 32),
    ...SIX.map((a) => outlineCircle(4.6, on(37, a), 12)),
  ])
  const barrel = revolve([
    [-38, 22],
    [-38, 30, 1.5],
    [0.4, 31, 2],
    [0.4, 22],
  ])
  return shapeJoin(flange, barrel, ring(11.6, 24, 22, 29, 1))
}

function taperBush(): Shape {
  const slit = extrude(
    [
      [-1.6, 11],
      [1.6, 11],
      [1.6, 22.4],
      [-1.6, 22.4],
    ],
    -0.4,
    32.4,
  )
  return shapeJoin(
    revolve([
      [0, 12],
      [0, 19, 0.8],
      [32, 22, 0.8],
      [32, 12],
    ]),
    shapeTurn(slit, 'x', 40),
  )
}

/** Guard of wire rings on spokes, with four lugs for its screws. */
function grille(): Shape {
  const wire = (r: number): Shape =>
    revolve(
      [0, 60, 120, 180, 240, 300].map((a): [number, number] => [
        3 * Math.cos(radians(a)),
        r + 3 * Math.sin(radians(a)),
      ]),
      { count: 64, creaseDegrees: 70 },
    )
  const spoke = (): Shape =>
    tube(
      [
        [5, 26, 0],
        [5, GRILLE, 0],
      ],
      3,
    )
  const lug = extrude(
    outlineRounded([
      [GRILLE - 2, -11],
      [GRILLE + 22, -11, 9],
      [GRILLE + 22, 11, 9],
      [GRILLE - 2, 11],
    ]),
    -3,
    2,
    [outlineCircle(4.6, [GRILLE + 11, 0], 14)],
  )
  return shapeJoin(...[30, 63, 96, 129, 162, GRILLE].map(wire), shapeRing(spoke(), 8), shapeRing(lug, 4, 45))
}

/** Nozzle pipe of one side: half a ring with a boss for every nozzle, the feed at its foot. */
function nozzlePipe(side: 1 | -1): Shape {
  const middle = side > 0 ? 0 : 180
  const path = Array.from({ length: 33 }, (_, k): Vec => around(0, ARC, middle - 76 + (k * 152) / 32))
  const bosses = [-60, -30, 0, 30, 60].map((a) =>
    shapeTurn(shapePlace(rod(0, 20, 9, 1), [0, ARC + 8, 0], '+y'), 'x', middle + a),
  )
  const caps = [-76, 76].map((a) => shapeTurn(shapePlace(rod(-12, 12, 15, 1), [0, ARC, 0], '+z'), 'x', middle + a))
  return shapeJoin(tube(path, 11), ...bosses, ...caps)
}

/** Nozzle holder towards +x: collar on the pipe, body, bayonet lugs, and the pad of the check valve on its side. */
function nozzleHolder(): Shape {
  const body = revolve([
    [0, 9],
    [0, 16, 1],
    [14, 16, 1],
    [14, 12],
    [52, 12],
    [52, 9],
    [64, 9],
    [64, 5],
    [0, 5],
  ])
  const valvePad = shapePlace(ring(0, 20, 12, 18, 1), [33, 0, 0], '-z')
  return shapeJoin(
    body,
    hexagon(14, 20, 26),
    valvePad,
    shapeMove(shapePlace(rod(-14, 14, 3.4, 0.5), [0, 0, 0], '+z'), [58, 0, 0]),
  )
}

const diaphragm = (): Shape =>
  revolve([
    [0, 0],
    [0, 15, 0.8],
    [3, 15, 0.8],
    [3, 11],
    [6, 8, 2],
    [6, 0],
  ])

/** Cap of the check valve with a knurled rim. */
const valveCap = (): Shape =>
  shapeJoin(
    revolve([
      [0, 0],
      [0, 17],
      [4, 17],
      [4, 21, 1],
      [18, 21, 2],
      [22, 15, 2],
      [22, 0],
    ]),
    shapeRing(shapePlace(rod(5, 17, 2.4), [0, 20.4, 0]), 10, 8),
  )

const nozzleTip = (): Shape =>
  revolve([
    [0, 4],
    [0, 14, 0.8],
    [4, 14, 0.8],
    [4, 10],
    [14, 8, 1],
    [16, 6],
    [16, 1.6],
    [10, 4],
  ])

function bayonetCap(): Shape {
  const ears = shapeRing(
    extrude(
      outlineRounded([
        [17, -6, 2],
        [27, -6, 3],
        [27, 6, 3],
        [17, 6, 2],
      ]),
      2,
      22,
    ),
    2,
    60,
  )
  return shapeJoin(
    revolve([
      [0, 14],
      [0, 19, 1],
      [24, 19, 2],
      [28, 15, 2],
      [28, 9],
      [22, 9],
      [22, 14],
    ]),
    ears,
  )
}

const at = (x: number, y = 0, z = 0): Vec => [x, y, z]

export function figure(): FigurePage {
  const X = {
    arc: 0,
    hub: 220,
    fan: 400,
    washers: 520,
    bolts: 590,
    bush: 640,
    screws: 720,
    grille: 900,
    guardWasher: 960,
    guardBolts: 1010,
  }
  const spray = (y: number): Vec => at(X.arc, y)
  const valveY = -ARC - 153
  const valve = (down: number): Vec => at(X.arc, valveY, -down)
  return figurePage({
    slug: 'sprayer-fan',
    title: 'Fan, guard and nozzle pipes',
    number: '2-09',
    model: MODELS.sprayer,
    drawing: {
      width: 1400,
      view: { yawDegrees: -46, pitchDegrees: 30 },
      margins: { top: 90, right: 100, bottom: 90, left: 90 },
      parts: [
        { item: '1', shape: shapePlace(fanWheel(), at(X.fan)), near: [at(X.fan + 26, 0, 56)], rail: 'upper' },
        { item: '2', shape: shapePlace(hub(), at(X.hub)), near: [at(X.hub + 12, 12, 42)], rail: 'upper' },
        ...SIX.map((a, k) => ({
          item: '3',
          shape: shapePlace(hexBolt(9, 30, 18), at(X.bolts, ...on(37, a)), '-x'),
          ...(k === 1 ? { near: [at(X.bolts, ...on(37, a))], rail: 'upper' } : {}),
        })),
        ...SIX.map((a, k) => ({
          item: '4',
          shape: shapePlace(springWasher(5, 9, 2.6), at(X.washers, ...on(37, a))),
          ...(k === 1 ? { near: [at(X.washers + 1, 0, 44)], rail: 'upper' } : {}),
        })),
        { item: '5', shape: shapePlace(taperBush(), at(X.bush)), rail: 'lower' },
        ...[70, 250].map((a, k) => ({
          item: '6',
          shape: shapePlace(socketScrew(7, 16), at(X.screws, ...on(19, a)), '-x'),
          ...(k === 1 ? { rail: 'lower' } : {}),
        })),
        { item: '7', shape: shapePlace(parallelKey(34, 8, 7), at(X.bush - 4, 0, 190)), rail: 'upper' },
        { item: '8', shape: shapePlace(grille(), at(X.grille)), near: [at(X.grille, 60, 186)], rail: 'upper' },
        ...FOUR.map((a, k) => ({
          item: '9',
          shape: shapePlace(hexBolt(9, 22, 16), at(X.guardBolts, ...on(GRILLE + 11, a)), '-x'),
          ...(k === 0 ? { near: [at(X.guardBolts, ...on(GRILLE + 11, a))], rail: 'upper' } : {}),
        })),
        ...FOUR.map((a, k) => ({
          item: '10',
          shape: shapePlace(washer(4.8, 10, 2.2), at(X.guardWasher, ...on(GRILLE + 11, a))),
          ...(k === 0 ? { near: [at(X.guardWasher + 1, ...on(GRILLE + 18, a))], rail: 'upper' } : {}),
        })),
        {
          item: '11',
          shape: shapeJoin(shapePlace(nozzlePipe(1), at(X.arc)), shapePlace(nozzlePipe(-1), at(X.arc))),
          near: [at(X.arc, ...on(ARC, 70)), at(X.arc, ...on(ARC, 118))],
          at: [490, 44],
        },
        {
          item: '12',
          shape: shapePlace(nozzleHolder(), spray(-ARC - 120), '-y'),
          near: [at(X.arc, -ARC - 128, 14)],
          rail: 'left',
        },
        { item: '13', shape: shapePlace(diaphragm(), valve(52), '-z'), rail: 'valve' },
        { item: '14', shape: shapePlace(coilSpring(28, 8, 2.4, 5), valve(78), '-z'), rail: 'valve' },
        { item: '15', shape: shapePlace(valveCap(), valve(136), '-z'), rail: 'valve' },
        { item: '16', shape: shapePlace(oRing(11, 2.2), spray(-ARC - 216), '-y'), rail: 'left' },
        { item: '17', shape: shapePlace(nozzleTip(), spray(-ARC - 246), '-y'), rail: 'left' },
        { item: '18', shape: shapePlace(bayonetCap(), spray(-ARC - 292), '-y'), rail: 'left' },
      ],
      axes: [
        [at(80), at(X.grille + 30)],
        [spray(-ARC - 20), spray(-ARC - 350)],
        [valve(10), valve(175)],
        [at(X.bush + 14, 0, 205), at(X.bush + 14, 0, 20)],
        ...SIX.map((a): Vec[] => [at(X.bolts, ...on(37, a)), at(X.fan, ...on(37, a))]),
        ...FOUR.map((a): Vec[] => [at(X.guardBolts + 10, ...on(GRILLE + 11, a)), at(X.grille, ...on(GRILLE + 11, a))]),
      ],
      rails: {
        upper: { from: [420, 40], to: [1370, 330] },
        lower: { from: [800, 720], to: [960, 760] },
        left: { from: [50, 400], to: [260, 300] },
        valve: { from: [100, 560], to: [100, 760] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'F0901-01',
        description: 'Fan wheel, eight blades, balanced',
        quantity: 1,
        partClass: 'fan',
        facts: { massKg: 9.5 },
      },
      { item: '2', partNumber: 'F0901-04', description: 'Hub, fan', quantity: 1, partClass: 'hub' },
      {
        item: '3',
        partNumber: 'F0902-30',
        description: 'Bolt, M8 x 30',
        quantity: 6,
        indenture: 2,
        attaches: '1',
        partClass: 'bolt',
        facts: { thread: 'M8', propertyClass: '8.8', torqueNm: 25, torqueState: 'dry', joint: ['threads-that-shake'] },
        partFacts: { thread: 'M8', propertyClass: '8.8', lengthMm: 30 },
      },
      {
        item: '4',
        partNumber: 'F0903-08',
        description: 'Spring washer, 8',
        quantity: 6,
        indenture: 2,
        attaches: '1',
        partClass: 'spring-washer',
        partFacts: { boreMm: 8.1 },
      },
      {
        item: '5',
        partNumber: 'F0901-06',
        description: 'Taper bush, 24',
        quantity: 1,
        partClass: 'bush',
        facts: { joint: ['dry-fit'] },
        partFacts: { boreMm: 24 },
      },
      {
        item: '6',
        partNumber: 'F0902-16',
        description: 'Socket screw, M8 x 16',
        quantity: 2,
        indenture: 2,
        attaches: '5',
        partClass: 'screw',
        facts: {
          stripThen: ['Turn one screw into the jacking hole until the taper bush is free'],
          thread: 'M8',
          torqueNm: 20,
          torqueState: 'dry',
        },
        partFacts: { thread: 'M8', lengthMm: 16 },
      },
      {
        item: '7',
        partNumber: 'F0904-32',
        description: 'Key, 8 x 7 x 32',
        quantity: 1,
        indenture: 2,
        partClass: 'key',
        partFacts: { widthMm: 8, lengthMm: 32 },
      },
      {
        item: '8',
        partNumber: 'F0905-01',
        description: 'Guard grille',
        quantity: 1,
        partClass: 'guard',
        facts: { massKg: 4 },
        note: 'The fan never turns without it',
      },
      {
        item: '9',
        partNumber: 'F0902-22',
        description: 'Bolt, M8 x 22, stainless',
        quantity: 4,
        indenture: 2,
        attaches: '8',
        partClass: 'bolt',
        facts: { thread: 'M8', torqueNm: 16, torqueState: 'anti-seize' },
        partFacts: { thread: 'M8', lengthMm: 22 },
      },
      {
        item: '10',
        partNumber: 'F0903-28',
        description: 'Washer, 8, stainless',
        quantity: 4,
        indenture: 2,
        attaches: '8',
        partClass: 'washer',
        partFacts: { boreMm: 8.4 },
      },
      {
        item: '11',
        partNumber: 'F0906-01',
        description: 'Nozzle pipe, left',
        quantity: 1,
        partClass: 'other',
        side: 'LH',
      },
      {
        item: '11',
        partNumber: 'F0906-02',
        description: 'Nozzle pipe, right',
        quantity: 1,
        partClass: 'other',
        side: 'RH',
      },
      {
        item: '12',
        partNumber: 'F0907-01',
        description: 'Nozzle holder with check valve',
        quantity: 10,
        partClass: 'valve',
        facts: { fluid: 'water' },
      },
      {
        item: '13',
        partNumber: 'F0907-03',
        description: 'Diaphragm, check valve, nitrile',
        quantity: 10,
        indenture: 2,
        partClass: 'diaphragm',
        serialTo: '0899',
        facts: { joint: ['pressure-seal'] },
      },
      {
        item: '13',
        partNumber: 'F0907-13',
        description: 'Diaphragm, check valve, fluorocarbon',
        quantity: 10,
        indenture: 2,
        partClass: 'diaphragm',
        serialFrom: '0900',
        facts: { joint: ['pressure-seal'] },
      },
      {
        item: '14',
        partNumber: 'F0907-04',
        description: 'Spring, check valve',
        quantity: 10,
        indenture: 2,
        partClass: 'spring',
        facts: { joint: ['light-spring'] },
      },
      {
        item: '15',
        partNumber: 'F0907-05',
        description: 'Cap, check valve',
        quantity: 10,
        indenture: 2,
        attaches: '13',
        partClass: 'other',
      },
      {
        item: '16',
        partNumber: 'F0907-07',
        description: 'O-ring, nozzle, 18 x 4',
        quantity: 10,
        partClass: 'o-ring',
        partFacts: { boreMm: 18, widthMm: 4 },
      },
      {
        item: '17',
        partNumber: 'F0907-08',
        description: 'Nozzle, hollow cone, ceramic',
        quantity: 10,
        partClass: 'nozzle',
        note: 'Renew a side as a set when one flows 10 % over its rating',
      },
      {
        item: '18',
        partNumber: 'F0907-09',
        description: 'Bayonet cap, nozzle',
        quantity: 10,
        indenture: 2,
        attaches: '17',
        partClass: 'other',
      },
    ],
    strip: ['9>10>8>3>4>1', '8>6>5>7>2', '5>1>2', '18>17>16>12', '15>14>13>12>11'],
    tests: [
      'Turn the fan by hand: no blade touches the duct, every blade is whole and clean.',
      'Guard grille tight on all four bolts before the shaft turns.',
      'Run with clean water: every nozzle gives an even cone, both sides alike.',
      'Shut off: no nozzle drips once the pressure has fallen, so every check valve closes.',
    ],
  })
}
