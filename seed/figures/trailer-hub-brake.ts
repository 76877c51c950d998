import { outlineArc, outlineCircle, outlineLink, outlineMove, outlineRounded, outlineSector } from '../draw/outline.ts'
import { oilSeal, taperedCone } from '../draw/parts/bearing.ts'
import { castleNut, splitPin, washer, wheelNut, wheelStud } from '../draw/parts/fastener.ts'
import { conicalSpring, tensionSpring } from '../draw/parts/spring.ts'
import { type Shape, shapeJoin, shapeMove, shapeOf, shapePlace, shapeRing, shapeTurn } from '../draw/shape.ts'
import { extrude, revolve, ring, rod, stippleLines, threadLines } from '../draw/solid.ts'
import { around, type Flat, type Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

const STUD_CIRCLE = 82
const STUDS = 6
const on = (radius: number, degrees: number): Flat => [
  radius * Math.cos((degrees * Math.PI) / 180),
  radius * Math.sin((degrees * Math.PI) / 180),
]
const studHoles = (radius: number): Flat[][] =>
  Array.from({ length: STUDS }, (_, k) => outlineCircle(radius, on(STUD_CIRCLE, k * 60 + 30), 18))

/** Square beam with its flange and the turned stub that carries the bearings. */
function stubAxle(): Shape {
  const half = 30
  const beam = extrude(
    outlineRounded([
      [-half, -half, 5],
      [half, -half, 5],
      [half, half, 5],
      [-half, half, 5],
    ]),
    -150,
    -14,
  )
  const flange = extrude(
    outlineRounded([
      [-58, -58, 16],
      [58, -58, 16],
      [58, 58, 16],
      [-58, 58, 16],
    ]),
    -15,
    0,
    [45, 135, 225, 315].map((a) => outlineCircle(6.5, on(64, a), 16)),
  )
  const stub = revolve([
    [-0.5, 0],
    [-0.5, 40],
    [14, 40, 2],
    [14, 34],
    [34, 34],
    [34, 27],
    [78, 27, 1],
    [84, 22],
    [156, 20],
    [156, 18.5],
    [196, 18.5],
    [196, 14],
    [234, 14],
    [236, 12.5],
    [236, 0],
  ])
  stub.lines.push(...threadLines(200, 233, 14, 3))
  return shapeJoin(beam, flange, stub)
}

function backPlate(): Shape {
  const lip = revolve([
    [0, 118],
    [0, 150, 2],
    [14, 150],
    [14, 146.5],
    [3.5, 146.5, 2],
    [3.5, 118],
  ])
  const plate = extrude(outlineCircle(119, [0, 0], 96), 0.2, 3.2, [
    outlineCircle(42, [0, 0], 48),
    ...[45, 135, 225, 315].map((a) => outlineCircle(6.5, on(64, a), 16)),
    outlineMove(
      outlineRounded([
        [-9, -16, 8],
        [9, -16, 8],
        [9, 16, 8],
        [-9, 16, 8],
      ]),
      [0, 102],
    ),
  ])
  const dish = revolve([
    [0, 70],
    [0, 72],
    [6, 76, 2],
    [6, 110, 2],
    [0, 114],
    [0, 116],
    [2, 116],
    [2, 70],
  ])
  const anchor = shapeMove(
    shapeJoin(
      rod(2, 34, 12, 1.5),
      extrude(
        outlineRounded([
          [-24, -13, 4],
          [24, -13, 4],
          [24, 13, 4],
          [-24, 13, 4],
        ]),
        2,
        12,
      ),
    ),
    [0, 0, -104],
  )
  return shapeJoin(lip, plate, dish, anchor)
}

/** Brake shoe, its back to +y: T-section of table and web, lining bonded to the table. */
function brakeShoe(): Shape {
  const web = extrude(
    [
      ...outlineArc(126, -64, 64),
      ...outlineRounded([
        [50, 116, 5],
        [38, 96, 8],
        [62, 78, 30],
        [86, 34, 40],
        [86, -34, 40],
        [62, -78, 30],
        [38, -96, 8],
        [50, -116, 5],
      ]),
    ],
    -3,
    3,
    [outlineCircle(6, on(100, 42), 16), outlineCircle(6, on(100, -42), 16), outlineCircle(9, on(104, 0), 20)],
  )
  const table = extrude(outlineSector(122, 126.5, -65, 65), -22, 22)
  const lining = extrude(outlineSector(126.3, 137, -57, 57), -21, 21)
  lining.lines.push(
    ...stippleLines(90, (u, v) => around(21.4, 127.5 + 8.5 * u, -56 + 112 * v)),
    ...stippleLines(150, (u, v) => around(-20 + 40 * u, 137.4, -56 + 112 * v)),
  )
  const rivets = [-40, -14, 14, 40].flatMap((a) =>
    [-11, 11].map((x) =>
      shapeOf({ points: [], faces: [], creaseDegrees: 30 }, [
        Array.from(
          { length: 17 },
          (_, k): Vec => around(x + 3.2 * Math.cos((k * Math.PI) / 8), 137.5, a + 1.4 * Math.sin((k * Math.PI) / 8)),
        ),
      ]),
    ),
  )
  return shapeJoin(web, table, lining, ...rivets)
}

/** S-cam on its shaft, with the splined end that takes the brake lever. */
function camShaft(): Shape {
  const cam: Flat[] = [...outlineArc(19, -30, 110, [6, 0]), ...outlineArc(19, 150, 290, [-6, 0])]
  const shaft = revolve([
    [-150, 0],
    [-150, 8.5],
    [-148, 10],
    [-118, 10],
    [-118, 11.5],
    [0, 11.5],
    [0, 16],
    [6.5, 16],
    [6.5, 0],
  ])
  const teeth = Array.from({ length: 12 }, (_, k) => [around(-147, 10.4, k * 30), around(-119, 10.4, k * 30)])
  shaft.lines.push(...teeth)
  return shapeJoin(shaft, extrude(cam, 6, 32))
}

function brakeLever(): Shape {
  const arm = extrude(outlineLink([0, 0], 19, [0, -104], 12), -4, 4, [
    outlineCircle(11, [0, 0], 24),
    outlineCircle(5.5, [0, -104], 16),
    outlineCircle(5.5, [0, -80], 16),
  ])
  return shapeJoin(arm, ring(-11, 11, 11, 17.5, 1))
}

/** Star-wheel adjuster: forked ends, threaded middle. */
function adjuster(): Shape {
  const wheel = extrude(
    Array.from({ length: 48 }, (_, k): Flat => on(k % 4 < 2 ? 15 : 11.5, k * 7.5)),
    -4,
    4,
  )
  const body = shapeJoin(rod(-30, -3.5, 8, 1), rod(3.5, 30, 6.5, 0.5))
  body.lines.push(...threadLines(5, 29, 6.5, 2.6))
  const fork = (x: number) =>
    extrude(
      outlineRounded([
        [-9, -9, 3],
        [9, -9, 3],
        [9, -3, 1],
        [-2, -3],
        [-2, 3],
        [9, 3, 1],
        [9, 9, 3],
        [-9, 9, 3],
      ]),
      x - 7,
      x + 7,
    )
  return shapeJoin(wheel, body, fork(-36), fork(36))
}

function hub(): Shape {
  const barrel = revolve([
    [0, 44],
    [0, 54, 2],
    [30, 56],
    [30, 60, 3],
    [34, 60],
    [46, 60],
    [46, 57, 2],
    [62, 47, 8],
    [104, 41],
    [118, 40, 1.5],
    [118, 30],
    [100, 30],
    [100, 27],
    [24, 30],
    [24, 44],
  ])
  const flange = extrude(outlineCircle(104, [0, 0], 88), 33, 45, [outlineCircle(52, [0, 0], 48), ...studHoles(7)])
  const ribs = shapeRing(
    extrude(
      outlineRounded([
        [50, -5],
        [94, -5, 4],
        [94, 5, 4],
        [50, 5],
      ]),
      20,
      34,
    ),
    STUDS,
    0,
  )
  return shapeJoin(barrel, flange, ribs)
}

function drum(): Shape {
  const shell = revolve([
    [0, 138],
    [0, 160, 2],
    [10, 160, 2],
    [10, 150],
    [26, 150],
    [26, 157, 1],
    [33, 157, 1],
    [33, 150],
    [46, 150],
    [46, 157, 1],
    [53, 157, 1],
    [53, 150],
    [72, 150, 9],
    [80, 134, 4],
    [80, 128],
    [68, 128],
    [68, 136, 4],
    [66, 138],
  ])
  const face = extrude(outlineCircle(130, [0, 0], 96), 69, 79, [
    outlineCircle(61, [0, 0], 56),
    ...studHoles(8),
    outlineCircle(5, on(STUD_CIRCLE, 0), 14),
    outlineCircle(11, on(108, 60), 18),
  ])
  return shapeJoin(shell, face)
}

const at = (x: number): Vec => [x, 0, 0]

export function figure(): FigurePage {
  const X = { shoe: 236, seal: 400, inner: 475, hub: 575, drum: 830, outer: 1010, washer: 1085, nut: 1130, cap: 1240 }
  const studAt = (x: number, k: number): Vec => [x, ...on(STUD_CIRCLE, k * 60 + 30)]
  const dust = revolve([
    [0, 0],
    [0, 39],
    [16, 39, 1],
    [16, 44, 1],
    [21, 44, 1],
    [21, 40, 1],
    [52, 38, 8],
    [58, 28, 3],
    [58, 0],
  ])
  return figurePage({
    slug: 'trailer-hub-brake',
    title: 'Hub and drum brake',
    number: '5-04',
    model: MODELS.trailer,
    positions: [
      { code: 'LH', label: 'Left wheel', pairedWith: 'RH' },
      { code: 'RH', label: 'Right wheel', pairedWith: 'LH' },
    ],
    drawing: {
      width: 1400,
      view: { yawDegrees: -50, pitchDegrees: 32 },
      margins: { top: 90, right: 80, bottom: 90, left: 80 },
      parts: [
        { item: '1', shape: shapePlace(stubAxle(), at(-150)), near: [[-260, -30, 10]], rail: 'top' },
        { item: '2', shape: shapePlace(backPlate(), at(60)), near: [[64, 40, 118]], rail: 'top' },
        { item: '3', shape: shapePlace(camShaft(), [250, 0, 262]), rail: 'top' },
        { item: '4', shape: shapePlace(brakeLever(), [20, 0, 262]), rail: 'top' },
        {
          item: '5',
          shape: shapeJoin(
            shapePlace(shapeTurn(brakeShoe(), 'x', 0), [X.shoe, 60, 0]),
            shapePlace(shapeTurn(brakeShoe(), 'x', 180), [X.shoe, -60, 0]),
          ),
          near: [[X.shoe, -196, -20]],
          rail: 'lower',
        },
        { item: '6', shape: shapePlace(tensionSpring(120, 15, 7, 3.4), [X.shoe + 24, -60, 112], '+y'), rail: 'top' },
        { item: '7', shape: shapePlace(tensionSpring(104, 11, 7, 3.4), [X.shoe + 44, -30, -128], '+y'), rail: 'lower' },
        {
          item: '8',
          shape: shapeJoin(
            shapePlace(conicalSpring(34, 12, 7, 2.2, 3), [X.shoe + 60, 164, 0]),
            shapePlace(conicalSpring(34, 12, 7, 2.2, 3), [X.shoe + 60, -164, 0]),
          ),
          near: [[X.shoe + 74, -164, 8]],
          rail: 'lower',
        },
        { item: '9', shape: shapePlace(adjuster(), [X.shoe - 20, -40, -206], '+y'), rail: 'lower' },
        { item: '10', shape: shapePlace(oilSeal(62, 96, 14), at(X.seal)), rail: 'upper' },
        { item: '11', shape: shapePlace(taperedCone(54, 90, 26), at(X.inner)), rail: 'upper' },
        { item: '12', shape: shapePlace(hub(), at(X.hub)), near: [[X.hub + 90, -10, 40]], rail: 'upper' },
        {
          item: '13',
          shape: shapeJoin(...[0, 1, 2, 3, 4, 5].map((k) => shapePlace(wheelStud(12, 62), studAt(X.hub - 62, k)))),
          near: [studAt(X.hub - 40, 3)],
          rail: 'lower',
        },
        { item: '14', shape: shapePlace(drum(), at(X.drum)), near: [[X.drum + 60, -100, -110]], rail: 'lower' },
        {
          item: '15',
          shape: shapeJoin(...[0, 1, 2, 3, 4, 5].map((k) => shapePlace(wheelNut(13), studAt(X.drum + 180, k)))),
          near: [studAt(X.drum + 186, 4)],
          rail: 'lower',
        },
        { item: '16', shape: shapePlace(taperedCone(37, 66, 21, 14), at(X.outer)), rail: 'upper' },
        { item: '17', shape: shapePlace(washer(15, 29, 5), at(X.washer)), rail: 'upper' },
        { item: '18', shape: shapePlace(castleNut(28, 42), at(X.nut)), rail: 'lower' },
        { item: '19', shape: shapePlace(splitPin(6, 52), [X.nut + 22, 0, 100], '-z'), rail: 'upper' },
        { item: '20', shape: shapePlace(dust, at(X.cap)), rail: 'upper' },
      ],
      axes: [
        [at(-60), at(X.cap)],
        [
          [30, 0, 262],
          [230, 0, 262],
        ],
        [[X.nut + 22, 0, 120], at(X.nut + 22)],
        ...[164, -164].map((y): Vec[] => [
          [X.shoe + 96, y, 0],
          [X.shoe, y, 0],
        ]),
        ...[0, 1, 2, 3, 4, 5].map((k): Vec[] => [studAt(X.drum + 200, k), studAt(X.hub, k)]),
      ],
      rails: {
        upper: { from: [660, 190], to: [1370, 560] },
        lower: { from: [330, 640], to: [1200, 860] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'DM60101',
        description: 'Stub axle',
        quantity: 1,
        partClass: 'axle',
        facts: { massKg: 16 },
      },
      {
        item: '2',
        partNumber: 'DM60110',
        description: 'Brake back plate',
        quantity: 1,
        partClass: 'brake-backplate',
        facts: { safetyJoint: 'brake' },
      },
      {
        item: '3',
        partNumber: 'DM60121',
        description: 'Brake camshaft',
        quantity: 1,
        side: 'LH',
        partClass: 'shaft',
        facts: { safetyJoint: 'brake', joint: ['brake-contact'] },
      },
      {
        item: '3',
        partNumber: 'DM60122',
        description: 'Brake camshaft',
        quantity: 1,
        side: 'RH',
        partClass: 'shaft',
        facts: { safetyJoint: 'brake', joint: ['brake-contact'] },
      },
      {
        item: '4',
        partNumber: 'DM60125',
        description: 'Brake lever',
        quantity: 1,
        partClass: 'lever',
        facts: {
          stripFirst: ['Unhook the brake rod and mark how the lever sits on its shaft'],
          safetyJoint: 'brake',
          joint: ['shaft-fit'],
        },
      },
      {
        item: '5',
        partNumber: 'DM60130',
        description: 'Brake shoe with lining',
        quantity: 2,
        partClass: 'brake-shoe',
        facts: { safetyJoint: 'brake', joint: ['brake-contact'] },
        note: 'Renew on both wheels of the axle',
      },
      {
        item: '6',
        partNumber: 'DM60131',
        description: 'Return spring, cam end',
        quantity: 1,
        indenture: 2,
        attaches: '5',
        partClass: 'return-spring',
        facts: { safetyJoint: 'brake' },
      },
      {
        item: '7',
        partNumber: 'DM60132',
        description: 'Return spring, adjuster end',
        quantity: 1,
        indenture: 2,
        attaches: '5',
        partClass: 'return-spring',
        facts: { safetyJoint: 'brake' },
      },
      {
        item: '8',
        partNumber: 'DM60133',
        description: 'Hold-down spring',
        quantity: 2,
        indenture: 2,
        attaches: '5',
        partClass: 'hold-down-spring',
        facts: { safetyJoint: 'brake' },
      },
      {
        item: '9',
        partNumber: 'DM60135',
        description: 'Adjuster, star wheel',
        quantity: 1,
        partClass: 'adjuster',
        facts: { safetyJoint: 'brake', joint: ['brake-contact'] },
      },
      {
        item: '10',
        partNumber: 'DM60231',
        description: 'Oil seal, 65 x 95 x 10',
        quantity: 1,
        partClass: 'oil-seal',
        facts: { sitsOn: '12' },
        serialTo: '2249',
        partFacts: { boreMm: 65, outsideMm: 95, widthMm: 10 },
      },
      {
        item: '10',
        partNumber: 'DM60231A',
        description: 'Oil seal, 65 x 95 x 12, two lips',
        quantity: 1,
        partClass: 'oil-seal',
        facts: { sitsOn: '12' },
        serialFrom: '2250',
        partFacts: { boreMm: 65, outsideMm: 95, widthMm: 12 },
      },
      {
        item: '11',
        partNumber: 'DM60235',
        description: 'Tapered roller bearing, inner, 50 x 90 x 21.75',
        quantity: 1,
        partClass: 'bearing',
        facts: { seals: ['10'], sitsOn: '12', joint: ['bearing-fill'] },
        partFacts: { boreMm: 50, outsideMm: 90, widthMm: 21.75 },
      },
      {
        item: '12',
        partNumber: 'DM60220',
        description: 'Hub',
        quantity: 1,
        partClass: 'hub',
        facts: { massKg: 14, joint: ['hub-spigot'] },
      },
      {
        item: '13',
        partNumber: 'DM60222',
        description: 'Wheel stud, M18 x 1.5',
        quantity: 6,
        indenture: 2,
        partClass: 'wheel-stud',
        facts: { sitsOn: '12', thread: 'M18x1.5', propertyClass: '10.9' },
        partFacts: { thread: 'M18x1.5', propertyClass: '10.9', lengthMm: 78 },
      },
      {
        item: '14',
        partNumber: 'DM60240',
        description: 'Brake drum, 300 x 60',
        quantity: 1,
        partClass: 'brake-drum',
        facts: {
          stripFirst: ['Let the brake off and slacken the star wheel (9) until the drum turns free'],
          fitThen: ['Set the star wheel (9): out until the shoes touch, then back until the drum just turns free'],
          massKg: 19,
          safetyJoint: 'brake',
          joint: ['hub-spigot'],
        },
      },
      {
        item: '15',
        partNumber: 'DM60223',
        description: 'Wheel nut, M18 x 1.5, coned',
        quantity: 6,
        indenture: 2,
        attaches: '14',
        partClass: 'wheel-nut',
        facts: {
          stripOnce: [
            'Crack the wheel nuts loose while the tyre still stands, then lift the axle and set it on stands',
          ],
          stripThen: ['Take the wheel off'],
          fitFirst: ['Put the wheel on, faces and threads clean'],
          thread: 'M18x1.5',
          torqueNm: 270,
          torqueState: 'dry',
          joint: ['wheel-face'],
        },
        partFacts: { thread: 'M18x1.5' },
      },
      {
        item: '16',
        partNumber: 'DM60236',
        description: 'Tapered roller bearing, outer, 35 x 72 x 18.25',
        quantity: 1,
        partClass: 'bearing',
        facts: { joint: ['bearing-fill'] },
        partFacts: { boreMm: 35, outsideMm: 72, widthMm: 18.25 },
      },
      {
        item: '17',
        partNumber: 'DM60250',
        description: 'Thrust washer, 30',
        quantity: 1,
        indenture: 2,
        attaches: '12',
        partClass: 'washer',
        partFacts: { boreMm: 31 },
      },
      {
        item: '18',
        partNumber: 'DM60251',
        description: 'Castle nut, M30',
        quantity: 1,
        indenture: 2,
        attaches: '12',
        partClass: 'castle-nut',
        facts: { thread: 'M30' },
        partFacts: { thread: 'M30' },
        note: 'Set bearing end float to the maker’s figure',
      },
      {
        item: '19',
        partNumber: 'DM60252',
        description: 'Split pin, 6.3 x 50',
        quantity: 1,
        indenture: 3,
        attaches: '18',
        partClass: 'split-pin',
        partFacts: { splitPinMm: 6.3, lengthMm: 50 },
      },
      { item: '20', partNumber: 'DM60255', description: 'Dust cap', quantity: 1, partClass: 'cap' },
    ],
    strip: [
      '20>19>18>17>16>12',
      '15>14>13',
      '14>12',
      '12>10>11',
      '12>13',
      '14>8>5',
      '6 7>5>9',
      '14>6 7',
      '4>3>2',
      '5>3',
      '5>2',
      '9>2',
      '12>2',
      '2>1',
    ],
    // Limits invented for an invented trailer; that a lining has a least thickness is common practice, no source.
    tests: [
      {
        text: 'Lining of each shoe measured at its thinnest place.',
        measure: { what: 'Lining thickness', unit: 'mm', least: 4 },
      },
      'Hub turns freely without rock; end float of the bearings is within the maker’s figure.',
      'Wheel nuts tightened crosswise to the maker’s torque.',
      'Brakes adjusted the same on both wheels; wheel turns free with the brake off.',
      'Slow test run on level ground: both wheels brake evenly, drums stay cool.',
    ],
  })
}
