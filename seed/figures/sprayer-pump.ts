import { outlineCircle, outlineRounded } from '../draw/outline.ts'
import { ballBearing, oilSeal, oRing } from '../draw/parts/bearing.ts'
import { splines } from '../draw/parts/drive.ts'
import { circlip, hexagon, hexBolt, washer } from '../draw/parts/fastener.ts'
import { conicalSpring } from '../draw/parts/spring.ts'
import { type Shape, shapeJoin, shapeMove, shapePlace, shapeRing } from '../draw/shape.ts'
import { extrude, revolve, ring, rod } from '../draw/solid.ts'
import type { Flat, Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

const CORNER = 62
const corners: Flat[] = [
  [CORNER, CORNER],
  [-CORNER, CORNER],
  [-CORNER, -CORNER],
  [CORNER, -CORNER],
]

/** Crankcase: rounded body with a bearing boss to -y, a cylinder neck with its square flange to +x, and feet. */
function crankcase(): Shape {
  const body = shapePlace(
    extrude(
      outlineRounded([
        [-74, -84, 26],
        [74, -84, 26],
        [74, 84, 26],
        [-74, 84, 26],
      ]),
      -66,
      66,
    ),
    [0, 0, 0],
    '+y',
  )
  const boss = shapePlace(
    revolve([
      [60, 36],
      [60, 56],
      [69, 56],
      [74, 50, 4],
      [88, 48, 1.5],
      [88, 36],
      [84, 36],
      [84, 34],
      [60, 34],
    ]),
    [0, 0, 0],
    '-y',
  )
  const coverPad = shapePlace(
    extrude(
      outlineRounded([
        [-54, -60, 20],
        [54, -60, 20],
        [54, 60, 20],
        [-54, 60, 20],
      ]),
      60,
      70,
    ),
    [0, 0, 0],
    '-y',
  )
  const neck = revolve([
    [64, 50],
    [64, 68],
    [84, 62, 10],
    [110, 62],
    [110, 50],
  ])
  const flange = extrude(
    outlineRounded([
      [-76, -76, 18],
      [76, -76, 18],
      [76, 76, 18],
      [-76, 76, 18],
    ]),
    108,
    124,
    [outlineCircle(52, [0, 0], 56), ...corners.map((corner) => outlineCircle(6, corner, 16))],
  )
  const foot = (y: number) =>
    extrude(
      outlineRounded([
        [y - 16, -98],
        [y + 16, -98],
        [y + 16, -88],
        [y - 16, -88],
      ]),
      -92,
      92,
    )
  const filler = shapePlace(
    revolve([
      [76, 0],
      [76, 20],
      [84, 20],
      [88, 16, 3],
      [96, 16],
      [96, 0],
    ]),
    [-36, 0, 0],
    '+z',
  )
  return shapeJoin(body, coverPad, boss, neck, flange, foot(-46), foot(46), filler)
}

function eccentricShaft(): Shape {
  const line = revolve([
    [-64, 0],
    [-64, 14],
    [-62, 15],
    [-24, 15],
    [-24, 21],
    [24, 21],
    [24, 15],
    [70, 15],
    [70, 13],
    [76, 13],
    [76, 0],
  ])
  const cam = shapeMove(
    revolve([
      [-15, 0],
      [-15, 31],
      [-13, 33],
      [13, 33],
      [15, 31],
      [15, 0],
    ]),
    [0, 0, 9],
  )
  return shapeJoin(line, cam, splines(75, 116, 6, 10.4, 13.6))
}

/** Connecting rod: big end round the y axis at the origin, small end towards +x. */
function connectingRod(): Shape {
  const across = (shape: Shape) => shapePlace(shape, [0, 0, 0], '+y')
  const big = across(ring(-12, 12, 33.5, 42, 1))
  const small = shapeMove(across(ring(-10, 10, 9, 15, 1)), [92, 0, 0])
  // Faced to +y, an outline's first coordinate runs towards -x.
  const shank = across(
    extrude(
      outlineRounded([
        [-36, -15, 3],
        [-80, -9],
        [-80, 9],
        [-36, 15, 3],
      ]),
      -6,
      6,
    ),
  )
  const web = across(
    extrude(
      outlineRounded([
        [-44, -7, 3],
        [-76, -4, 2],
        [-76, 4, 2],
        [-44, 7, 3],
      ]),
      -7.2,
      7.2,
    ),
  )
  return shapeJoin(big, small, shank, web)
}

const piston = (): Shape => {
  const crown = revolve([
    [0, 30],
    [0, 43, 1],
    [12, 43],
    [12, 40],
    [17, 40],
    [17, 43],
    [22, 43],
    [22, 40],
    [27, 40],
    [27, 43],
    [50, 43, 2],
    [54, 34, 3],
    [54, 8],
    [44, 8],
    [44, 30],
  ])
  const boss = shapePlace(ring(-42, 42, 7, 12, 0.6), [20, 0, 0], '+y')
  return shapeJoin(crown, boss)
}

/** Diaphragm: bead round the rim, one rolled convolution, flat middle with its hole. */
const diaphragm = (): Shape =>
  revolve(
    [
      [-1.5, 9],
      [-1.5, 38],
      [-7, 41, 1],
      [-7, 49, 1],
      [-1.5, 52],
      [-1.5, 64],
      [-4, 65],
      [-4, 74, 1.5],
      [4, 74, 1.5],
      [4, 65],
      [1.5, 64],
      [1.5, 58],
      [8, 54, 2],
      [8, 46, 2],
      [1.5, 42],
      [1.5, 9],
    ],
    { creaseDegrees: 24 },
  )

/** Pump head: ribbed square casting with two valve ports and a hose stub on top of each. */
function pumpHead(): Shape {
  const plate = extrude(
    outlineRounded([
      [-77, -77, 18],
      [77, -77, 18],
      [77, 77, 18],
      [-77, 77, 18],
    ]),
    0,
    20,
    [outlineCircle(40, [0, 0], 40), ...corners.map((corner) => outlineCircle(6, corner, 16))],
  )
  const dome = revolve(
    [
      [18, 62],
      [22, 62, 3],
      [50, 50, 12],
      [52, 0],
      [16, 0],
    ].reverse() as [number, number, number?][],
  )
  const ports = [-34, 34].map((y) =>
    shapeJoin(
      shapeMove(
        revolve([
          [18, 0],
          [18, 31],
          [56, 29, 3],
          [58, 22],
          [62, 22, 1],
          [62, 0],
        ]),
        [0, y, 0],
      ),
      shapePlace(hexagon(60, 72, 30, {}), [0, y, 0]),
    ),
  )
  const stub = (up: 1 | -1, y: number) =>
    shapePlace(
      revolve([
        [18, 0],
        [18, 17],
        [60, 17],
        [60, 21, 1],
        [66, 21, 1],
        [66, 18],
        [84, 18],
        [84, 19.5],
        [88, 17],
        [88, 12],
        [70, 12],
        [70, 0],
      ]),
      [36, y, 0],
      up > 0 ? '+z' : '-z',
    )
  const lugs = corners.map(([y, z]) => shapeMove(ring(18, 26, 6.2, 13, 1), [0, y, z]))
  return shapeJoin(plate, dome, ...ports, stub(1, 34), stub(-1, -34), ...lugs)
}

const valveSeat = (): Shape =>
  shapeJoin(
    revolve([
      [0, 13],
      [0, 25, 1],
      [5, 25],
      [5, 21],
      [9, 21],
      [9, 13],
    ]),
    extrude(
      outlineRounded([
        [-14, -2],
        [14, -2],
        [14, 2],
        [-14, 2],
      ]),
      2,
      6,
    ),
    extrude(
      outlineRounded([
        [-2, -14],
        [2, -14],
        [2, 14],
        [-2, 14],
      ]),
      2.2,
      5.8,
    ),
  )
function valveCage(): Shape {
  const legs = shapeRing(
    extrude(
      outlineRounded([
        [14, -4],
        [21, -4],
        [21, 4],
        [14, 4],
      ]),
      1,
      22,
    ),
    4,
    45,
  )
  return shapeJoin(
    ring(0, 5, 14, 23, 0.8),
    legs,
    revolve([
      [20, 0],
      [20, 20, 1],
      [25, 20, 2],
      [25, 6],
      [28, 6, 1],
      [28, 0],
    ]),
  )
}

const at = (x: number, y = 0, z = 0): Vec => [x, y, z]

export function figure(): FigurePage {
  const X = {
    rod: 182,
    piston: 330,
    diaphragm: 436,
    disc: 488,
    bolt: 566,
    oring: 566,
    seat: 594,
    plate: 636,
    spring: 664,
    cage: 704,
    head: 790,
    bolts: 930,
  }
  const Y = { shaft: -240, bearing: -142, seal: -418, clip: -372 }
  const valves = [-34, 34]
  const pair = (shape: (y: number) => Shape): Shape => shapeJoin(...valves.map(shape))
  return figurePage({
    slug: 'sprayer-pump',
    title: 'Diaphragm pump',
    number: '2-06',
    model: MODELS.sprayer,
    drawing: {
      width: 1400,
      view: { yawDegrees: -48, pitchDegrees: 33 },
      margins: { top: 96, right: 90, bottom: 96, left: 90 },
      parts: [
        { item: '1', shape: crankcase(), near: [[40, -40, 84]], rail: 'top' },
        {
          item: '2',
          shape: shapePlace(eccentricShaft(), at(0, Y.shaft), '-y'),
          near: [[0, Y.shaft + 44, 0]],
          rail: 'north-west',
        },
        { item: '3', shape: shapePlace(ballBearing(30, 68, 22), at(0, Y.bearing), '-y'), rail: 'north-west' },
        {
          item: '5',
          shape: shapePlace(circlip(29, 34, 2.6, { internal: true }), at(0, Y.clip - 20), '-y'),
          rail: 'north-west',
        },
        { item: '4', shape: shapePlace(oilSeal(32, 66, 12), at(0, Y.seal - 26), '-y'), rail: 'north-west' },
        { item: '6', shape: shapePlace(connectingRod(), at(X.rod)), near: [[X.rod + 60, -8, 0]], rail: 'upper' },
        { item: '7', shape: shapePlace(rod(-36, 36, 8.4, 1.5), at(X.piston + 20, -130), '+y'), rail: 'lower' },
        { item: '8', shape: shapePlace(piston(), at(X.piston)), near: [[X.piston + 38, -10, 36]], rail: 'upper' },
        { item: '9', shape: shapePlace(diaphragm(), at(X.diaphragm)), rail: 'upper' },
        {
          item: '10',
          shape: shapePlace(
            revolve([
              [0, 7],
              [0, 34, 1],
              [4, 36, 2],
              [9, 30, 4],
              [10, 18],
              [10, 7],
            ]),
            at(X.disc),
          ),
          rail: 'lower',
        },
        { item: '11', shape: shapePlace(hexBolt(13, 34, 20), at(X.bolt), '-x'), rail: 'upper' },
        {
          item: '12',
          shape: pair((y) => shapePlace(oRing(21, 2.4), at(X.oring, y * 1.9))),
          near: [[X.oring, -65, 21]],
          rail: 'upper',
        },
        {
          item: '13',
          shape: pair((y) => shapePlace(valveSeat(), at(X.seat, y * 1.9))),
          near: [[X.seat + 5, -65, -20]],
          rail: 'lower',
        },
        {
          item: '14',
          shape: pair((y) =>
            shapePlace(
              revolve([
                [0, 0],
                [0, 17, 0.8],
                [3, 17],
                [3, 0],
              ]),
              at(X.plate, y * 1.9),
            ),
          ),
          near: [[X.plate, 65, 10]],
          rail: 'upper',
        },
        {
          item: '15',
          shape: pair((y) => shapePlace(conicalSpring(26, 14, 8, 2.4, 4), at(X.spring, y * 1.9))),
          near: [[X.spring + 10, -65, -10]],
          rail: 'lower',
        },
        {
          item: '16',
          shape: pair((y) => shapePlace(valveCage(), at(X.cage, y * 1.9))),
          near: [[X.cage + 24, 65, 12]],
          rail: 'upper',
        },
        { item: '17', shape: shapePlace(pumpHead(), at(X.head)), near: [[X.head + 20, -72, 20]], rail: 'lower' },
        {
          item: '18',
          shape: shapeJoin(...corners.map(([y, z]) => shapePlace(hexBolt(11, 62, 26), at(X.bolts + 62, y, z), '-x'))),
          near: [[X.bolts + 20, CORNER, CORNER]],
          rail: 'upper',
        },
        {
          item: '19',
          shape: shapeJoin(...corners.map(([y, z]) => shapePlace(washer(6, 11, 2.6), at(X.bolts - 30, y, z)))),
          near: [[X.bolts - 29, CORNER, CORNER + 8]],
          rail: 'upper',
        },
        {
          item: '20',
          shape: shapePlace(
            shapeJoin(
              hexagon(0, 10, 26),
              revolve([
                [9, 0],
                [9, 9],
                [26, 13, 6],
                [30, 8, 3],
                [30, 0],
              ]),
              rod(-16, 0.2, 10),
            ),
            at(-36, 0, 160),
            '+z',
          ),
          rail: 'top',
        },
        {
          item: '21',
          shape: shapePlace(
            shapeJoin(hexagon(0, 8, 19), ring(-2.2, 0.2, 8, 12), rod(-18, 0.2, 7.5)),
            at(56, -176, -66),
            '-y',
          ),
          rail: 'west',
        },
        { item: '22', shape: shapePlace(washer(8, 13, 2.4), at(56, -132, -66), '-y'), rail: 'west' },
      ],
      axes: [
        [at(60), at(X.head)],
        [at(0, -60), at(0, Y.seal - 60)],
        [at(X.piston + 20, -180), at(X.piston + 20, 40)],
        ...valves.map((y): Vec[] => [at(X.oring - 20, y * 1.9), at(X.head, y * 1.9)]),
        ...corners.map(([y, z]): Vec[] => [at(X.bolts + 80, y, z), at(X.head, y, z)]),
        [at(-36, 0, 190), at(-36, 0, 90)],
        [at(56, -196, -66), at(56, -60, -66)],
      ],
      rails: {
        upper: { from: [640, 110], to: [1370, 470] },
        lower: { from: [560, 560], to: [1160, 850] },
        'north-west': { from: [60, 390], to: [300, 190] },
        west: { from: [60, 640], to: [420, 560] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'F0601-01',
        description: 'Crankcase',
        quantity: 1,
        partClass: 'housing',
        facts: { fluid: 'engine-oil', massKg: 17, fillLitres: 0.9 },
      },
      {
        item: '2',
        partNumber: 'F0601-05',
        description: 'Eccentric shaft',
        quantity: 1,
        partClass: 'shaft',
        facts: { safetyJoint: 'pto' },
      },
      {
        item: '3',
        partNumber: 'F0601-07',
        description: 'Ball bearing, 30 x 72 x 19',
        quantity: 2,
        partClass: 'bearing',
        facts: { joint: ['shaft-fit'] },
        partFacts: { boreMm: 30, outsideMm: 72, widthMm: 19 },
        note: 'Runs in the pump oil',
      },
      {
        item: '4',
        partNumber: 'F0601-09',
        description: 'Oil seal, 30 x 72 x 10',
        quantity: 2,
        partClass: 'oil-seal',
        partFacts: { boreMm: 30, outsideMm: 72, widthMm: 10 },
      },
      {
        item: '5',
        partNumber: 'F0901-72',
        description: 'Circlip, internal, 72',
        quantity: 2,
        indenture: 2,
        attaches: '3',
        partClass: 'circlip',
        facts: { stripFirst: ['Take the drive shaft off, key out and in the pocket'] },
        partFacts: { outsideMm: 72 },
      },
      { item: '6', partNumber: 'F0602-01', description: 'Connecting rod', quantity: 2, partClass: 'other' },
      {
        item: '7',
        partNumber: 'F0602-04',
        description: 'Gudgeon pin',
        quantity: 2,
        indenture: 2,
        attaches: '8',
        partClass: 'pin',
        partFacts: { outsideMm: 15, lengthMm: 62 },
      },
      { item: '8', partNumber: 'F0602-02', description: 'Piston', quantity: 2, partClass: 'piston' },
      {
        item: '9',
        partNumber: 'F0603-10',
        description: 'Diaphragm, nitrile',
        quantity: 2,
        partClass: 'diaphragm',
        serialTo: '0899',
        facts: { fluid: 'engine-oil', joint: ['pressure-seal'], fillLitres: 0.9 },
      },
      {
        item: '9',
        partNumber: 'F0603-20',
        description: 'Diaphragm, polyurethane',
        quantity: 2,
        partClass: 'diaphragm',
        serialFrom: '0900',
        facts: { fluid: 'engine-oil', joint: ['pressure-seal'], fillLitres: 0.9 },
      },
      {
        item: '10',
        partNumber: 'F0603-12',
        description: 'Disc, diaphragm',
        quantity: 2,
        indenture: 2,
        attaches: '9',
        partClass: 'washer',
      },
      {
        item: '11',
        partNumber: 'F0902-25',
        description: 'Bolt, M10 x 25, stainless',
        quantity: 2,
        indenture: 2,
        attaches: '9',
        partClass: 'bolt',
        facts: { thread: 'M10', torqueNm: 35, torqueState: 'thread-lock', joint: ['threads-that-shake'] },
        partFacts: { thread: 'M10', lengthMm: 25 },
      },
      {
        item: '12',
        partNumber: 'F0604-01',
        description: 'O-ring, valve, 42 x 4',
        quantity: 4,
        partClass: 'o-ring',
        facts: { joint: ['pressure-seal'], seals: ['13', '17'] },
        partFacts: { boreMm: 42, widthMm: 4 },
      },
      { item: '13', partNumber: 'F0604-02', description: 'Valve seat', quantity: 4, partClass: 'valve' },
      { item: '14', partNumber: 'F0604-03', description: 'Valve plate', quantity: 4, partClass: 'valve' },
      {
        item: '15',
        partNumber: 'F0604-04',
        description: 'Valve spring',
        quantity: 4,
        partClass: 'spring',
        facts: { joint: ['light-spring'] },
      },
      { item: '16', partNumber: 'F0604-05', description: 'Valve cage', quantity: 4, partClass: 'valve' },
      {
        item: '17',
        partNumber: 'F0605-01',
        description: 'Pump head',
        quantity: 2,
        partClass: 'cover',
        facts: { massKg: 3.2, joint: ['pressure-seal'] },
      },
      {
        item: '18',
        partNumber: 'F0902-60',
        description: 'Bolt, M12 x 60',
        quantity: 8,
        indenture: 2,
        attaches: '17',
        partClass: 'bolt',
        facts: { thread: 'M12', propertyClass: '8.8', torqueNm: 70, torqueState: 'oiled' },
        partFacts: { thread: 'M12', propertyClass: '8.8', lengthMm: 60 },
      },
      {
        item: '19',
        partNumber: 'F0903-12',
        description: 'Washer, 12',
        quantity: 8,
        indenture: 2,
        attaches: '17',
        partClass: 'washer',
        partFacts: { boreMm: 13 },
      },
      {
        item: '20',
        partNumber: 'F0606-01',
        description: 'Oil filler plug with sight',
        quantity: 1,
        partClass: 'plug',
        facts: { joint: ['oil-fill'] },
      },
      {
        item: '21',
        partNumber: 'F0606-03',
        description: 'Drain plug, M16 x 1.5',
        quantity: 1,
        partClass: 'plug',
        facts: {
          fluid: 'engine-oil',
          stripFirst: ['Shut the tank tap and let the pressure off at the relief valve'],
          fitThen: ['Fill with oil to the middle of the sight'],
          thread: 'M16x1.5',
          fillLitres: 0.9,
          torqueNm: 30,
          torqueState: 'dry',
        },
      },
      {
        item: '22',
        partNumber: 'F0606-04',
        description: 'Sealing washer, 16',
        quantity: 1,
        indenture: 2,
        partClass: 'crush-washer',
        partFacts: { boreMm: 16.2 },
      },
    ],
    strip: ['21>22', '21>18>19>17>16>15>14>13>12', '12>11>10>9>7>8', '7>6', '17>11', '5>4>2', '6>2>3>1', '20>1'],
    // Limits invented for an invented pump.
    tests: [
      'Turn the shaft by hand through two turns: no tight spot.',
      'Run with clean water at low pressure, then at working pressure as the maker gives it: no leak at the heads.',
      'Oil in the sight stays clear after ten minutes; milky oil means a diaphragm leaks.',
      {
        text: 'Pressure gauge steady at rated speed, relief valve opens at its setting.',
        measure: { what: 'Working pressure', unit: 'bar', least: 18, most: 22 },
      },
    ],
  })
}
