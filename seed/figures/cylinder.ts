import { outlineArc, outlineCircle } from '../draw/outline.ts'
import { oilSeal, oRing } from '../draw/parts/bearing.ts'
import { greaseNipple, hexagon, lockNut, splitPin, washer } from '../draw/parts/fastener.ts'
import { clevisPin } from '../draw/parts/joint.ts'
import { type Shape, shapeFace, shapeJoin, shapeMove, shapePlace } from '../draw/shape.ts'
import { extrude, revolve, ring, rod, shadeLines, threadLines } from '../draw/solid.ts'
import type { Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

/** Eye across the y axis, its middle at x = 0, with a foot that runs into the barrel or the rod towards +x. */
const eye = (radius: number, hole: number, foot: number): Shape =>
  shapeFace(
    extrude(
      [
        ...outlineArc(radius, -80, 80, [0, 0]).map(([y, z]) => [y, z] as const),
        [-foot, radius * 0.72],
        [-foot, -radius * 0.72],
      ],
      -27,
      27,
      [outlineCircle(hole, [0, 0], 40)],
    ),
    '+y',
  )

function barrel(length: number): Shape {
  const body = revolve([
    [0, 0],
    [0, 44],
    [10, 56, 3],
    [30, 56],
    [length - 44, 56],
    [length - 44, 61, 1.5],
    [length, 61, 2],
    [length, 50],
    [length - 30, 50],
    [length - 30, 46],
    [40, 46],
    [40, 0],
  ])
  body.lines.push(
    ...threadLines(length - 2, length - 26, 49.3, 4),
    ...shadeLines(50, length - 60, 56, [214, 224, 232], 60),
  )
  const port = shapePlace(ring(52, 78, 11, 19, 1.5), [110, 0, 0], '+z')
  return shapeJoin(shapeMove(eye(34, 20, 50), [-44, 0, 0]), body, port)
}

/** Rod with its eye at the outer end; threaded tail for the piston nut at x = 0. */
function pistonRod(length: number): Shape {
  const bar = revolve([
    [0, 0],
    [0, 12],
    [2, 14],
    [40, 14],
    [40, 17],
    [84, 17],
    [84, 25, 1.5],
    [length - 40, 25],
    [length - 30, 38, 4],
    [length, 38, 3],
    [length, 0],
  ])
  bar.lines.push(...threadLines(3, 38, 14, 3.2), ...shadeLines(110, length - 60, 25, [218, 230], 50))
  return shapeJoin(bar, shapeMove(shapePlace(eye(34, 20, 46), [0, 0, 0], '-x'), [length + 34, 0, 0]))
}

const piston = (): Shape =>
  revolve([
    [0, 17],
    [0, 43, 1],
    [8, 45.5],
    [14, 45.5],
    [14, 39],
    [27, 39],
    [27, 45.5],
    [34, 45.5],
    [34, 41.5],
    [46, 41.5],
    [46, 45.5],
    [54, 45.5],
    [56, 43],
    [56, 17],
  ])

function gland(): Shape {
  const head = revolve([
    [0, 27],
    [0, 45],
    [4, 46],
    [16, 46],
    [16, 41.5],
    [24, 41.5],
    [24, 46],
    [30, 46],
    [30, 49.5],
    [62, 49.5],
    [62, 60, 1],
    [86, 60, 3],
    [86, 36],
    [76, 36],
    [76, 27],
  ])
  head.lines.push(...threadLines(32, 60, 49.5, 3.6))
  const holes = [30, 90, 150, 210, 270, 330].map((a) => {
    const [y, z] = [48 * Math.cos((a * Math.PI) / 180), 48 * Math.sin((a * Math.PI) / 180)]
    return shapeMove(ring(85.4, 86.4, 3.6, 4.4), [0, y, z])
  })
  return shapeJoin(head, ...holes)
}

/** Square-section ring cut across, as a wear ring is. */
const wearRing = (): Shape => extrude([...outlineArc(46, 12, 348), ...outlineArc(42, 348, 12)], 0, 12)

const at = (x: number, y = 0, z = 0): Vec => [x, y, z]

export function figure(): FigurePage {
  const X = {
    nut: 510,
    seal: 585,
    piston: 640,
    wear: 745,
    rodRing: 805,
    glandRing: 862,
    rodSeal: 925,
    gland: 985,
    wiper: 1120,
    rod: 1190,
  }
  const rodLength = 470
  const eyes = [-44, X.rod + rodLength + 34]
  return figurePage({
    slug: 'cylinder',
    title: 'Tipping cylinder',
    number: '6-02',
    model: MODELS.trailer,
    drawing: {
      width: 1400,
      view: { yawDegrees: -55, pitchDegrees: 30 },
      margins: { top: 100, right: 110, bottom: 90, left: 100 },
      parts: [
        { item: '1', shape: barrel(440), near: [at(250, 0, 56)], rail: 'upper' },
        {
          item: '2',
          shape: shapePlace(
            shapeJoin(
              hexagon(0, 12, 26, {}),
              (() => {
                const stem = rod(-26, 0.2, 9.5, 1)
                stem.lines.push(...threadLines(-25, -3, 9.5, 2.8))
                return stem
              })(),
              (() => {
                const stem = rod(11, 34, 8.5, 1)
                stem.lines.push(...threadLines(15, 33, 8.5, 2.8))
                return stem
              })(),
            ),
            at(110, 0, 172),
            '+z',
          ),
          rail: 'upper',
        },
        { item: '3', shape: shapePlace(washer(10, 17, 3), at(110, 0, 112), '+z'), rail: 'upper' },
        { item: '4', shape: shapePlace(lockNut(28, 42), at(X.nut + 24), '-x'), rail: 'upper' },
        { item: '5', shape: shapePlace(ring(0, 12, 39.5, 46.5, 2), at(X.seal)), rail: 'lower' },
        { item: '6', shape: shapePlace(piston(), at(X.piston)), rail: 'upper' },
        { item: '7', shape: shapePlace(wearRing(), at(X.wear)), rail: 'lower' },
        { item: '8', shape: shapePlace(oRing(17, 2.4), at(X.rodRing)), rail: 'upper' },
        { item: '9', shape: shapePlace(oRing(44, 2.6), at(X.glandRing)), rail: 'lower' },
        { item: '10', shape: shapePlace(oilSeal(50, 72, 11), at(X.rodSeal)), rail: 'upper' },
        { item: '11', shape: shapePlace(gland(), at(X.gland)), near: [at(X.gland + 74, -10, 58)], rail: 'upper' },
        {
          item: '12',
          shape: shapePlace(
            revolve([
              [0, 27],
              [0, 36],
              [7, 36, 1],
              [8, 31],
              [13, 26.5],
              [12, 25.4],
              [6, 27],
            ]),
            at(X.wiper),
          ),
          rail: 'lower',
        },
        {
          item: '13',
          shape: shapePlace(pistonRod(rodLength), at(X.rod)),
          near: [at(X.rod + 250, 0, 24)],
          rail: 'upper',
        },
        {
          item: '14',
          shape: shapeJoin(...eyes.map((x) => shapePlace(clevisPin(30, 104), at(x, -230), '+y'))),
          near: [at(eyes[1]!, -190, 10)],
          rail: 'lower',
        },
        {
          item: '15',
          shape: shapeJoin(...eyes.map((x) => shapePlace(washer(15.5, 27, 4), at(x, 96), '+y'))),
          near: [at(eyes[1]!, 96, -20)],
          at: [1340, 590],
        },
        {
          item: '16',
          shape: shapeJoin(...eyes.map((x) => shapePlace(splitPin(8, 56), at(x, 136, 42), '-z'))),
          near: [at(eyes[1]!, 136, 34)],
          rail: 'east',
        },
        {
          item: '17',
          shape: shapeJoin(
            shapePlace(greaseNipple(13), at(eyes[0]!, 0, 76), '+z'),
            shapePlace(greaseNipple(13), at(eyes[1]!, 0, 76), '+z'),
          ),
          near: [at(eyes[1]!, 0, 86)],
          rail: 'upper',
        },
        {
          item: '18',
          shape: shapeJoin(...eyes.map((x) => shapePlace(ring(0, 52, 15.3, 20, 1), at(x, -108), '+y'))),
          near: [at(eyes[1]!, -84, -6)],
          at: [1238, 668],
        },
      ],
      axes: [
        [at(470), at(X.rod - 10)],
        [at(110, 0, 214), at(110, 0, 70)],
        ...eyes.flatMap((x): Vec[][] => [
          [at(x, -250), at(x, 150)],
          [at(x, 0, 104), at(x, 0, 26)],
          [at(x, 136, 60), at(x, 136)],
        ]),
      ],
      rails: {
        upper: { from: [250, 50], to: [1290, 420] },
        lower: { from: [300, 400], to: [1150, 700] },
        east: { from: [1350, 330], to: [1350, 640] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'DM62101',
        description: 'Cylinder barrel, 90 bore',
        quantity: 1,
        partClass: 'cylinder',
        facts: { massKg: 19, fillLitres: 3.5, fluid: 'hydraulic-oil' },
      },
      {
        item: '2',
        partNumber: 'DM62118',
        description: 'Restrictor, lowering, M18 x 1.5',
        quantity: 1,
        indenture: 2,
        partClass: 'valve',
        facts: { thread: 'M18x1.5', fillLitres: 3.5, fluid: 'hydraulic-oil', joint: ['pressure-seal'] },
      },
      {
        item: '3',
        partNumber: 'DM62119',
        description: 'Bonded seal, 18',
        quantity: 1,
        indenture: 2,
        partClass: 'sealing-washer',
        facts: { joint: ['pressure-seal'] },
        partFacts: { boreMm: 18 },
      },
      {
        item: '4',
        partNumber: 'DM62124',
        description: 'Locking nut, piston, M24 x 2',
        quantity: 1,
        indenture: 2,
        attaches: '6',
        partClass: 'prevailing-torque-nut',
        facts: { thread: 'M24x2', torqueNm: 400, torqueState: 'dry' },
        partFacts: { thread: 'M24x2' },
      },
      {
        item: '5',
        partNumber: 'DM62131',
        description: 'Piston seal, 90 x 78 x 12',
        quantity: 1,
        indenture: 2,
        partClass: 'oil-seal',
        facts: { joint: ['pressure-seal'], seals: ['6'] },
        partFacts: { boreMm: 78, outsideMm: 90, widthMm: 12 },
      },
      {
        item: '6',
        partNumber: 'DM62130',
        description: 'Piston, 90',
        quantity: 1,
        partClass: 'piston',
        facts: { sitsOn: '13', massKg: 2.3 },
        partFacts: { outsideMm: 90 },
      },
      {
        item: '7',
        partNumber: 'DM62132',
        description: 'Wear ring, bronze, 90 x 84 x 10',
        quantity: 1,
        indenture: 2,
        partClass: 'bush',
        serialTo: '2249',
        partFacts: { boreMm: 84, outsideMm: 90, widthMm: 10 },
      },
      {
        item: '7',
        partNumber: 'DM62132A',
        description: 'Wear ring, fabric, 90 x 84 x 12',
        quantity: 1,
        indenture: 2,
        partClass: 'bush',
        serialFrom: '2250',
        partFacts: { boreMm: 84, outsideMm: 90, widthMm: 12 },
      },
      {
        item: '8',
        partNumber: 'DM62133',
        description: 'O-ring, piston to rod, 32 x 3',
        quantity: 1,
        indenture: 2,
        partClass: 'o-ring',
        facts: { joint: ['pressure-seal'] },
        partFacts: { boreMm: 32, widthMm: 3 },
      },
      {
        item: '9',
        partNumber: 'DM62141',
        description: 'O-ring, gland to barrel, 84 x 3.5',
        quantity: 1,
        indenture: 2,
        partClass: 'o-ring',
        facts: { joint: ['pressure-seal'], seals: ['11'] },
        partFacts: { boreMm: 84, widthMm: 3.5 },
      },
      {
        item: '10',
        partNumber: 'DM62142',
        description: 'Rod seal, 50 x 65 x 10',
        quantity: 1,
        indenture: 2,
        partClass: 'oil-seal',
        facts: { joint: ['pressure-seal'], seals: ['11'] },
        partFacts: { boreMm: 50, outsideMm: 65, widthMm: 10 },
      },
      {
        item: '11',
        partNumber: 'DM62140',
        description: 'Gland, screwed',
        quantity: 1,
        partClass: 'other',
        facts: { massKg: 2.8, fillLitres: 3.5, fluid: 'hydraulic-oil' },
      },
      {
        item: '12',
        partNumber: 'DM62143',
        description: 'Wiper, 50 x 60 x 7',
        quantity: 1,
        indenture: 2,
        partClass: 'oil-seal',
        facts: { seals: ['11'] },
        partFacts: { boreMm: 50, outsideMm: 60, widthMm: 7 },
      },
      {
        item: '13',
        partNumber: 'DM62150',
        description: 'Piston rod, 50',
        quantity: 1,
        partClass: 'shaft',
        facts: { massKg: 12.5 },
        note: 'Chrome scored or pitted: renew, or the new rod seal goes at once',
      },
      {
        item: '14',
        partNumber: 'DM62160',
        description: 'Clevis pin with head, 30 x 95',
        quantity: 2,
        partClass: 'clevis-pin',
        facts: { clevisPinMm: 30, splitPinHoleMm: 8, joint: ['grease-nipple'] },
        partFacts: { outsideMm: 30, lengthMm: 95 },
        note: 'Body empty and held up by its prop, pressure let off, before a pin is drawn: see the maker’s manual',
      },
      {
        item: '15',
        partNumber: 'DM62161',
        description: 'Washer, 30',
        quantity: 2,
        indenture: 2,
        attaches: '14',
        partClass: 'washer',
        partFacts: { boreMm: 31 },
      },
      {
        item: '16',
        partNumber: 'DM62162',
        description: 'Split pin, 8 x 50',
        quantity: 2,
        indenture: 2,
        attaches: '14',
        partClass: 'split-pin',
        partFacts: { splitPinMm: 8, lengthMm: 50 },
        facts: {
          stripFirst: ['Empty body up on its prop, pressure let off, hose off and capped'],
          fitThen: ['Hose on, then work the air out and make up the oil'],
        },
      },
      {
        item: '17',
        partNumber: 'DM62165',
        description: 'Grease nipple, M8 x 1',
        quantity: 2,
        indenture: 2,
        partClass: 'grease-nipple',
        facts: { thread: 'M8x1', joint: ['grease-nipple'] },
        partFacts: { thread: 'M8x1' },
      },
      {
        item: '18',
        partNumber: 'DM62166',
        description: 'Bush, cylinder eye, 30 x 38 x 50',
        quantity: 2,
        partClass: 'bush',
        partFacts: { boreMm: 30, outsideMm: 38, widthMm: 50 },
      },
    ],
    strip: ['16>15>14>11>13>4>6>8', '14>2>3', '2>11', '14>18', '6>5 7', '6>9 10 12', '17>18', '13>1'],
    tests: [
      'Raised empty and lowered three times, everybody clear: air worked out, oil level made up with the body down.',
      'Raised under load and held for ten minutes: rod dry, body sinks no more than the maker allows.',
      'Pins seated, split pins spread, both eyes greased.',
      'Body prop and its catch in order.',
    ],
  })
}
