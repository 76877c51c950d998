import { outlineCircle, outlineRounded } from '../draw/outline.ts'
import { oilSeal, oRing, taperedCone } from '../draw/parts/bearing.ts'
import { bevelGear, splines } from '../draw/parts/drive.ts'
import { circlip, hexagon, hexBolt, springWasher, washer } from '../draw/parts/fastener.ts'
import { type Shape, shapeJoin, shapePlace, shapeRing } from '../draw/shape.ts'
import { extrude, revolve, ring, rod, threadLines } from '../draw/solid.ts'
import type { Flat, Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

const on = (radius: number, degrees: number): Flat => [
  radius * Math.cos((degrees * Math.PI) / 180),
  radius * Math.sin((degrees * Math.PI) / 180),
]
const COVER_CIRCLE = 78
const coverHoles = [0, 60, 120, 180, 240, 300].map((a) => on(COVER_CIRCLE, a + 30))

/** Cast housing: rounded body, input neck to +x with ribs, round cover seat to -y, four mounting pads on top. */
function housing(): Shape {
  const body = shapePlace(
    extrude(
      outlineRounded([
        [-92, -88, 34],
        [80, -88, 34],
        [80, 88, 34],
        [-92, 88, 34],
      ]),
      -84,
      84,
    ),
    [0, 0, 0],
    '+y',
  )
  const neck = revolve([
    [76, 46],
    [76, 74],
    [84, 74, 6],
    [92, 66, 8],
    [176, 60, 2],
    [180, 60],
    [186, 66, 4],
    [200, 66, 1.5],
    [200, 46],
    [196, 46],
    [196, 44],
    [76, 44],
  ])
  const ribs = shapeRing(
    extrude(
      outlineRounded([
        [52, -3.5],
        [84, -3.5, 4],
        [84, 3.5, 4],
        [52, 3.5],
      ]),
      70,
      120,
    ),
    6,
    0,
  )
  const seat = shapePlace(
    extrude(outlineCircle(90, [0, 0], 88), 80, 98, [
      outlineCircle(63, [0, 0], 64),
      ...coverHoles.map((hole) => outlineCircle(4.5, hole, 14)),
    ]),
    [0, 0, 0],
    '-y',
  )
  const pads = [
    [-52, -46],
    [-52, 46],
    [44, -46],
    [44, 46],
  ].map(([x, y]) => shapePlace(ring(84, 98, 6, 17, 1.5), [x!, y!, 0], '+z'))
  const filler = shapePlace(ring(84, 94, 9, 18, 1.5), [-6, 0, 0], '+z')
  return shapeJoin(body, neck, ribs, seat, ...pads, filler)
}

/** Input shaft in one piece with its pinion; pinion at the origin, splined end towards +x. */
function pinionShaft(): Shape {
  const pinion = shapePlace(
    bevelGear(15, 40, { coneDegrees: 36, face: 30, bore: 4, hub: 26, hubLength: 22, depth: 9 }),
    [0, 0, 0],
    '-x',
  )
  const shaft = revolve([
    [14, 0],
    [14, 22],
    [60, 22, 1],
    [60, 19],
    [148, 19],
    [148, 17],
    [206, 17, 1],
    [206, 0],
  ])
  shaft.lines.push(...threadLines(126, 146, 19, 3))
  return shapeJoin(pinion, shaft, splines(205, 276, 6, 13, 16.5))
}

const outputShaft = (): Shape =>
  shapeJoin(
    revolve([
      [0, 0],
      [0, 17, 1.5],
      [42, 17],
      [42, 20],
      [48, 20],
      [48, 0],
    ]),
    splines(47.5, 116, 14, 19, 22.5),
    revolve([
      [115.5, 0],
      [115.5, 20],
      [176, 20],
      [176, 17],
      [232, 17, 1.5],
      [232, 0],
    ]),
    splines(190, 233, 6, 14.5, 17.6),
  )

/** Output cover: flange with six holes, bearing barrel, seal seat towards +x. */
function cover(): Shape {
  const flange = extrude(outlineCircle(90, [0, 0], 88), 0, 12, [
    outlineCircle(38, [0, 0], 48),
    ...coverHoles.map((hole) => outlineCircle(5.5, hole, 14)),
  ])
  const barrel = revolve([
    [-20, 40],
    [-20, 61, 2],
    [0.5, 62],
    [0.5, 60],
    [11, 60],
    [14, 58, 5],
    [26, 50, 6],
    [40, 47, 2],
    [40, 34],
    [32, 34],
    [32, 26],
    [26, 26],
    [26, 40],
  ])
  const ribs = shapeRing(
    extrude(
      outlineRounded([
        [40, -3],
        [74, -3, 3],
        [74, 3, 3],
        [40, 3],
      ]),
      8,
      19,
    ),
    6,
    0,
  )
  return shapeJoin(flange, barrel, ribs)
}

const plug = (across: number, magnet = false): Shape => {
  const stem = rod(-18, 0.2, across * 0.36, 1)
  stem.lines.push(...threadLines(-17, -2, across * 0.36, 2.6))
  return shapeJoin(
    hexagon(0, 9, across, {}),
    ring(-2, 0.2, across * 0.3, across * 0.62),
    stem,
    ...(magnet ? [rod(-24, -17.8, across * 0.2, 0.8)] : []),
  )
}

const at = (x: number, y = 0, z = 0): Vec => [x, y, z]

export function figure(): FigurePage {
  const X = { pinion: 292, inner: 590, spacer: 650, outer: 712, shim: 792, clip: 838, seal: 884 }
  const Y = { gear: -196, shaft: -268, bearing: -546, oring: -600, cover: -652, seal: -740, washer: -764, bolt: -850 }
  return figurePage({
    slug: 'mower-gearbox',
    title: 'Right-angle gearbox',
    number: '3-05',
    model: MODELS.mower,
    drawing: {
      width: 1400,
      margins: { top: 90, right: 90, bottom: 90, left: 90 },
      parts: [
        { item: '1', shape: housing(), near: [[60, 20, 88]], rail: 'top' },
        { item: '2', shape: shapePlace(pinionShaft(), at(X.pinion)), near: [[X.pinion + 110, 0, 12]], rail: 'east' },
        { item: '3', shape: shapePlace(taperedCone(46, 92, 27, 16), at(X.inner)), rail: 'east' },
        { item: '4', shape: shapePlace(ring(0, 22, 22, 29, 1), at(X.spacer)), rail: 'east' },
        { item: '5', shape: shapePlace(taperedCone(38, 88, 25, 16), at(X.outer + 26), '-x'), rail: 'east' },
        {
          item: '6',
          shape: shapeJoin(...[0, 7, 14].map((d) => shapePlace(ring(0, 1.4, 34, 44), at(X.shim + d)))),
          rail: 'east',
        },
        { item: '7', shape: shapePlace(circlip(38, 45, 3, { internal: true }), at(X.clip + 8)), rail: 'east' },
        { item: '8', shape: shapePlace(oilSeal(40, 90, 13), at(X.seal + 12)), rail: 'east' },
        {
          item: '9',
          shape: shapePlace(
            bevelGear(28, 74, {
              coneDegrees: 58,
              face: 30,
              bore: 20,
              hub: 34,
              hubLength: 30,
              depth: 9,
              boreSplines: 14,
            }),
            at(0, Y.gear),
            '+y',
          ),
          near: [[-40, Y.gear + 10, 44]],
          rail: 'west',
        },
        {
          item: '10',
          shape: shapePlace(outputShaft(), at(0, Y.shaft), '-y'),
          near: [[0, Y.shaft - 150, 0]],
          rail: 'south-west',
        },
        {
          item: '11',
          shape: shapeJoin(shapePlace(taperedCone(40, 80, 24), at(0, Y.bearing), '-y')),
          rail: 'south-west',
        },
        { item: '12', shape: shapePlace(oRing(61, 2.2), at(0, Y.oring), '-y'), rail: 'west' },
        { item: '13', shape: shapePlace(cover(), at(0, Y.cover), '-y'), near: [[-50, Y.cover - 12, 60]], rail: 'west' },
        { item: '14', shape: shapePlace(oilSeal(36, 68, 12), at(0, Y.seal - 14), '-y'), rail: 'south-west' },
        {
          item: '15',
          shape: shapeJoin(...coverHoles.map(([y, z]) => shapePlace(hexBolt(10, 30, 18), at(-y, Y.bolt, z), '+y'))),
          near: [[-coverHoles[4]![0], Y.bolt + 16, coverHoles[4]![1]]],
          rail: 'south-west',
        },
        {
          item: '16',
          shape: shapeJoin(
            ...coverHoles.map(([y, z]) => shapePlace(springWasher(5.5, 9.5, 3), at(-y, Y.washer - 30, z), '+y')),
          ),
          near: [[-coverHoles[3]![0], Y.washer - 28, coverHoles[3]![1]]],
          rail: 'south-west',
        },
        {
          item: '17',
          shape: shapePlace(
            shapeJoin(
              plug(22),
              revolve([
                [8, 0],
                [8, 7],
                [14, 7],
                [14, 10, 2],
                [22, 10, 3],
                [22, 0],
              ]),
            ),
            at(-6, 0, 182),
            '+z',
          ),
          rail: 'top',
        },
        {
          item: '18',
          shape: shapeJoin(
            shapePlace(washer(10, 16, 2.4), at(-6, 0, 136), '+z'),
            shapePlace(washer(10, 16, 2.4), at(40, 0, -130), '-z'),
          ),
          near: [[-6, -8, 138]],
          rail: 'top',
        },
        { item: '19', shape: shapePlace(plug(22, true), at(40, 0, -176), '-z'), rail: 'bottom' },
      ],
      axes: [
        [at(190), at(X.seal + 60)],
        [at(0, -90), at(0, Y.seal - 60)],
        [at(-6, 0, 210), at(-6, 0, 90)],
        [at(40, 0, -88), at(40, 0, -200)],
        ...coverHoles.map(([y, z]): Vec[] => [at(-y, Y.bolt - 12, z), at(-y, Y.cover, z)]),
      ],
      rails: {
        east: { from: [960, 190], to: [1370, 425] },
        west: { from: [150, 400], to: [540, 190] },
        'south-west': { from: [180, 715], to: [600, 480] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'ST50.101',
        description: 'Gearbox housing',
        quantity: 1,
        partClass: 'housing',
        facts: { massKg: 24, fillLitres: 1.4, fluid: 'gear-oil' },
      },
      {
        item: '2',
        partNumber: 'ST50.110',
        description: 'Input shaft with pinion, 15 teeth',
        quantity: 1,
        partClass: 'shaft',
        facts: { matchedWith: '9', massKg: 4.2, safetyJoint: 'pto' },
        note: 'Matched with item 9: order as a pair',
      },
      {
        item: '3',
        partNumber: 'ST50.131',
        description: 'Tapered roller bearing, 45 x 85 x 20.75',
        quantity: 1,
        partClass: 'bearing',
        facts: { joint: ['shaft-fit'] },
        partFacts: { boreMm: 45, outsideMm: 85, widthMm: 20.75 },
      },
      {
        item: '4',
        partNumber: 'ST50.132',
        description: 'Distance piece',
        quantity: 1,
        partClass: 'spacer',
        partFacts: { boreMm: 40, widthMm: 22 },
      },
      {
        item: '5',
        partNumber: 'ST50.133',
        description: 'Tapered roller bearing, 40 x 80 x 19.75',
        quantity: 1,
        partClass: 'bearing',
        facts: { joint: ['shaft-fit'] },
        partFacts: { boreMm: 40, outsideMm: 80, widthMm: 19.75 },
      },
      {
        item: '6',
        partNumber: 'ST50.135',
        description: 'Shim, 0.1 to 0.5',
        quantity: 3,
        quantityNote: 'AR',
        partClass: 'shim',
      },
      {
        item: '7',
        partNumber: 'ST98.085',
        description: 'Circlip, internal, 85',
        quantity: 1,
        indenture: 2,
        attaches: '5',
        partClass: 'circlip',
        partFacts: { outsideMm: 85 },
      },
      {
        item: '8',
        partNumber: 'ST50.140',
        description: 'Oil seal, input, 40 x 85 x 10',
        quantity: 1,
        partClass: 'oil-seal',
        facts: {
          stripFirst: ['Take the drive shaft off and block the rotor, as the manual shows'],
          fillLitres: 1.4,
          fluid: 'gear-oil',
        },
        partFacts: { boreMm: 40, outsideMm: 85, widthMm: 10 },
      },
      {
        item: '9',
        partNumber: 'ST50.112',
        description: 'Crown wheel, 28 teeth',
        quantity: 1,
        partClass: 'gear',
        facts: { matchedWith: '2', massKg: 3.8 },
        note: 'Matched with item 2: order as a pair',
      },
      {
        item: '10',
        partNumber: 'ST50.120',
        description: 'Output shaft',
        quantity: 1,
        partClass: 'shaft',
        facts: { massKg: 3.1, joint: ['in-oil'] },
      },
      {
        item: '11',
        partNumber: 'ST50.136',
        description: 'Tapered roller bearing, 35 x 72 x 18.25',
        quantity: 2,
        partClass: 'bearing',
        facts: { ends: ['DE', 'NDE'], joint: ['shaft-fit'] },
        partFacts: { boreMm: 35, outsideMm: 72, widthMm: 18.25 },
      },
      {
        item: '12',
        partNumber: 'ST50.151',
        description: 'O-ring, cover, 120 x 4',
        quantity: 1,
        partClass: 'o-ring',
        partFacts: { boreMm: 120, widthMm: 4 },
      },
      {
        item: '13',
        partNumber: 'ST50.150',
        description: 'Output cover',
        quantity: 1,
        partClass: 'cover',
        facts: { massKg: 4, fillLitres: 1.4, fluid: 'gear-oil' },
      },
      {
        item: '14',
        partNumber: 'ST50.141',
        description: 'Oil seal, output, 35 x 62 x 10',
        quantity: 1,
        partClass: 'oil-seal',
        facts: { sitsOn: '13', fillLitres: 1.4, fluid: 'gear-oil' },
        partFacts: { boreMm: 35, outsideMm: 62, widthMm: 10 },
      },
      {
        item: '15',
        partNumber: 'ST95.230',
        description: 'Bolt, M10 x 30',
        quantity: 6,
        indenture: 2,
        attaches: '13',
        partClass: 'bolt',
        facts: { thread: 'M10', propertyClass: '8.8', torqueNm: 46, torqueState: 'dry' },
        partFacts: { thread: 'M10', propertyClass: '8.8', lengthMm: 30 },
      },
      {
        item: '16',
        partNumber: 'ST96.010',
        description: 'Spring washer, 10',
        quantity: 6,
        indenture: 2,
        attaches: '13',
        partClass: 'spring-washer',
        partFacts: { boreMm: 10.2 },
      },
      {
        item: '17',
        partNumber: 'ST50.160',
        description: 'Filler plug with breather, M18 x 1.5',
        quantity: 1,
        partClass: 'plug',
        facts: { thread: 'M18x1.5', joint: ['oil-fill'] },
      },
      {
        item: '18',
        partNumber: 'ST96.318',
        description: 'Sealing washer, copper, 18',
        quantity: 2,
        indenture: 2,
        partClass: 'crush-washer',
        partFacts: { boreMm: 18.2 },
      },
      {
        item: '19',
        partNumber: 'ST50.161',
        description: 'Drain plug, magnetic, M18 x 1.5',
        quantity: 1,
        partClass: 'plug',
        facts: { thread: 'M18x1.5', fillLitres: 1.4, fluid: 'gear-oil', torqueNm: 35, torqueState: 'dry' },
      },
    ],
    strip: ['19>18', '17>18', '19>15>16>13>12', '13>14', '13>10>9>11', '19>8>7>6>5>4>3>2', '9>2', '2>1', '11>1'],
    tests: [
      'Turn the input by hand: even drag all round, backlash within the maker’s figure.',
      'Oil at the level mark with the mower standing level.',
      'Run ten minutes without load, everybody clear: no knocking, housing hand-warm, no leak at seals and cover.',
    ],
  })
}
