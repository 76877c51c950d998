import { outlineSector } from '../draw/outline.ts'
import { circlip, greaseNipple, hexBolt, lockNut } from '../draw/parts/fastener.ts'
import { jointCross, linkChain, rollPin, splinedTube, yoke } from '../draw/parts/joint.ts'
import { coilSpring } from '../draw/parts/spring.ts'
import { type Shape, shapeFace, shapeJoin, shapeMove, shapePlace, shapeTurn } from '../draw/shape.ts'
import { extrude, revolve, ring, rod, shadeLines } from '../draw/solid.ts'
import type { Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

const INNER_YOKE = { hubRadius: 32, hubLength: 46, bore: 24, gap: 29, earThickness: 14, reach: 52, eye: 14 }
const END_YOKE = { hubRadius: 33, hubLength: 74, bore: 19, gap: 29, earThickness: 14, reach: 52, eye: 14, splines: 6 }

/** End yoke of the mower side: its hub is clamped across by a bolt that lies in the groove of the stub. */
const clampYoke = (): Shape =>
  shapeJoin(yoke(END_YOKE), shapeMove(shapeFace(ring(-24, 24, 7, 14, 1.5), '+y'), [-46, 0, 34]))

/** End yoke of the tractor side: a boss holds the spring-loaded pin. */
const releaseYoke = (): Shape =>
  shapeJoin(
    shapeTurn(shapeFace(yoke(END_YOKE), '-x'), 'x', 90),
    shapePlace(ring(28, 46, 9, 15, 1.5), [44, 0, 0], '+z'),
    ring(66, 72, 32, 37, 1.5),
  )

/** Bell of the guard: wide end at x = 0, two folds, neck towards +x. */
const guardCone = (): Shape =>
  revolve([
    [0, 64],
    [0, 69],
    [8, 69, 1],
    [10, 65],
    [32, 61, 1],
    [36, 65, 2],
    [44, 64, 2],
    [47, 58],
    [70, 54, 1],
    [74, 58, 2],
    [82, 57, 2],
    [86, 48, 3],
    [128, 46],
    [128, 42],
    [84, 43, 3],
    [70, 50],
  ])

/** Slotted plastic ring that runs in the groove of the yoke, with three lugs that lock into the bell. */
const guardBearing = (inner: number): Shape =>
  shapeJoin(
    extrude(outlineSector(inner, inner + 9, 100, 440), 0, 16),
    ...[150, 270, 390].map((a) => extrude(outlineSector(inner + 8, inner + 15, a - 9, a + 9), 3, 13)),
  )

const guardTube = (length: number, radius: number): Shape => {
  const tube = ring(0, length, radius - 3, radius)
  tube.lines.push(...shadeLines(14, length - 14, radius, [214, 226, 236], 40))
  return tube
}

const at = (x: number, y = 0, z = 0): Vec => [x, y, z]
const ARMS = ['+y', '-y', '+z', '-z'] as const
const clipsAt = (x: number): Shape =>
  shapeJoin(
    ...ARMS.map((way) => {
      const away = 108
      const [sign, axis] = [way[0] === '+' ? 1 : -1, way[1]]
      return shapePlace(
        circlip(10.5, 14.5, 2.4, { internal: true }),
        axis === 'y' ? [x, sign * away, 0] : [x, 0, sign * away],
        way,
      )
    }),
  )

export function figure(): FigurePage {
  const X = { clamp: 0, one: 190, inner: 318, outerTube: 400, innerTube: 850, second: 1324, two: 1450, release: 1566 }
  const G = { z: -330, ring: 310, cone: 385, outer: 560, inner: 960, coneTwo: 1440, ringTwo: 1480 }
  const outerTube = splinedTube(X.outerTube, X.outerTube + 380, {
    teeth: 8,
    bore: 31,
    root: 22,
    tip: 26,
    inside: true,
  })
  outerTube.lines.push(...shadeLines(X.outerTube + 14, X.outerTube + 366, 31, [214, 226, 236], 40))
  return figurePage({
    slug: 'pto-shaft',
    title: 'PTO drive shaft',
    number: '3-07',
    model: MODELS.mower,
    drawing: {
      width: 1400,
      view: { yawDegrees: -55, pitchDegrees: 30 },
      margins: { top: 120, right: 120, bottom: 90, left: 90 },
      parts: [
        { item: '1', shape: shapePlace(clampYoke(), at(X.clamp)), near: [[-50, -20, 20]], rail: 'upper' },
        { item: '2', shape: shapePlace(hexBolt(12, 62, 24), at(-46, -120, 34), '+y'), at: [72, 268] },
        { item: '3', shape: shapePlace(lockNut(12), at(-46, 90, 34), '+y'), rail: 'upper' },
        {
          item: '4',
          shape: shapeJoin(
            shapePlace(jointCross(38, 9.5, 14, 14), at(X.one)),
            shapePlace(jointCross(38, 9.5, 14, 14), at(X.two)),
          ),
          near: [at(X.one, 0, 72)],
          rail: 'upper',
        },
        {
          item: '5',
          shape: shapeJoin(clipsAt(X.one), clipsAt(X.two)),
          near: [at(X.one, 0, 108)],
          rail: 'upper',
        },
        {
          item: '6',
          shape: shapeJoin(
            ...[X.one, X.two].map((x) => shapePlace(shapeTurn(greaseNipple(11), 'y', 0), [x + 46, -34, 34], '+x')),
          ),
          near: [[X.one + 52, -34, 34]],
          rail: 'upper',
        },
        {
          item: '7',
          shape: shapePlace(shapeTurn(yoke(INNER_YOKE), 'x', 90), at(X.inner), '-x'),
          near: [at(X.inner - 10, -10, 40)],
          rail: 'upper',
        },
        {
          item: '8',
          shape: shapeJoin(
            shapePlace(rollPin(66, 5), at(X.inner + 30, 0, 84), '+z'),
            shapePlace(rollPin(66, 5), at(X.second - 30, 0, 84), '+z'),
          ),
          near: [at(X.inner + 30, 0, 120)],
          rail: 'upper',
        },
        { item: '9', shape: outerTube, near: [at(X.outerTube + 220, 0, 31)], rail: 'upper' },
        {
          item: '10',
          shape: splinedTube(X.innerTube, X.innerTube + 400, {
            teeth: 8,
            bore: 15,
            root: 20,
            tip: 24.5,
            inside: false,
          }),
          near: [at(X.innerTube + 180, 0, 24)],
          rail: 'upper',
        },
        {
          item: '11',
          shape: shapePlace(yoke(INNER_YOKE), at(X.second)),
          near: [at(X.second - 8, -10, 24)],
          rail: 'upper',
        },
        {
          item: '12',
          shape: shapePlace(releaseYoke(), at(X.release)),
          near: [at(X.release + 64, -30, -14)],
          rail: 'east',
        },
        {
          item: '13',
          shape: shapePlace(
            shapeJoin(
              rod(-34, 0.2, 7.5, 1.5),
              ring(-8, -3, 7, 11, 0.6),
              rod(0, 16, 5.5),
              revolve([
                [14, 0],
                [14, 12, 2],
                [24, 14, 4],
                [32, 10, 4],
                [32, 0],
              ]),
            ),
            at(X.release + 44, 0, 172),
            '+z',
          ),
          rail: 'east',
        },
        {
          item: '14',
          shape: shapePlace(coilSpring(38, 10, 2.6, 6), at(X.release + 44, 0, 74), '+z'),
          rail: 'east',
        },
        {
          item: '15',
          shape: shapePlace(guardBearing(36), at(G.ring, 0, G.z)),
          rail: 'lower',
        },
        {
          item: '16',
          shape: shapePlace(guardBearing(31), at(G.ringTwo + 40, 0, G.z)),
          rail: 'lower',
        },
        {
          item: '17',
          shape: shapeJoin(
            shapePlace(guardCone(), at(G.cone, 0, G.z)),
            shapePlace(guardCone(), at(G.coneTwo, 0, G.z), '-x'),
          ),
          near: [at(G.cone + 30, -62, G.z - 10)],
          rail: 'lower',
        },
        {
          item: '18',
          shape: shapePlace(guardTube(350, 43), at(G.outer, 0, G.z)),
          near: [at(G.outer + 190, -40, G.z - 20)],
          rail: 'lower',
        },
        {
          item: '19',
          shape: shapePlace(guardTube(300, 37), at(G.inner, 0, G.z)),
          near: [at(G.inner + 150, -34, G.z - 16)],
          rail: 'lower',
        },
        {
          item: '20',
          shape: shapeJoin(
            ...[G.cone + 104, G.coneTwo - 104].map((x) => shapePlace(linkChain(8, 22, 2.3), at(x, -52, G.z - 60))),
          ),
          near: [at(G.cone + 104, -52, G.z - 150)],
          at: [432, 690],
        },
      ],
      axes: [
        [at(-120), at(X.release + 120)],
        [at(G.ring - 40, 0, G.z), at(G.ringTwo + 90, 0, G.z)],
        ...[X.one, X.two].map((x): Vec[] => [at(x + 66, -34, 34), at(x, -34, 34)]),
        [at(-46, -150, 34), at(-46, 130, 34)],
        ...[X.one, X.two].flatMap((x): Vec[][] => [
          [at(x, -130), at(x, 130)],
          [at(x, 0, -130), at(x, 0, 130)],
        ]),
        [at(X.inner + 30, 0, 160), at(X.inner + 30, 0, 30)],
        [at(X.second - 30, 0, 160), at(X.second - 30, 0, 30)],
        [at(X.release + 44, 0, 220), at(X.release + 44, 0, 40)],
      ],
      rails: {
        upper: { from: [160, 60], to: [1370, 420] },
        east: { from: [1362, 380], to: [1362, 620] },
        lower: { from: [60, 430], to: [1290, 940] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'ST60.110',
        description: 'Yoke, mower end, 1 3/8 inch, 6 splines, clamp bolt',
        quantity: 1,
        partClass: 'fork',
        facts: { safetyJoint: 'pto', joint: ['shaft-fit'] },
      },
      {
        item: '2',
        partNumber: 'ST95.262',
        description: 'Clamp bolt, M12 x 65, 10.9',
        quantity: 1,
        indenture: 2,
        attaches: '1',
        partClass: 'bolt',
        facts: {
          thread: 'M12',
          propertyClass: '10.9',
          torqueNm: 110,
          torqueState: 'dry',
          safetyJoint: 'pto',
          joint: ['threads-that-shake'],
        },
        partFacts: { thread: 'M12', propertyClass: '10.9', lengthMm: 65 },
      },
      {
        item: '3',
        partNumber: 'ST94.118',
        description: 'Locking nut, M12',
        quantity: 1,
        indenture: 3,
        attaches: '2',
        partClass: 'prevailing-torque-nut',
        facts: { thread: 'M12', torqueNm: 110, torqueState: 'dry', safetyJoint: 'pto' },
        partFacts: { thread: 'M12' },
      },
      {
        item: '4',
        partNumber: 'ST60.120',
        description: 'Cross with bearing cups, 27 x 74.6',
        quantity: 2,
        partClass: 'joint-cross',
        facts: { safetyJoint: 'pto', joint: ['grease-nipple'] },
        partFacts: { outsideMm: 27, lengthMm: 74.6 },
      },
      {
        item: '5',
        partNumber: 'ST98.027',
        description: 'Circlip, internal, 27',
        quantity: 8,
        indenture: 2,
        attaches: '4',
        partClass: 'circlip',
        facts: { safetyJoint: 'pto' },
        partFacts: { outsideMm: 27 },
      },
      {
        item: '6',
        partNumber: 'ST97.106',
        description: 'Grease nipple, M6',
        quantity: 2,
        indenture: 2,
        partClass: 'grease-nipple',
        facts: { thread: 'M6', joint: ['grease-nipple'] },
        partFacts: { thread: 'M6' },
      },
      {
        item: '7',
        partNumber: 'ST60.131',
        description: 'Yoke, outer tube',
        quantity: 1,
        partClass: 'fork',
        facts: { safetyJoint: 'pto' },
      },
      {
        item: '8',
        partNumber: 'ST97.310',
        description: 'Roll pin, 10 x 65',
        quantity: 2,
        indenture: 2,
        partClass: 'roll-pin',
        facts: { safetyJoint: 'pto' },
        partFacts: { outsideMm: 10, lengthMm: 65 },
      },
      {
        item: '9',
        partNumber: 'ST60.140',
        description: 'Outer tube, splined',
        quantity: 1,
        partClass: 'shaft',
        facts: { massKg: 4.4, safetyJoint: 'pto', joint: ['shaft-fit'] },
        note: 'Shortened for the tractor as the maker’s manual says: both tubes and both guard tubes alike',
      },
      {
        item: '10',
        partNumber: 'ST60.141',
        description: 'Inner tube, splined',
        quantity: 1,
        partClass: 'shaft',
        facts: { massKg: 3.9, safetyJoint: 'pto', joint: ['shaft-fit'] },
      },
      {
        item: '11',
        partNumber: 'ST60.132',
        description: 'Yoke, inner tube',
        quantity: 1,
        partClass: 'fork',
        facts: { safetyJoint: 'pto' },
      },
      {
        item: '12',
        partNumber: 'ST60.111',
        description: 'Yoke, tractor end, 1 3/8 inch, 6 splines, quick-release',
        quantity: 1,
        partClass: 'fork',
        facts: { safetyJoint: 'pto', joint: ['shaft-fit'] },
      },
      {
        item: '13',
        partNumber: 'ST60.115',
        description: 'Quick-release pin',
        quantity: 1,
        indenture: 2,
        partClass: 'pin',
        facts: { safetyJoint: 'pto' },
      },
      {
        item: '14',
        partNumber: 'ST60.116',
        description: 'Spring, quick-release pin',
        quantity: 1,
        indenture: 2,
        partClass: 'spring',
        facts: { safetyJoint: 'pto' },
      },
      {
        item: '15',
        partNumber: 'ST60.151',
        description: 'Guard bearing, outer tube',
        quantity: 1,
        partClass: 'bush',
        serialTo: '1499',
        facts: { safetyJoint: 'pto' },
      },
      {
        item: '15',
        partNumber: 'ST60.153',
        description: 'Guard bearing, outer tube, with grease nipple',
        quantity: 1,
        partClass: 'bush',
        serialFrom: '1500',
        facts: { safetyJoint: 'pto', joint: ['grease-nipple'] },
      },
      {
        item: '16',
        partNumber: 'ST60.152',
        description: 'Guard bearing, inner tube',
        quantity: 1,
        partClass: 'bush',
        facts: { safetyJoint: 'pto' },
      },
      {
        item: '17',
        partNumber: 'ST60.160',
        description: 'Guard cone',
        quantity: 2,
        partClass: 'guard',
        facts: { safetyJoint: 'pto' },
        note: 'Split or missing: the shaft must not run',
      },
      {
        item: '18',
        partNumber: 'ST60.161',
        description: 'Guard tube, outer',
        quantity: 1,
        partClass: 'guard',
        facts: { safetyJoint: 'pto' },
      },
      {
        item: '19',
        partNumber: 'ST60.162',
        description: 'Guard tube, inner',
        quantity: 1,
        partClass: 'guard',
        facts: { safetyJoint: 'pto' },
      },
      {
        item: '20',
        partNumber: 'ST60.165',
        description: 'Safety chain, guard',
        quantity: 2,
        indenture: 2,
        partClass: 'chain',
        facts: { stripFirst: ['Tractor stopped and key out: take the shaft off at both ends'], safetyJoint: 'pto' },
      },
    ],
    strip: [
      '3>2>1',
      '20>17>15>18',
      '17>16>19',
      '18>5',
      '19>5',
      '6>5>4',
      '5>1>4',
      '5>12>4',
      '13>14>12',
      '4>7 11',
      '8>7>9',
      '8>11>10',
    ],
    tests: [
      'Guard tubes and cones whole; they turn freely on the shaft and stand still when held.',
      'Both safety chains hooked up, so that the guard cannot turn and the chains do not carry the shaft.',
      'Quick-release pin springs out by itself; the yoke cannot be pulled off the tractor’s shaft.',
      'Inner yokes stand in line; tubes slide freely and overlap by the maker’s least figure at the longest reach.',
      'Slow run-up with everybody clear: no knocking, no shaking.',
    ],
  })
}
