import { outlineCircle, outlineRounded } from '../draw/outline.ts'
import { ballBearing, oilSeal, oRing } from '../draw/parts/bearing.ts'
import { circlip, hexagon, hexBolt, hexNut, parallelKey, washer } from '../draw/parts/fastener.ts'
import { coilSpring } from '../draw/parts/spring.ts'
import { type Shape, shapeJoin, shapePlace, shapeRing, shapeTurn } from '../draw/shape.ts'
import { angleList, extrude, polar, revolve, ring, rod, threadLines } from '../draw/solid.ts'
import type { Flat, Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

const on = (radius: number, degrees: number): Flat => [
  radius * Math.cos((degrees * Math.PI) / 180),
  radius * Math.sin((degrees * Math.PI) / 180),
]
const CIRCLE = 112
const SIX = [30, 90, 150, 210, 270, 330]

/** Pipe flange facing +x with four holes. */
const pipeFlange = (x: number, bore: number, outer: number): Shape =>
  extrude(outlineCircle(outer, [0, 0], 64), x, x + 14, [
    outlineCircle(bore, [0, 0], 44),
    ...[45, 135, 225, 315].map((a) => outlineCircle(6, on((bore + outer) / 2 + 3, a), 14)),
  ])

/** Volute casing: the spiral grows towards its tangential discharge; suction flange faces +x. */
function volute(): Shape {
  const spiral = (degrees: number) => 108 + 42 * ((((degrees % 360) + 360) % 360) / 360)
  const body = polar(
    [
      { x: 0, r: 84 },
      { x: 0, r: (a) => spiral(a) - 22 },
      { x: 6, r: (a) => spiral(a) - 8 },
      { x: 18, r: spiral },
      { x: 44, r: spiral },
      { x: 58, r: (a) => spiral(a) - 8 },
      { x: 66, r: (a) => spiral(a) - 24 },
      { x: 68, r: 76 },
      { x: 68, r: 70 },
    ],
    angleList(96),
    { creaseDegrees: 34 },
  )
  const back = extrude(outlineCircle(126, [0, 0], 84), -12, 2, [
    outlineCircle(88, [0, 0], 64),
    ...SIX.map((a) => outlineCircle(6, on(CIRCLE, a), 14)),
  ])
  const front = revolve([
    [66, 36],
    [66, 78],
    [76, 66, 10],
    [82, 48, 6],
    [128, 46],
    [128, 36],
  ])
  const neck = shapePlace(
    revolve([
      [10, 0],
      [10, 33],
      [96, 38],
      [172, 40],
      [172, 30],
      [160, 30],
      [160, 0],
    ]),
    [31, 112, 0],
    '+z',
  )
  const outlet = shapePlace(pipeFlange(164, 32, 68), [31, 112, 0], '+z')
  const foot = extrude(
    outlineRounded([
      [-70, -178, 4],
      [70, -178, 4],
      [70, -164, 4],
      [34, -160, 10],
      [28, -120],
      [-28, -120],
      [-34, -160, 10],
      [-70, -164, 4],
    ]),
    16,
    48,
  )
  const boss = shapePlace(rod(0, 30, 15, 1), [31, -92, -76], '-z')
  return shapeJoin(body, back, front, pipeFlange(122, 38, 76), neck, outlet, foot, boss)
}

/** Half-open impeller: back shroud, hub, and six vanes bent backwards, seen from the suction side (+x). */
function impeller(): Shape {
  const shroud = revolve([
    [0, 13],
    [-22, 13],
    [-22, 26, 1],
    [-2, 28, 3],
    [-2, 84],
    [6, 84],
    [6, 40, 14],
    [22, 25, 8],
    [30, 22, 2],
    [30, 13],
  ])
  const bend = (r: number): number => -62 * ((r - 30) / 53)
  const radii = [30, 38, 46, 54, 62, 70, 78, 83]
  const vane = extrude(
    [...radii.map((r) => on(r, bend(r) + 140 / r)), ...[...radii].reverse().map((r) => on(r, bend(r) - 140 / r))],
    4,
    26,
  )
  return shapeJoin(shroud, shapeRing(vane, 6))
}

function shaft(): Shape {
  const bar = revolve([
    [0, 0],
    [0, 15],
    [2, 16],
    [72, 16],
    [72, 20],
    [104, 20],
    [104, 24],
    [190, 24],
    [190, 20],
    [224, 20],
    [224, 17],
    [300, 17],
    [300, 13],
    [352, 13],
    [352, 9],
    [380, 9],
    [382, 7.5],
    [382, 0],
  ])
  bar.lines.push(...threadLines(353, 380, 9, 2.8))
  return bar
}

/** Bearing bracket: barrel with an oil-free pair of bearings inside, bell to the casing flange, and a foot. */
function bracket(): Shape {
  const barrel = revolve([
    [0, 36],
    [0, 54, 2],
    [14, 54, 2],
    [14, 48, 3],
    [120, 48],
    [136, 58, 20],
    [158, 96, 10],
    [170, 100],
    [170, 92],
    [150, 50],
    [130, 36],
  ])
  const flange = extrude(outlineCircle(126, [0, 0], 84), 166, 180, [
    outlineCircle(90, [0, 0], 64),
    ...SIX.map((a) => outlineCircle(6, on(CIRCLE, a), 14)),
  ])
  const leg = extrude(
    outlineRounded([
      [-52, -178, 4],
      [52, -178, 4],
      [52, -164, 4],
      [22, -160, 8],
      [18, -40],
      [-18, -40],
      [-22, -160, 8],
      [-52, -164, 4],
    ]),
    30,
    58,
  )
  return shapeJoin(barrel, flange, leg)
}

/** Casing cover behind the impeller, with the seat of the mechanical seal in its neck. */
const sealCover = (): Shape =>
  revolve([
    [-26, 26],
    [-26, 44, 2],
    [-4, 48, 4],
    [-4, 88, 1],
    [2, 88],
    [2, 100, 1],
    [10, 100, 1],
    [10, 84],
    [14, 82, 2],
    [14, 60, 4],
    [4, 34],
    [4, 26],
  ])

/** Rotating half of a mechanical seal: face ring, bellows collar and its spring. */
const sealHead = (): Shape =>
  shapeJoin(
    ring(0, 9, 14, 24, 1),
    revolve([
      [8, 14],
      [8, 27, 1],
      [17, 27, 1],
      [20, 22],
      [20, 14],
    ]),
    shapePlace(coilSpring(34, 22, 4, 4), [18, 0, 0]),
    ring(50, 55, 15, 26, 0.8),
  )
const sealSeat = (): Shape =>
  revolve([
    [0, 15],
    [0, 29, 1.5],
    [4, 31, 1.5],
    [10, 31, 1.5],
    [12, 27],
    [12, 24],
    [15, 24],
    [15, 15],
  ])

/** Cover over the outer bearing: three ears for its bolts, bored for the shaft and its seal. */
const endCover = (): Shape =>
  shapeJoin(
    revolve([
      [0, 20],
      [0, 34, 2],
      [8, 36, 2],
      [8, 50, 1],
      [16, 50, 1],
      [16, 40],
      [22, 40],
      [22, 20],
    ]),
    shapeRing(extrude(outlineCircle(9, [46, 0], 20), 8.4, 15.6, [outlineCircle(4, [47, 0], 14)]), 3, 30),
  )

const at = (x: number, y = 0, z = 0): Vec => [x, y, z]

export function figure(): FigurePage {
  const X = {
    bolts: -480,
    endCover: -390,
    seal: -336,
    clip: -290,
    rear: -232,
    shaft: -190,
    front: 262,
    bracket: 330,
    bracketBolts: 566,
    cover: 660,
    seat: 722,
    head: 762,
    key: 850,
    impeller: 930,
    ring: 990,
    washer: 1020,
    nut: 1052,
    gasket: 1110,
    volute: 1220,
  }
  const plug: Vec = [X.volute + 31, -92, -150]
  return figurePage({
    slug: 'water-pump',
    title: 'Centrifugal pump',
    number: '1-03',
    model: MODELS.pumpSet,
    drawing: {
      width: 1400,
      view: { yawDegrees: -48, pitchDegrees: 31 },
      margins: { top: 96, right: 90, bottom: 96, left: 90 },
      parts: [
        { item: '1', shape: shapePlace(volute(), at(X.volute)), near: [at(X.volute + 31, 130, 120)], at: [1350, 560] },
        { item: '2', shape: shapePlace(ring(0, 2.5, 88, 104), at(X.gasket)), rail: 'upper' },
        { item: '3', shape: shapePlace(shapeTurn(hexNut(18, { height: 16 }), 'x', 10), at(X.nut)), rail: 'lower' },
        { item: '4', shape: shapePlace(washer(9.5, 21, 4), at(X.washer)), rail: 'lower' },
        { item: '5', shape: shapePlace(impeller(), at(X.impeller)), near: [at(X.impeller + 6, 20, 70)], rail: 'upper' },
        { item: '6', shape: shapePlace(parallelKey(38, 8, 8), at(X.key, 0, 110)), rail: 'upper' },
        { item: '7', shape: shapePlace(sealHead(), at(X.head + 20)), rail: 'lower' },
        { item: '8', shape: shapePlace(sealSeat(), at(X.seat)), rail: 'lower' },
        { item: '9', shape: shapePlace(oRing(14, 2.6), at(X.ring)), rail: 'lower' },
        { item: '10', shape: shapePlace(sealCover(), at(X.cover)), near: [at(X.cover + 10, 20, 96)], rail: 'upper' },
        {
          item: '11',
          shape: shapePlace(bracket(), at(X.bracket)),
          near: [at(X.bracket + 70, -10, 47)],
          rail: 'upper',
        },
        ...SIX.map((a, k) => ({
          item: '12',
          shape: shapePlace(hexBolt(11, 46, 24), at(X.bracketBolts, ...on(CIRCLE, a))),
          ...(k === 0 ? { near: [at(X.bracketBolts + 10, ...on(CIRCLE, a))], rail: 'upper' } : {}),
        })),
        { item: '13', shape: shapePlace(shaft(), at(X.shaft)), near: [at(X.shaft + 150, 0, 24)], rail: 'upper' },
        { item: '14', shape: shapePlace(ballBearing(40, 80, 22), at(X.rear)), rail: 'upper' },
        {
          item: '14',
          shape: shapePlace(ballBearing(40, 80, 22), at(X.front)),
          near: [at(X.front, 0, 39)],
          rail: 'upper',
        },
        {
          item: '15',
          shape: shapePlace(circlip(36, 41, 2.6, { internal: true, atDegrees: 90 }), at(X.clip)),
          rail: 'upper',
        },
        { item: '16', shape: shapePlace(oilSeal(34, 62, 9), at(X.seal)), rail: 'upper' },
        { item: '17', shape: shapePlace(endCover(), at(X.endCover)), rail: 'upper' },
        ...[30, 150, 270].map((a, k) => ({
          item: '18',
          shape: shapePlace(hexBolt(8, 24, 16), at(X.bolts, ...on(46, a))),
          ...(k === 1 ? { at: [60, 220] as const } : {}),
        })),
        {
          item: '19',
          shape: shapePlace(
            shapeJoin(hexagon(0, 9, 22), ring(-2.2, 0.2, 9, 13), rod(-18, 0.2, 8)),
            [plug[0], plug[1], plug[2] - 60],
            '-z',
          ),
          at: [1050, 860],
        },
        { item: '20', shape: shapePlace(washer(8.4, 14, 2.6), [plug[0], plug[1], plug[2] - 6], '-z'), at: [1040, 800] },
      ],
      axes: [
        [at(X.bolts), at(X.volute + 180)],
        [at(X.key + 19, 0, 130), at(X.key + 19)],
        [plug, at(plug[0], plug[1], plug[2] - 90)],
        [plug, at(plug[0], plug[1], plug[2] + 50)],
        ...SIX.map((a): Vec[] => [at(X.bracketBolts, ...on(CIRCLE, a)), at(X.volute - 12, ...on(CIRCLE, a))]),
      ],
      rails: {
        upper: { from: [180, 40], to: [1330, 480] },
        lower: { from: [760, 610], to: [1020, 760] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'QP-1001',
        description: 'Volute casing',
        quantity: 1,
        partClass: 'housing',
        facts: { massKg: 24 },
      },
      {
        item: '2',
        partNumber: 'QP-1012',
        description: 'Gasket, casing, 176 x 208 x 0.5',
        quantity: 1,
        partClass: 'gasket',
        facts: { joint: ['gasket-face'] },
        partFacts: { boreMm: 176, outsideMm: 208, widthMm: 0.5 },
      },
      {
        item: '3',
        partNumber: 'QP-1031',
        description: 'Impeller nut, M18 x 1.5',
        quantity: 1,
        indenture: 2,
        attaches: '5',
        partClass: 'nut',
        facts: { thread: 'M18x1.5', torqueNm: 90, torqueState: 'thread-lock' },
        partFacts: { thread: 'M18x1.5' },
      },
      {
        item: '4',
        partNumber: 'QP-1032',
        description: 'Washer, impeller',
        quantity: 1,
        indenture: 2,
        attaches: '5',
        partClass: 'washer',
        partFacts: { boreMm: 19 },
        orderItem: '3',
        note: 'Comes with the nut',
      },
      {
        item: '5',
        partNumber: 'QP-1030',
        description: 'Impeller, half open, 166',
        quantity: 1,
        partClass: 'rotor',
        facts: { massKg: 3.1 },
        partFacts: { outsideMm: 166 },
      },
      {
        item: '6',
        partNumber: 'QP-1035',
        description: 'Key, 8 x 7 x 36',
        quantity: 1,
        indenture: 2,
        partClass: 'key',
        partFacts: { widthMm: 8, lengthMm: 36 },
      },
      {
        item: '7',
        partNumber: 'QP-1041',
        description: 'Mechanical seal, rotating half with spring',
        quantity: 1,
        partClass: 'seal-kit',
        facts: { matchedWith: '8', joint: ['pressure-seal'] },
        note: 'Always with item 8; keep the faces free of grease and finger marks',
      },
      {
        item: '8',
        partNumber: 'QP-1042',
        description: 'Mechanical seal, seat, carbon',
        quantity: 1,
        partClass: 'seal-kit',
        serialTo: '0349',
        facts: { matchedWith: '7', joint: ['pressure-seal'] },
      },
      {
        item: '8',
        partNumber: 'QP-1142',
        description: 'Mechanical seal, seat, silicon carbide',
        quantity: 1,
        partClass: 'seal-kit',
        serialFrom: '0350',
        facts: { matchedWith: '7', joint: ['pressure-seal'] },
      },
      {
        item: '9',
        partNumber: 'QP-1033',
        description: 'O-ring, impeller, 23 x 5',
        quantity: 1,
        partClass: 'o-ring',
        facts: { joint: ['pressure-seal'] },
        partFacts: { boreMm: 23, widthMm: 5 },
      },
      {
        item: '10',
        partNumber: 'QP-1040',
        description: 'Casing cover with seal seat',
        quantity: 1,
        partClass: 'cover',
        facts: { massKg: 4.6 },
      },
      {
        item: '11',
        partNumber: 'QP-1050',
        description: 'Bearing bracket',
        quantity: 1,
        partClass: 'housing',
        facts: { massKg: 15 },
      },
      {
        item: '12',
        partNumber: 'QP-1911',
        description: 'Bolt, M12 x 45',
        quantity: 6,
        indenture: 2,
        attaches: '11',
        partClass: 'bolt',
        facts: { thread: 'M12', propertyClass: '8.8', torqueNm: 70, torqueState: 'oiled' },
        partFacts: { thread: 'M12', propertyClass: '8.8', lengthMm: 45 },
      },
      { item: '13', partNumber: 'QP-1051', description: 'Pump shaft', quantity: 1, partClass: 'shaft' },
      {
        item: '14',
        partNumber: 'QP-1055',
        description: 'Ball bearing, 40 x 80 x 18, sealed',
        quantity: 2,
        partClass: 'bearing',
        facts: { ends: ['DE', 'NDE'], joint: ['shaft-fit'] },
        partFacts: { boreMm: 40, outsideMm: 80, widthMm: 18 },
      },
      {
        item: '15',
        partNumber: 'QP-1972',
        description: 'Circlip, internal, 80',
        quantity: 1,
        indenture: 2,
        attaches: '14',
        partClass: 'circlip',
        partFacts: { outsideMm: 80 },
      },
      {
        item: '16',
        partNumber: 'QP-1056',
        description: 'Oil seal, 35 x 62 x 8',
        quantity: 1,
        partClass: 'oil-seal',
        facts: { seals: ['13', '17'] },
        partFacts: { boreMm: 35, outsideMm: 62, widthMm: 8 },
      },
      { item: '17', partNumber: 'QP-1057', description: 'Bearing cover', quantity: 1, partClass: 'cover' },
      {
        item: '18',
        partNumber: 'QP-1908',
        description: 'Bolt, M8 x 25',
        quantity: 3,
        indenture: 2,
        attaches: '17',
        partClass: 'bolt',
        facts: { thread: 'M8', propertyClass: '8.8', torqueNm: 25, torqueState: 'dry' },
        partFacts: { thread: 'M8', propertyClass: '8.8', lengthMm: 25 },
      },
      {
        item: '19',
        partNumber: 'QP-1961',
        description: 'Drain plug, M16 x 1.5',
        quantity: 1,
        partClass: 'plug',
        facts: {
          fluid: 'water',
          stripFirst: ['Shut suction and delivery and let the pressure off'],
          fitThen: ['Open the suction, fill and vent the casing'],
          thread: 'M16x1.5',
          torqueNm: 30,
          torqueState: 'dry',
        },
      },
      {
        item: '20',
        partNumber: 'QP-1962',
        description: 'Sealing washer, 16',
        quantity: 1,
        indenture: 2,
        partClass: 'crush-washer',
        partFacts: { boreMm: 16.2 },
      },
    ],
    strip: [
      '19>20',
      '19>12>11',
      '11>1 2',
      '11>3',
      '3>4>9>5>6>7>10>8',
      '18>17>16',
      '17>15>14',
      '10>13',
      '17>13',
      '15>13>14',
    ],
    tests: [
      'Turn the shaft by hand: it runs free and the impeller does not touch the casing.',
      'Fill and vent the casing before the first start; the mechanical seal must never run dry.',
      'Run at working pressure for ten minutes: no drip from the seal, the gasket or the drain plug.',
      'Bearing bracket hand-warm at most; no more vibration than the maker allows.',
    ],
  })
}
