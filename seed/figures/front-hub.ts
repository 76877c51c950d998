import { outlineCircle, outlineLink, outlineRounded } from '../draw/outline.ts'
import { oilSeal, oRing, taperedCone, taperedCup } from '../draw/parts/bearing.ts'
import { castleNut, greaseNipple, hexBolt, lockNut, splitPin, wheelNut, wheelStud } from '../draw/parts/fastener.ts'
import { type Shape, shapeJoin, shapePlace, shapeRing } from '../draw/shape.ts'
import { extrude, revolve, ring, threadLines } from '../draw/solid.ts'
import type { Flat, Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

const STUD_CIRCLE = 76
const STUDS = 6
const on = (radius: number, degrees: number): Flat => [
  radius * Math.cos((degrees * Math.PI) / 180),
  radius * Math.sin((degrees * Math.PI) / 180),
]
const at = (x: number, y = 0, z = 0): Vec => [x, y, z]
const studAt = (x: number, k: number): Vec => [x, ...on(STUD_CIRCLE, k * 60 + 30)]

/** Forged knuckle: stub axle to +x, kingpin straight up through its head. */
function knuckle(): Shape {
  const stub = revolve([
    [-30, 0],
    [-30, 40, 4],
    [-6, 48, 4],
    [6, 48, 2],
    [6, 33],
    [26, 33],
    [26, 24.5],
    [72, 24.5, 1],
    [80, 18],
    [136, 17.5],
    [136, 15],
    [158, 14],
    [158, 12],
    [190, 12],
    [192, 10.5],
    [192, 0],
  ])
  stub.lines.push(...threadLines(161, 189, 12, 3))
  const head = shapePlace(
    revolve([
      [-58, 0],
      [-58, 30, 3],
      [-46, 36, 3],
      [52, 36, 3],
      [64, 30, 2],
      [64, 20],
      [190, 20],
      [190, 16],
      [232, 16],
      [234, 14],
      [234, 0],
    ]),
    at(-44, 0, 0),
    '+z',
  )
  return shapeJoin(stub, head)
}

function hub(): Shape {
  const barrel = revolve([
    [0, 42],
    [0, 52, 2],
    [26, 54],
    [26, 58, 3],
    [40, 58],
    [40, 52, 3],
    [58, 45, 8],
    [96, 40],
    [108, 39, 1.5],
    [108, 31],
    [88, 31],
    [88, 27],
    [24, 30],
    [24, 36],
    [8, 36],
    [8, 42],
  ])
  const flange = extrude(outlineCircle(96, [0, 0], 80), 27, 39, [
    outlineCircle(50, [0, 0], 44),
    ...Array.from({ length: STUDS }, (_, k) => outlineCircle(7, on(STUD_CIRCLE, k * 60 + 30), 18)),
  ])
  const boss = shapePlace(ring(40, 52, 4, 9, 1), at(70, 0, 0), '+z')
  const ribs = shapeRing(
    extrude(
      outlineRounded([
        [44, -4.5],
        [84, -4.5, 4],
        [84, 4.5, 4],
        [44, 4.5],
      ]),
      14,
      28,
    ),
    STUDS,
    0,
  )
  return shapeJoin(barrel, flange, boss, ribs)
}

/** Thrust washer with the tongue that lies in the groove of the stub. */
const tonguedWasher = (): Shape =>
  shapeJoin(
    ring(0, 5, 12.8, 25, 0.8),
    extrude(
      outlineRounded([
        [-3.5, 9, 0.5],
        [3.5, 9, 0.5],
        [3.5, 14],
        [-3.5, 14],
      ]),
      0.2,
      4.8,
    ),
  )

/** Steering arm: clamped boss on the kingpin, taper eye for the ball joint at its end towards -y. */
function steeringArm(): Shape {
  const plan: Flat[] = outlineLink([0, 0], 31, [150, 0], 20)
  const arm = shapePlace(
    extrude(plan, 0, 22, [outlineCircle(16, [0, 0], 36), outlineCircle(9, [150, 0], 24)]),
    at(0),
    '+z',
  )
  const collar = shapePlace(ring(-12, 34, 16, 29, 2), at(0), '+z')
  const ear = (y: number) =>
    shapePlace(
      extrude(outlineCircle(15, [0, 0], 32), y - 8, y + 8, [outlineCircle(6.5, [0, 0], 20)]),
      at(38, 0, 11),
      '+y',
    )
  return shapeJoin(
    arm,
    collar,
    extrude(
      outlineRounded([
        [-20, -4],
        [20, -4],
        [20, 26],
        [-20, 26],
      ]),
      14,
      32,
    ),
    ear(12.4),
    ear(-12.4),
  )
}

export function figure(): FigurePage {
  const X = {
    sleeve: 250,
    seal: 320,
    inner: 400,
    innerCup: 478,
    hub: 560,
    outerCup: 776,
    outer: 828,
    washer: 905,
    nut: 955,
    ring: 1050,
    cap: 1090,
  }
  const K = { x: -44, thrust: 280, ring: 322, bush: 372, arm: 500 }
  const cap = revolve([
    [-10, 28],
    [-10, 31],
    [0, 31],
    [0, 37, 1],
    [7, 37, 1],
    [7, 33],
    [34, 31, 6],
    [40, 22, 3],
    [40, 0.01],
    [37, 0.01],
    [32, 28],
  ])
  return figurePage({
    slug: 'front-hub',
    title: 'Front wheel hub and kingpin',
    number: '2-03',
    model: MODELS.tractor74,
    positions: [
      { code: 'LH', label: 'Left front wheel', pairedWith: 'RH' },
      { code: 'RH', label: 'Right front wheel', pairedWith: 'LH' },
    ],
    drawing: {
      width: 1400,
      view: { yawDegrees: -50, pitchDegrees: 30 },
      margins: { top: 90, right: 110, bottom: 90, left: 120 },
      parts: [
        { item: '1', shape: knuckle(), near: [at(40, -20, 10)], at: [335, 690] },
        { item: '2', shape: shapePlace(ring(0, 16, 33, 39, 1.5), at(X.sleeve)), rail: 'lower' },
        { item: '3', shape: shapePlace(oilSeal(78, 106, 14), at(X.seal)), rail: 'upper' },
        { item: '4', shape: shapePlace(taperedCone(49, 82, 23), at(X.inner)), rail: 'lower' },
        { item: '5', shape: shapePlace(taperedCup(88, 19, 9), at(X.innerCup)), rail: 'upper' },
        { item: '6', shape: shapePlace(hub(), at(X.hub)), near: [at(X.hub + 92, -12, 34)], rail: 'upper' },
        {
          item: '7',
          shape: shapeJoin(...[0, 1, 2, 3, 4, 5].map((k) => shapePlace(wheelStud(12, 58), studAt(X.hub - 66, k)))),
          near: [studAt(X.hub - 40, 3)],
          rail: 'lower',
        },
        { item: '8', shape: shapePlace(taperedCup(68, 16, 8), at(X.outerCup + 16), '-x'), rail: 'lower' },
        { item: '9', shape: shapePlace(taperedCone(35, 64, 19, 14), at(X.outer + 19), '-x'), rail: 'upper' },
        { item: '10', shape: shapePlace(tonguedWasher(), at(X.washer)), rail: 'lower' },
        { item: '11', shape: shapePlace(castleNut(24, 36), at(X.nut)), rail: 'lower' },
        { item: '12', shape: shapePlace(splitPin(5, 42), at(X.nut + 19, 0, 84), '-z'), rail: 'upper' },
        { item: '13', shape: shapePlace(oRing(32, 1.8), at(X.ring)), rail: 'lower' },
        { item: '14', shape: shapePlace(cap, at(X.cap)), rail: 'upper' },
        {
          item: '15',
          shape: shapeJoin(...[0, 1, 2, 3, 4, 5].map((k) => shapePlace(wheelNut(13), studAt(X.hub + 130, k)))),
          near: [studAt(X.hub + 136, 4)],
          rail: 'lower',
        },
        { item: '16', shape: shapePlace(greaseNipple(12), at(X.hub + 70, 0, 150), '+z'), rail: 'upper' },
        { item: '17', shape: shapePlace(ring(0, 9, 20.5, 33, 1), at(K.x, 0, K.thrust), '+z'), rail: 'left' },
        { item: '18', shape: shapePlace(oRing(24, 2.2), at(K.x, 0, K.ring), '+z'), rail: 'left' },
        { item: '19', shape: shapePlace(ring(0, 62, 20.5, 25, 1), at(K.x, 0, K.bush), '+z'), rail: 'left' },
        {
          item: '20',
          shape: shapePlace(steeringArm(), at(K.x, 0, K.arm)),
          near: [at(K.x, 80, K.arm + 22)],
          at: [188, 74],
        },
        {
          item: '21',
          shape: shapePlace(hexBolt(12, 52, 22), at(K.x + 38, -112, K.arm + 11), '+y'),
          near: [at(K.x + 38, -116, K.arm + 14)],
          rail: 'left',
        },
        { item: '22', shape: shapePlace(lockNut(12), at(K.x + 38, 66, K.arm + 11), '+y'), at: [340, 208] },
      ],
      axes: [
        [at(196), at(X.cap)],
        [at(K.x, 0, 236), at(K.x, 0, K.arm + 70)],
        [at(X.nut + 19, 0, 104), at(X.nut + 19)],
        [at(X.hub + 70, 0, 176), at(X.hub + 70, 0, 50)],
        [at(K.x + 38, -130, K.arm + 11), at(K.x + 38, 96, K.arm + 11)],
        ...[0, 1, 2, 3, 4, 5].map((k): Vec[] => [studAt(X.hub + 150, k), studAt(X.hub - 10, k)]),
      ],
      rails: {
        upper: { from: [450, 560], to: [1380, 960] },
        lower: { from: [400, 1000], to: [1200, 1256] },
        left: { from: [60, 160], to: [60, 480] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'HB-16101',
        description: 'Steering knuckle with stub axle',
        quantity: 1,
        side: 'LH',
        partClass: 'axle',
        facts: { massKg: 11, safetyJoint: 'steering' },
        note: 'Wheel off the ground on stands, not on the jack alone',
      },
      {
        item: '1',
        partNumber: 'HB-16102',
        description: 'Steering knuckle with stub axle',
        quantity: 1,
        side: 'RH',
        partClass: 'axle',
        facts: { massKg: 11, safetyJoint: 'steering' },
        note: 'Wheel off the ground on stands, not on the jack alone',
      },
      {
        item: '2',
        partNumber: 'HB-16110',
        description: 'Wear sleeve, oil seal',
        quantity: 1,
        partClass: 'spacer',
        facts: { sitsOn: '1', joint: ['shrunk-on'] },
        partFacts: { boreMm: 45, outsideMm: 52, widthMm: 12 },
      },
      {
        item: '3',
        partNumber: 'HB-16112',
        description: 'Oil seal, 52 x 72 x 10',
        quantity: 1,
        partClass: 'oil-seal',
        facts: { sitsOn: '6' },
        serialTo: '74309',
        partFacts: { boreMm: 52, outsideMm: 72, widthMm: 10 },
      },
      {
        item: '3',
        partNumber: 'HB-16113',
        description: 'Oil seal, 52 x 72 x 12, two lips',
        quantity: 1,
        partClass: 'oil-seal',
        facts: { sitsOn: '6' },
        serialFrom: '74310',
        partFacts: { boreMm: 52, outsideMm: 72, widthMm: 12 },
      },
      {
        item: '4',
        partNumber: 'HB-16121',
        description: 'Tapered roller bearing, inner, 40 x 68 x 19, without cup',
        quantity: 1,
        partClass: 'bearing',
        facts: { seals: ['3'], joint: ['bearing-fill'] },
        partFacts: { boreMm: 40, outsideMm: 68, widthMm: 19 },
      },
      {
        item: '5',
        partNumber: 'HB-16122',
        description: 'Cup, inner bearing',
        quantity: 1,
        indenture: 2,
        partClass: 'bearing-cup',
        facts: { sitsOn: '6' },
        partFacts: { outsideMm: 68 },
        note: 'Goes with item 4: never a new bearing in an old cup',
      },
      {
        item: '6',
        partNumber: 'HB-16130',
        description: 'Front wheel hub',
        quantity: 1,
        partClass: 'hub',
        facts: { massKg: 8.5, joint: ['hub-spigot'] },
      },
      {
        item: '7',
        partNumber: 'HB-16132',
        description: 'Wheel stud, M16 x 1.5',
        quantity: 6,
        indenture: 2,
        partClass: 'wheel-stud',
        facts: { sitsOn: '6', stations: 6, thread: 'M16x1.5', propertyClass: '10.9' },
        partFacts: { thread: 'M16x1.5', propertyClass: '10.9', lengthMm: 62 },
      },
      {
        item: '8',
        partNumber: 'HB-16124',
        description: 'Cup, outer bearing',
        quantity: 1,
        indenture: 2,
        partClass: 'bearing-cup',
        facts: { sitsOn: '6' },
        partFacts: { outsideMm: 62 },
        note: 'Goes with item 9: never a new bearing in an old cup',
      },
      {
        item: '9',
        partNumber: 'HB-16123',
        description: 'Tapered roller bearing, outer, 30 x 62 x 17.25, without cup',
        quantity: 1,
        partClass: 'bearing',
        facts: { joint: ['bearing-fill'] },
        partFacts: { boreMm: 30, outsideMm: 62, widthMm: 17.25 },
      },
      {
        item: '10',
        partNumber: 'HB-16140',
        description: 'Thrust washer, tongued, 24',
        quantity: 1,
        indenture: 2,
        attaches: '6',
        partClass: 'washer',
        partFacts: { boreMm: 24.5 },
      },
      {
        item: '11',
        partNumber: 'HB-16141',
        description: 'Castle nut, M24',
        quantity: 1,
        indenture: 2,
        attaches: '6',
        partClass: 'castle-nut',
        facts: { thread: 'M24' },
        partFacts: { thread: 'M24' },
        note: 'Set bearing end float to the maker’s figure',
      },
      {
        item: '12',
        partNumber: 'HB-16142',
        description: 'Split pin, 5 x 40',
        quantity: 1,
        indenture: 3,
        attaches: '11',
        partClass: 'split-pin',
        partFacts: { splitPinMm: 5, lengthMm: 40 },
      },
      {
        item: '13',
        partNumber: 'HB-16151',
        description: 'O-ring, hub cap, 60 x 3',
        quantity: 1,
        indenture: 2,
        partClass: 'o-ring',
        partFacts: { boreMm: 60, widthMm: 3 },
      },
      { item: '14', partNumber: 'HB-16150', description: 'Hub cap', quantity: 1, partClass: 'cap' },
      {
        item: '15',
        partNumber: 'HB-16133',
        description: 'Wheel nut, M16 x 1.5, coned',
        quantity: 6,
        indenture: 2,
        partClass: 'wheel-nut',
        facts: {
          stripOnce: [
            'Crack the wheel nuts loose while the tyre still stands, then lift the axle and set it on stands',
          ],
          stripThen: ['Take the wheel off'],
          fitFirst: ['Put the wheel on, faces and threads clean'],
          stations: 6,
          thread: 'M16x1.5',
          torqueNm: 210,
          torqueState: 'dry',
          joint: ['wheel-face'],
        },
        partFacts: { thread: 'M16x1.5' },
      },
      {
        item: '16',
        partNumber: 'HB-97108',
        description: 'Grease nipple, M8 x 1',
        quantity: 1,
        indenture: 2,
        partClass: 'grease-nipple',
        facts: { sitsOn: '6', thread: 'M8x1', joint: ['grease-nipple'] },
        partFacts: { thread: 'M8x1' },
      },
      {
        item: '17',
        partNumber: 'HB-16160',
        description: 'Thrust washer, kingpin',
        quantity: 1,
        partClass: 'washer',
        facts: { safetyJoint: 'steering' },
        partFacts: { boreMm: 38 },
      },
      {
        item: '18',
        partNumber: 'HB-16161',
        description: 'O-ring, kingpin, 44 x 4',
        quantity: 1,
        partClass: 'o-ring',
        partFacts: { boreMm: 44, widthMm: 4 },
      },
      {
        item: '19',
        partNumber: 'HB-16162',
        description: 'Bush, kingpin, 38 x 45 x 60',
        quantity: 1,
        partClass: 'bush',
        facts: { safetyJoint: 'steering', joint: ['grease-nipple'] },
        partFacts: { boreMm: 38, outsideMm: 45, widthMm: 60 },
      },
      {
        item: '20',
        partNumber: 'HB-16171',
        description: 'Steering arm',
        quantity: 1,
        side: 'LH',
        partClass: 'lever',
        facts: { massKg: 3.2, safetyJoint: 'steering', joint: ['dry-fit'] },
      },
      {
        item: '20',
        partNumber: 'HB-16172',
        description: 'Steering arm',
        quantity: 1,
        side: 'RH',
        partClass: 'lever',
        facts: { massKg: 3.2, safetyJoint: 'steering', joint: ['dry-fit'] },
      },
      {
        item: '21',
        partNumber: 'HB-95355',
        description: 'Clamp bolt, M12 x 55, 10.9',
        quantity: 1,
        indenture: 2,
        attaches: '20',
        partClass: 'bolt',
        facts: { thread: 'M12', propertyClass: '10.9', torqueNm: 105, torqueState: 'dry', safetyJoint: 'steering' },
        partFacts: { thread: 'M12', propertyClass: '10.9', lengthMm: 55 },
      },
      {
        item: '22',
        partNumber: 'HB-94312',
        description: 'Locking nut, M12',
        quantity: 1,
        indenture: 3,
        attaches: '21',
        partClass: 'prevailing-torque-nut',
        facts: {
          stripFirst: ['Take the track rod end off the steering arm'],
          thread: 'M12',
          torqueNm: 105,
          torqueState: 'dry',
          safetyJoint: 'steering',
        },
        partFacts: { thread: 'M12' },
      },
    ],
    strip: [
      '15>14>12>11>10>9>6',
      '14>13',
      '6>3>4>5',
      '9>8',
      '6>8',
      '15>7',
      '6>7',
      '6>16',
      '6>2>1',
      '22>21>20>1>17 18 19',
      '6>1',
    ],
    tests: [
      'Hub turns freely without rock; end float of the bearings is within the maker’s figure.',
      'Wheel nuts tightened crosswise to the maker’s torque.',
      'Steering goes from lock to lock without a tight spot; no play at kingpin and arm.',
      'Slow test run: no noise, no pull to one side, hubs stay hand-warm.',
    ],
  })
}
