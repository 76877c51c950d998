import { outlineCircle, outlineLink, outlineRounded } from '../draw/outline.ts'
import { bush } from '../draw/parts/bearing.ts'
import { hexBolt, hexNut, lockNut, splitPin, washer } from '../draw/parts/fastener.ts'
import { tensionSpring } from '../draw/parts/spring.ts'
import { type Shape, shapeJoin, shapeMove, shapePlace, shapeTurn } from '../draw/shape.ts'
import { extrude, revolve, ring, rod, threadLines, tube } from '../draw/solid.ts'
import { type Flat, radians, type Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

const on = (radius: number, degrees: number): Flat => [
  radius * Math.cos(radians(degrees)),
  radius * Math.sin(radians(degrees)),
]

/** Lean of the lever over the level; the pawl and the grip lie along it. */
const LEAN = 38

/** Mounting bracket with the toothed quadrant, pivot hole at the origin, two bolt slots in its foot. */
function bracket(): Shape {
  const teeth = Array.from({ length: 13 }, (_, k): Flat[] => {
    const a = 12 + k * 7
    return [on(104, a), on(115, a + 1), on(115, a + 2.5), on(104, a + 6)]
  }).flat()
  const plate = extrude(
    [
      ...teeth,
      ...outlineRounded([
        [-34, 92, 8],
        [-34, 10, 10],
        [-62, -60, 10],
        [-62, -104],
        [86, -104],
        [86, -60, 20],
        [46, -20, 30],
        [80, 14, 10],
      ]),
    ],
    0,
    9,
    [outlineCircle(8, [0, 0], 20)],
  )
  const foot = extrude(
    outlineRounded([
      [-62, -104],
      [86, -104],
      [86, -95],
      [-62, -95],
    ]),
    -64,
    9.2,
  )
  const holes = [-34, 58].map((y) => shapeMove(shapePlace(ring(-0.4, 0.6, 7, 11), [0, 0, 0], '+z'), [-34, y, -95]))
  return shapeJoin(plate, foot, ...holes)
}

/** Hand lever: flat bar from the cable eye below the pivot to the tube of the handle. */
function lever(): Shape {
  const blade = extrude(outlineLink([0, 0], 26, on(150, LEAN), 15), 0, 8, [
    outlineCircle(10, [0, 0], 20),
    outlineCircle(5, on(92, LEAN), 14),
  ])
  const tail = extrude(outlineLink([0, 0], 22, [-16, -78], 14), 0.4, 7.6, [
    outlineCircle(5.2, [-16, -78], 16),
    outlineCircle(10, [0, 0], 20),
  ])
  const handle = shapeTurn(shapePlace(rod(138, 330, 13, 1.5), [4, 0, 0], '+y'), 'x', LEAN)
  return shapeJoin(blade, tail, handle)
}

const grip = (): Shape => {
  const body = revolve([
    [0, 13.5],
    [0, 21, 3],
    [8, 21, 3],
    [12, 18, 2],
    [128, 19, 2],
    [140, 22, 6],
    [148, 16, 6],
    [148, 13.5],
  ])
  const rings = [26, 40, 54, 68, 82, 96, 110].map((x) => ring(x, x + 5, 17, 20.6, 1))
  return shapeJoin(body, ...rings)
}

/** Pawl with its tooth towards the quadrant and a thumb piece on the far side. */
const pawl = (): Shape =>
  extrude(
    [
      ...outlineRounded([
        [-20, -8, 6],
        [6, -14, 8],
        [16, -40],
        [22, -40],
        [26, -8, 8],
        [56, 0, 6],
        [76, 20, 4],
        [70, 27, 4],
        [44, 14, 10],
        [0, 14, 10],
        [-20, 8, 6],
      ]),
    ],
    0,
    8,
    [outlineCircle(5.2, [4, 0], 16)],
  )

/** Fork end with threaded barrel behind; the pin's eye at x = 0, slot open towards +x. */
function fork(): Shape {
  const cheek = (y: number): Shape =>
    shapeJoin(
      extrude(
        outlineRounded([
          [y - 3.4, -13],
          [y + 3.4, -13],
          [y + 3.4, 13],
          [y - 3.4, 13],
        ]),
        -46,
        -6,
      ),
      shapePlace(ring(y - 3.6, y + 3.6, 5.3, 13.4, 0.6), [0, 0, 0], '+y'),
    )
  const bridge = extrude(
    outlineRounded([
      [-13, -13],
      [13, -13],
      [13, 13],
      [-13, 13],
    ]),
    -56,
    -40,
  )
  return shapeJoin(cheek(-9.6), cheek(9.6), bridge, ring(-84, -55, 6, 11.5, 1))
}

const clevisPin = (): Shape =>
  shapeJoin(
    rod(0, 46, 5, 0.8),
    revolve([
      [-4.5, 0],
      [-4.5, 8.4, 1],
      [0.2, 8.4],
      [0.2, 0],
    ]),
    shapePlace(ring(-5.1, 5.1, 0.9, 1.9), [40, 0, 0], '+z'),
  )

/** Cable: threaded end, inner wire, end fitting of the conduit with its own thread, then the conduit in a slack bend. */
function cable(): Shape {
  const end = rod(0, 58, 5.6, 0.8)
  end.lines.push(...threadLines(2, 57, 5.6, 2.4))
  const fitting = revolve([
    [148, 0],
    [148, 8],
    [196, 8],
    [196, 12],
    [226, 12],
    [232, 10],
    [232, 0],
  ])
  fitting.lines.push(...threadLines(150, 195, 8, 2.6))
  const boot = revolve([
    [118, 0],
    [118, 5],
    [126, 9, 2],
    [132, 6.5, 1],
    [138, 9.5, 2],
    [144, 7],
    [149, 9],
    [149, 0],
  ])
  const conduit = Array.from({ length: 22 }, (_, k): Vec => {
    const t = k / 21
    return [228 + 330 * t, 0, 34 * Math.sin(t * Math.PI) * (1 - t) - 60 * t * t]
  })
  return shapeJoin(end, rod(57, 120, 2.6), boot, fitting, tube(conduit, 9))
}

export function figure(): FigurePage {
  const X = { bolts: 40, nuts: 40, pawl: 96, lever: 210, pivot: 380 }
  const eye: Vec = [X.lever + 4, -16, -78]
  const forkAt: Vec = [eye[0], eye[1] - 80, eye[2]]
  const line = (y: number, z = 0): Vec => [eye[0], eye[1] - y, eye[2] + z]
  const pawlAt = on(92, LEAN)
  const along = (d: number, x: number): Vec => [x, ...on(d, LEAN)]
  return figurePage({
    slug: 'parking-brake',
    title: 'Parking brake',
    number: '5-07',
    model: MODELS.trailer,
    drawing: {
      width: 1400,
      view: { yawDegrees: -42, pitchDegrees: 28 },
      margins: { top: 90, right: 90, bottom: 90, left: 90 },
      parts: [
        { item: '1', shape: bracket(), near: [[9, -20, 60]], rail: 'upper' },
        ...[-34, 58].map((y, k) => ({
          item: '2',
          shape: shapePlace(hexBolt(13, 40, 26), [-34, y, -30], '-z'),
          ...(k === 0 ? { at: [540, 560] as const } : {}),
        })),
        ...[-34, 58].map((y, k) => ({
          item: '3',
          shape: shapePlace(lockNut(13), [-34, y, -150], '-z'),
          ...(k === 0 ? { at: [540, 700] as const } : {}),
        })),
        { item: '4', shape: shapePlace(lever(), [X.lever, 0, 0]), near: [along(60, X.lever + 8)], rail: 'upper' },
        { item: '5', shape: shapeTurn(shapePlace(grip(), [X.lever + 4, 356, 0], '+y'), 'x', LEAN), rail: 'upper' },
        { item: '6', shape: shapeMove(shapeTurn(pawl(), 'x', LEAN), [X.pawl, ...pawlAt]), rail: 'upper' },
        { item: '7', shape: shapePlace(hexBolt(9, 40, 16), along(92, X.pivot - 10), '-x'), at: [1190, 560] },
        { item: '8', shape: shapePlace(lockNut(9), along(92, 40), '-x'), rail: 'upper' },
        { item: '9', shape: shapePlace(bush(22, 8, 10), [X.lever - 60, 0, 0]), at: [790, 660] },
        { item: '10', shape: shapePlace(washer(8, 17, 3), [X.lever + 70, 0, 0]), at: [970, 790] },
        { item: '11', shape: shapePlace(hexBolt(15, 62, 26), [X.pivot, 0, 0], '-x'), at: [1060, 800] },
        { item: '12', shape: shapePlace(lockNut(15), [-50, 0, 0], '-x'), rail: 'upper' },
        {
          item: '13',
          shape: shapePlace(fork(), forkAt, '+y'),
          near: [[forkAt[0] + 13, forkAt[1] - 10, forkAt[2] - 6]],
          at: [880, 900],
        },
        { item: '14', shape: shapePlace(clevisPin(), [forkAt[0] - 110, forkAt[1], forkAt[2]]), at: [540, 790] },
        {
          item: '15',
          shape: shapePlace(splitPin(3.6, 26), [forkAt[0] + 130, forkAt[1], forkAt[2] + 44], '-z'),
          at: [960, 900],
        },
        { item: '16', shape: shapePlace(hexNut(11), line(200), '-y'), at: [640, 900] },
        { item: '17', shape: shapePlace(cable(), line(228), '-y'), near: [line(228 + 440)], at: [200, 900] },
        {
          item: '18',
          shape: shapePlace(tensionSpring(150, 17, 8, 3.4), [eye[0], eye[1] - 210, eye[2] - 110], '+y'),
          at: [780, 1010],
        },
      ],
      axes: [
        [
          [-70, 0, 0],
          [X.pivot + 20, 0, 0],
        ],
        [along(92, 20), along(92, X.pivot)],
        [along(300, X.lever + 4), along(520, X.lever + 4)],
        [line(20), line(240)],
        [
          [forkAt[0] - 120, forkAt[1], forkAt[2]],
          [forkAt[0] + 140, forkAt[1], forkAt[2]],
        ],
        [
          [forkAt[0] + 130, forkAt[1], forkAt[2] + 54],
          [forkAt[0] + 130, forkAt[1], forkAt[2]],
        ],
        ...[-34, 58].map((y): Vec[] => [
          [-34, y, -20],
          [-34, y, -170],
        ]),
      ],
      rails: {
        upper: { from: [500, 400], to: [1100, 130] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'DM70101',
        description: 'Bracket with quadrant',
        quantity: 1,
        partClass: 'other',
        facts: { safetyJoint: 'brake' },
      },
      {
        item: '2',
        partNumber: 'DM91240',
        description: 'Bolt, M12 x 40',
        quantity: 2,
        indenture: 2,
        attaches: '1',
        partClass: 'bolt',
        facts: { thread: 'M12', propertyClass: '8.8', torqueNm: 79, torqueState: 'dry', safetyJoint: 'brake' },
        partFacts: { thread: 'M12', propertyClass: '8.8', lengthMm: 40 },
      },
      {
        item: '3',
        partNumber: 'DM92112',
        description: 'Prevailing-torque nut, M12',
        quantity: 2,
        indenture: 2,
        attaches: '1',
        partClass: 'prevailing-torque-nut',
        facts: { thread: 'M12', safetyJoint: 'brake' },
        partFacts: { thread: 'M12', propertyClass: '8' },
      },
      {
        item: '4',
        partNumber: 'DM70110',
        description: 'Hand lever',
        quantity: 1,
        partClass: 'lever',
        facts: { safetyJoint: 'brake' },
      },
      { item: '5', partNumber: 'DM70112', description: 'Grip', quantity: 1, indenture: 2, partClass: 'other' },
      {
        item: '6',
        partNumber: 'DM70120',
        description: 'Pawl',
        quantity: 1,
        partClass: 'lever',
        facts: { safetyJoint: 'brake' },
      },
      {
        item: '7',
        partNumber: 'DM91840',
        description: 'Shoulder bolt, pawl, M8 x 40',
        quantity: 1,
        indenture: 2,
        attaches: '6',
        partClass: 'bolt',
        facts: { thread: 'M8', propertyClass: '8.8', torqueNm: 20, torqueState: 'dry', safetyJoint: 'brake' },
        partFacts: { thread: 'M8', propertyClass: '8.8', lengthMm: 40 },
      },
      {
        item: '8',
        partNumber: 'DM92108',
        description: 'Prevailing-torque nut, M8',
        quantity: 1,
        indenture: 2,
        attaches: '6',
        partClass: 'prevailing-torque-nut',
        facts: { thread: 'M8', safetyJoint: 'brake' },
        partFacts: { thread: 'M8', propertyClass: '8' },
      },
      {
        item: '9',
        partNumber: 'DM70115',
        description: 'Bush, pivot',
        quantity: 1,
        indenture: 2,
        partClass: 'bush',
        partFacts: { boreMm: 16.2, outsideMm: 20, widthMm: 22 },
      },
      {
        item: '10',
        partNumber: 'DM93016',
        description: 'Washer, 16',
        quantity: 1,
        indenture: 2,
        attaches: '4',
        partClass: 'washer',
        partFacts: { boreMm: 17 },
      },
      {
        item: '11',
        partNumber: 'DM91660',
        description: 'Pivot bolt, M16 x 60',
        quantity: 1,
        indenture: 2,
        attaches: '4',
        partClass: 'bolt',
        facts: { thread: 'M16', propertyClass: '8.8', torqueNm: 80, torqueState: 'oiled', safetyJoint: 'brake' },
        partFacts: { thread: 'M16', propertyClass: '8.8', lengthMm: 60 },
      },
      {
        item: '12',
        partNumber: 'DM92116',
        description: 'Prevailing-torque nut, M16',
        quantity: 1,
        indenture: 2,
        attaches: '4',
        partClass: 'prevailing-torque-nut',
        facts: { thread: 'M16', safetyJoint: 'brake' },
        partFacts: { thread: 'M16', propertyClass: '8' },
      },
      {
        item: '13',
        partNumber: 'DM70130',
        description: 'Clevis, M10',
        quantity: 1,
        partClass: 'fork',
        facts: {
          stripFirst: ['Slacken the lock nut (16) and count the turns as the clevis comes off'],
          fitFirst: ['Turn the clevis on by the turns you counted'],
          fitThen: ['Set the cable, then lock the nut (16) against the clevis'],
          thread: 'M10',
          safetyJoint: 'brake',
        },
        partFacts: { thread: 'M10' },
      },
      {
        item: '14',
        partNumber: 'DM94010',
        description: 'Clevis pin, 10 x 40',
        quantity: 1,
        indenture: 2,
        attaches: '13',
        partClass: 'clevis-pin',
        facts: { clevisPinMm: 10, splitPinHoleMm: 3.2, safetyJoint: 'brake' },
        partFacts: { outsideMm: 10, lengthMm: 40 },
      },
      {
        item: '15',
        partNumber: 'DM95320',
        description: 'Split pin, 3.2 x 20',
        quantity: 1,
        indenture: 3,
        attaches: '14',
        partClass: 'split-pin',
        partFacts: { splitPinMm: 3.2, lengthMm: 20 },
        note: 'Renew each time the clevis pin comes out',
      },
      {
        item: '16',
        partNumber: 'DM92010',
        description: 'Lock nut, M10',
        quantity: 1,
        indenture: 2,
        partClass: 'nut',
        facts: { thread: 'M10', torqueNm: 30, torqueState: 'dry', safetyJoint: 'brake' },
        partFacts: { thread: 'M10' },
      },
      {
        item: '17',
        partNumber: 'DM70140',
        description: 'Brake cable, 2.4 m',
        quantity: 1,
        partClass: 'brake-cable',
        serialTo: '0459',
        facts: { safetyJoint: 'brake' },
        partFacts: { lengthMm: 2400 },
      },
      {
        item: '17',
        partNumber: 'DM70240',
        description: 'Brake cable, 2.55 m, with boot',
        quantity: 1,
        partClass: 'brake-cable',
        serialFrom: '0460',
        facts: { safetyJoint: 'brake' },
        partFacts: { lengthMm: 2550 },
      },
      {
        item: '18',
        partNumber: 'DM70145',
        description: 'Return spring',
        quantity: 1,
        partClass: 'return-spring',
        facts: { safetyJoint: 'brake' },
      },
    ],
    strip: ['18>15>14>13>16>17', '14>12>11>10>4>9', '8>7>6>4', '5>4', '4>3>2>1'],
    tests: [
      'Wheels chocked fore and aft until the brake has been proved.',
      'Pull the lever by hand: it locks after the number of clicks the maker gives, and the pawl holds on every tooth.',
      'Lever released: both wheels turn free, the return spring has pulled the cable slack.',
      'Holding test on a slope or tester by a qualified person, as the maker and local rules ask.',
    ],
  })
}
