import { outlineCircle, outlineLink, outlineMove, outlineTurn } from '../draw/outline.ts'
import { bush } from '../draw/parts/bearing.ts'
import { beltPath, vBelt } from '../draw/parts/belt.ts'
import { vPulley } from '../draw/parts/drive.ts'
import { hexBolt, lockNut, parallelKey, socketScrew, washer } from '../draw/parts/fastener.ts'
import { tensionSpring } from '../draw/parts/spring.ts'
import { type Shape, shapeJoin, shapePlace, shapeTurn } from '../draw/shape.ts'
import { extrude, revolve, ring } from '../draw/solid.ts'
import type { Flat, Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

/** Driven pulley on the rotor stands lower and to the reader's left of the driving pulley on the gearbox shaft. */
const ROTOR: Flat = [-370, -60]
const BIG = 96
const SMALL = 70

const screws: Flat[] = [
  [22, 125],
  [110, -64],
  [-203, 84],
  [-167, -143],
  [-406, 39],
  [-422, -151],
]

function backPlate(): Shape {
  const plate = extrude(outlineLink([0, 0], 138, ROTOR, 116), 0, 5, [
    outlineCircle(44, [0, 0], 48),
    outlineCircle(56, ROTOR, 56),
    outlineCircle(9, [-190, 52], 18),
    ...screws.map((at) => outlineCircle(5, at, 14)),
  ])
  const anchor = extrude(outlineMove(outlineLink([0, 0], 13, [0, -30], 10), [-120, -86]), 5, 11, [
    outlineCircle(5, [-120, -116], 14),
  ])
  return shapeJoin(plate, anchor)
}

/** Guard cover: pressed pan with a flange for the screws and louvres for cooling air. */
function guardCover(): Shape {
  const flange = extrude(outlineLink([0, 0], 142, ROTOR, 120), 0, 4, [
    outlineLink([0, 0], 112, ROTOR, 90),
    ...screws.map((at) => outlineCircle(5, at, 14)),
  ])
  const wall = extrude(outlineLink([0, 0], 114, ROTOR, 92), 1, 62)
  const rim = extrude(outlineLink([0, 0], 106, ROTOR, 84), 61, 66)
  const slots = [-60, -30, 0, 30, 60].map((d) =>
    extrude(
      outlineMove(outlineTurn(outlineLink([-34, 0], 6, [34, 0], 6), 99), [-185 + d * 1.1, -30 + d * 0.18]),
      65,
      69,
    ),
  )
  return shapeJoin(flange, wall, rim, ...slots)
}

function tensionerArm(): Shape {
  const arm = extrude(outlineLink([0, 0], 24, [96, -36], 17), 0, 12, [
    outlineCircle(13, [0, 0], 24),
    outlineCircle(8, [96, -36], 18),
  ])
  const tail = extrude(outlineLink([0, 0], 18, [54, 46], 10), 2, 10, [outlineCircle(5, [54, 46], 14)])
  return shapeJoin(arm, tail, ring(-22, 26, 13, 20, 1))
}

/** Flat-faced idler that runs on the back of the belts, its sealed bearing pressed in. */
const roller = (): Shape =>
  shapeJoin(
    revolve([
      [0, 26],
      [0, 46, 2],
      [6, 46, 1],
      [6, 41, 1],
      [64, 41, 1],
      [64, 46, 1],
      [70, 46, 2],
      [70, 26],
    ]),
    ring(8, 62, 20, 27),
    ring(6, 64, 8, 13),
    ring(9, 61, 12.5, 20.5),
  )

function taperBush(): Shape {
  const body = revolve([
    [0, 17],
    [0, 29, 1],
    [44, 34, 1],
    [44, 17],
  ])
  const slit = extrude(
    [
      [-2, 16],
      [2, 16],
      [2, 34.4],
      [-2, 34.4],
    ],
    -0.4,
    44.4,
  )
  const pockets = [30, 210].map((a) => shapeTurn(shapePlace(ring(43, 44.6, 3, 5.5), [0, 28, 0]), 'x', a))
  return shapeJoin(body, shapeTurn(slit, 'x', 30), ...pockets)
}

const drive = (x: number, z = 0): Vec => [x, 0, z]
const driven = (x: number, z = 0): Vec => [x, ROTOR[0], ROTOR[1] + z]

export function figure(): FigurePage {
  const X = { pulley: 130, belt: 350, washer: 280, bolt: 366, bush: 290, screw: 370, arm: 250, roller: 350, cover: 900 }
  const path = beltPath({ at: [0, 0], radius: BIG }, { at: ROTOR, radius: SMALL })
  const pivot: Vec = [X.arm, -300, -330]
  const on = (x: number): Vec => [x, pivot[1] + 96, pivot[2] - 36]
  const pulley = { pitch: 22, depth: 18, bore: 17, hub: 32, hubLength: 84 }
  return figurePage({
    slug: 'belt-drive',
    title: 'Belt drive of the rotor',
    number: '3-03',
    model: MODELS.mower,
    drawing: {
      width: 1400,
      view: { yawDegrees: -52, pitchDegrees: 30 },
      margins: { top: 90, right: 90, bottom: 90, left: 90 },
      parts: [
        { item: '1', shape: shapePlace(backPlate(), [-120, 0, 0]), near: [[-115, -60, 104]], rail: 'upper' },
        {
          item: '2',
          shape: shapePlace(vPulley(BIG, 3, pulley), drive(X.pulley)),
          near: [[X.pulley + 30, 30, 90]],
          rail: 'upper',
        },
        { item: '3', shape: shapePlace(parallelKey(56, 10, 9), drive(X.pulley - 70, 150)), rail: 'upper' },
        { item: '4', shape: shapePlace(washer(8, 28, 6), drive(X.washer)), rail: 'upper' },
        { item: '5', shape: shapePlace(hexBolt(15, 46, 30), drive(X.bolt + 20), '-x'), rail: 'upper' },
        {
          item: '6',
          shape: shapePlace(vPulley(SMALL, 3, { ...pulley, bore: 32, hub: 42, hubLength: 66 }), driven(X.pulley - 90)),
          rail: 'left',
        },
        { item: '7', shape: shapePlace(taperBush(), driven(X.bush - 70)), rail: 'left' },
        ...[30, 210].map((a) => ({
          item: '8',
          shape: shapePlace(
            socketScrew(8, 20),
            [X.screw, ROTOR[0] + 28 * Math.cos((a * Math.PI) / 180), ROTOR[1] + 28 * Math.sin((a * Math.PI) / 180)],
            '-x',
          ),
          rail: 'left',
        })),
        {
          item: '9',
          shape: shapeJoin(...[0, 1, 2].map((k) => vBelt(X.belt + 160 + k * 24, path, 21, 15))),
          near: [[X.belt + 200, -180, 70]],
          rail: 'upper',
        },
        {
          item: '10',
          shape: shapePlace(tensionerArm(), pivot),
          near: [[X.arm + 12, pivot[1] + 60, pivot[2] - 22]],
          rail: 'lower',
        },
        {
          item: '11',
          shape: shapePlace(roller(), on(X.roller)),
          near: [[X.roller + 30, pivot[1] + 96, pivot[2] - 77]],
          rail: 'lower',
        },
        { item: '12', shape: shapePlace(hexBolt(13, 92, 34), on(X.roller + 210), '-x'), rail: 'lower' },
        { item: '13', shape: shapePlace(lockNut(13), on(X.arm - 70)), rail: 'lower' },
        {
          item: '14',
          shape: shapePlace(tensionSpring(120, 12, 9, 4), [X.arm + 4, pivot[1] - 190, pivot[2] + 46], '+y'),
          rail: 'lower',
        },
        { item: '15', shape: shapePlace(bush(50, 8, 12.6), [X.arm - 100, pivot[1], pivot[2]]), rail: 'lower' },
        { item: '16', shape: shapePlace(hexBolt(15, 76, 26), [X.arm + 150, pivot[1], pivot[2]], '-x'), rail: 'lower' },
        {
          item: '17',
          shape: shapePlace(guardCover(), [X.cover, 0, 0]),
          near: [[X.cover + 66, -60, 70]],
          rail: 'upper',
        },
        ...screws.map(([y, z], k) => ({
          item: '18',
          shape: shapePlace(hexBolt(9, 20, 15), [X.cover + 150, y, z], '-x'),
          ...(k === 1 ? { near: [[X.cover + 150, y, z] as Vec], rail: 'upper' } : {}),
        })),
        ...screws.map(([y, z], k) => ({
          item: '19',
          shape: shapePlace(washer(5, 10, 2.4), [X.cover + 96, y, z]),
          ...(k === 1 ? { near: [[X.cover + 98, y, z + 8] as Vec], rail: 'upper' } : {}),
        })),
      ],
      axes: [
        [drive(-160), drive(X.cover)],
        [driven(-160), driven(X.cover)],
        [
          [X.arm - 120, pivot[1], pivot[2]],
          [X.arm + 190, pivot[1], pivot[2]],
        ],
        [on(X.arm - 80), on(X.roller + 230)],
        [drive(X.pulley - 40, 165), drive(X.pulley - 40)],
        ...screws.map(([y, z]): Vec[] => [
          [X.cover + 160, y, z],
          [X.cover, y, z],
        ]),
      ],
      rails: {
        upper: { from: [600, 60], to: [1370, 380] },
        left: { from: [60, 480], to: [300, 620] },
        lower: { from: [330, 800], to: [800, 900] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'ST43.001',
        description: 'Back plate of the belt guard',
        quantity: 1,
        partClass: 'guard',
        facts: { massKg: 5.5 },
      },
      {
        item: '2',
        partNumber: 'ST43.010',
        description: 'V-belt pulley, driving, three grooves',
        quantity: 1,
        partClass: 'pulley',
        facts: { massKg: 12, joint: ['shaft-fit'] },
      },
      {
        item: '3',
        partNumber: 'ST99.045',
        description: 'Key, 10 x 8 x 50',
        quantity: 1,
        partClass: 'key',
        partFacts: { widthMm: 10, lengthMm: 50 },
      },
      {
        item: '4',
        partNumber: 'ST96.116',
        description: 'Washer, thick, 16',
        quantity: 1,
        indenture: 2,
        attaches: '2',
        partClass: 'washer',
        partFacts: { boreMm: 17 },
      },
      {
        item: '5',
        partNumber: 'ST95.316',
        description: 'Bolt, M16 x 45',
        quantity: 1,
        indenture: 2,
        attaches: '2',
        partClass: 'bolt',
        facts: {
          thread: 'M16',
          propertyClass: '8.8',
          torqueNm: 190,
          torqueState: 'thread-lock',
          joint: ['threads-that-shake'],
        },
        partFacts: { thread: 'M16', propertyClass: '8.8', lengthMm: 45 },
      },
      {
        item: '6',
        partNumber: 'ST43.020',
        description: 'V-belt pulley, driven, three grooves',
        quantity: 1,
        partClass: 'pulley',
        facts: { massKg: 7 },
      },
      {
        item: '7',
        partNumber: 'ST43.021',
        description: 'Taper bush, 35',
        quantity: 1,
        partClass: 'bush',
        facts: { joint: ['dry-fit'] },
        partFacts: { boreMm: 35 },
      },
      {
        item: '8',
        partNumber: 'ST95.508',
        description: 'Socket screw, M10 x 20',
        quantity: 2,
        indenture: 2,
        attaches: '7',
        partClass: 'screw',
        facts: {
          stripThen: ['Turn one screw into the jacking hole until the taper bush is free'],
          thread: 'M10',
          torqueNm: 30,
          torqueState: 'dry',
        },
        partFacts: { thread: 'M10', lengthMm: 20 },
      },
      {
        item: '9',
        partNumber: 'ST43.030',
        description: 'V-belt, 17 x 2120, matched set',
        quantity: 3,
        partClass: 'v-belt',
        serialTo: '1499',
        note: 'Renew all three together, of one make and length mark',
        partFacts: { lengthMm: 2120, widthMm: 17 },
      },
      {
        item: '9',
        partNumber: 'ST43.130',
        description: 'V-belt, narrow section, 16.3 x 2120, matched set',
        quantity: 3,
        partClass: 'v-belt',
        serialFrom: '1500',
        note: 'Renew all three together, of one make and length mark',
        partFacts: { lengthMm: 2120, widthMm: 16.3 },
      },
      { item: '10', partNumber: 'ST43.040', description: 'Tensioner arm', quantity: 1, partClass: 'belt-tensioner' },
      {
        item: '11',
        partNumber: 'ST43.041',
        description: 'Tensioner roller with bearing',
        quantity: 1,
        partClass: 'roller',
        facts: { massKg: 1.4 },
      },
      {
        item: '12',
        partNumber: 'ST95.290',
        description: 'Bolt, M12 x 90',
        quantity: 1,
        indenture: 2,
        attaches: '11',
        partClass: 'bolt',
        facts: { thread: 'M12', propertyClass: '8.8', torqueNm: 79, torqueState: 'dry' },
        partFacts: { thread: 'M12', propertyClass: '8.8', lengthMm: 90 },
      },
      {
        item: '13',
        partNumber: 'ST94.112',
        description: 'Prevailing-torque nut, M12',
        quantity: 1,
        indenture: 2,
        attaches: '11',
        partClass: 'prevailing-torque-nut',
        facts: { thread: 'M12', joint: ['threads-that-shake'] },
        partFacts: { thread: 'M12', propertyClass: '8' },
      },
      {
        item: '14',
        partNumber: 'ST43.045',
        description: 'Tensioner spring',
        quantity: 1,
        partClass: 'spring',
        note: 'Under tension: unhook with a spring hook, eyes protected',
      },
      {
        item: '15',
        partNumber: 'ST43.042',
        description: 'Bush, tensioner arm',
        quantity: 1,
        indenture: 2,
        partClass: 'bush',
        partFacts: { boreMm: 16.2, outsideMm: 25 },
      },
      {
        item: '16',
        partNumber: 'ST95.380',
        description: 'Pivot bolt, M16 x 80',
        quantity: 1,
        indenture: 2,
        attaches: '10',
        partClass: 'bolt',
        facts: { thread: 'M16', propertyClass: '8.8', torqueNm: 190, torqueState: 'oiled', joint: ['pivot'] },
        partFacts: { thread: 'M16', propertyClass: '8.8', lengthMm: 80 },
      },
      {
        item: '17',
        partNumber: 'ST43.002',
        description: 'Guard cover',
        quantity: 1,
        partClass: 'guard',
        facts: { massKg: 6 },
      },
      {
        item: '18',
        partNumber: 'ST95.118',
        description: 'Screw, M8 x 18',
        quantity: 6,
        indenture: 2,
        attaches: '17',
        partClass: 'screw',
        facts: { thread: 'M8', propertyClass: '8.8', torqueNm: 25, torqueState: 'dry' },
        partFacts: { thread: 'M8', propertyClass: '8.8', lengthMm: 18 },
      },
      {
        item: '19',
        partNumber: 'ST96.008',
        description: 'Washer, 8',
        quantity: 6,
        indenture: 2,
        attaches: '17',
        partClass: 'washer',
        partFacts: { boreMm: 8.4 },
      },
    ],
    strip: ['18>19>17>14>9', '9>5>4>2>3>1', '9>8>7>6>1', '9>13>12>11', '11>16>10>15', '10>1'],
    tests: [
      'A straight edge over both pulleys touches all four rims: the pulleys run in line.',
      // Limits invented for an invented drive; that a belt is pressed at the middle of its run is common practice, no source.
      {
        text: 'Belt tension at the middle of the long run, pressed with the force that the maker gives.',
        measure: { what: 'Belt deflection', unit: 'mm', least: 8, most: 12 },
      },
      'Every screw of the guard cover is in and tight before the shaft turns.',
      'Run up slowly with everybody clear: belts run quiet, none rides higher in its groove than the others.',
    ],
  })
}
