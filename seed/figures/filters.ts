import { outlineArc, outlineCircle, outlineRounded } from '../draw/outline.ts'
import { oRing } from '../draw/parts/bearing.ts'
import { hexagon, washer } from '../draw/parts/fastener.ts'
import { pleatedElement, screwOnCan } from '../draw/parts/filter.ts'
import { type Shape, shapeJoin, shapeMove, shapePlace, shapeRing } from '../draw/shape.ts'
import { extrude, revolve, ring, rod, sweep, threadLines } from '../draw/solid.ts'
import type { Vec } from '../draw/vector.ts'
import { MODELS } from './makers.ts'
import { type FigurePage, figurePage } from './page.ts'

const at = (x: number, y = 0, z = 0): Vec => [x, y, z]

/** Pot of the air cleaner, open end at +x, with its inlet on top and its outlet neck back to -x. */
function pot(): Shape {
  const body = revolve([
    [0, 34],
    [0, 84, 10],
    [12, 96, 6],
    [230, 98],
    [230, 104, 1],
    [242, 104, 2],
    [242, 93],
    [16, 91, 6],
    [10, 40],
  ])
  const neck = ring(-58, 12, 34, 40, 1.5)
  const bead = ring(-52, -46, 39, 43, 2)
  const inlet = shapePlace(ring(80, 150, 36, 42, 1.5), at(76), '+z')
  const ribs = [120, 160, 200].map((x) => ring(x, x + 5, 96, 100, 1))
  const lugs = shapeRing(
    extrude(
      outlineRounded([
        [96, -12],
        [110, -12, 3],
        [110, 12, 3],
        [96, 12],
      ]),
      212,
      222,
    ),
    3,
    90,
  )
  return shapeJoin(body, neck, bead, inlet, ...ribs, lugs)
}

function cover(): Shape {
  const dish = revolve([
    [0, 95],
    [0, 105, 2],
    [14, 105, 2],
    [14, 97, 2],
    [64, 92, 12],
    [70, 66, 3],
    [60, 58, 3],
    [60, 0.01],
    [56, 0.01],
    [56, 60],
    [58, 84],
    [10, 90],
  ])
  const step = ring(58, 64, 30, 38, 1.5)
  const spout = shapePlace(ring(84, 116, 14, 19, 1.5), at(38), '-z')
  return shapeJoin(dish, step, spout)
}

/** Over-centre clip: bent strip with its hook, lying along x at the radius 0, bow outwards to +y. */
function clip(): Shape {
  const strip = sweep(
    [
      [0, 0, 0],
      [0, 8, 0],
      [10, 11, 0],
      [34, 11, 0],
      [50, 7, 0],
      [60, 14, 0],
      [66, 13, 0],
    ],
    [
      [-1.4, -9],
      [1.4, -9],
      [1.4, 9],
      [-1.4, 9],
    ],
    { up: [0, 0, 1] },
  )
  return shapeJoin(strip, shapePlace(rod(-12, 12, 3, 0.5), at(18, 13), '+z'))
}

/** Duck-bill valve that lets dust and water fall out, hanging down. */
const dustValve = (): Shape =>
  shapeJoin(
    revolve([
      [0, 15],
      [0, 24, 1.5],
      [8, 24, 1.5],
      [26, 22],
      [30, 20],
      [30, 15],
    ]),
    revolve([
      [29, 0.01],
      [29, 21, 1],
      [44, 17, 6],
      [62, 9, 2],
      [62, 0.01],
    ]),
    extrude(
      outlineRounded([
        [-20, -3, 1],
        [20, -3, 1],
        [20, 3, 1],
        [-20, 3, 1],
      ]),
      46,
      72,
    ),
  )

const bandClamp = (radius: number): Shape =>
  shapeJoin(
    ring(-7, 7, radius, radius + 2.2),
    shapeMove(
      extrude(
        outlineRounded([
          [-13, -1],
          [13, -1],
          [13, 10, 3],
          [-13, 10, 3],
        ]),
        -8,
        8,
      ),
      at(0, 0, radius),
    ),
    shapePlace(hexagon(0, 6, 9, {}), at(0, -13, radius + 5), '-y'),
    shapePlace(rod(0, 14, 3), at(0, 12, radius + 5), '+y'),
  )

/** Hose from the air cleaner to the engine: straight, bend downwards, straight. */
function intakeHose(): Shape {
  const bend = outlineArc(78, 90, 180, [0, 0]).map(([u, w]): Vec => [u, 0, w - 78])
  const path: Vec[] = [[96, 0, 0], [60, 0, 0], ...bend, [-78, 0, -120], [-78, 0, -160]]
  const skin = sweep(path, outlineCircle(45, [0, 0], 40), { creaseDegrees: 50 })
  return shapeJoin(skin, ring(92, 98, 37, 46.5, 1))
}

/** Cast head with two ports along x and a bracket behind it; the seat for what hangs below is at z = 0. */
function filterHead(radius: number, height: number): Shape {
  const body = shapePlace(
    revolve([
      [0, 16],
      [0, radius, 1.5],
      [14, radius, 2],
      [20, radius - 5, 4],
      [height - 6, radius * 0.78, 4],
      [height, radius * 0.6],
      [height, 0.01],
      [height - 4, 0.01],
      [height - 4, 12],
    ]),
    at(0),
    '+z',
  )
  const port = ring(radius * 0.4, radius + 22, 8, 15, 1.5)
  const plate = shapePlace(
    extrude(
      outlineRounded([
        [-radius - 4, 6, 8],
        [radius + 4, 6, 8],
        [radius + 4, height + 34, 12],
        [-radius - 4, height + 34, 12],
      ]),
      radius * 0.7,
      radius * 0.7 + 10,
      [outlineCircle(7, [-radius * 0.6, height + 16], 20), outlineCircle(7, [radius * 0.6, height + 16], 20)],
    ),
    at(0),
    '+y',
  )
  return shapeJoin(body, port, shapePlace(port, at(0), '-x'), plate)
}

function bowl(): Shape {
  return revolve([
    [0, 34],
    [0, 40, 1],
    [10, 40, 1],
    [10, 37],
    [58, 36],
    [76, 30, 8],
    [84, 16, 4],
    [92, 14, 1],
    [92, 6],
    [80, 6],
    [70, 26, 6],
    [56, 33],
    [8, 34],
  ])
}

const drain = (): Shape => {
  const stem = rod(-18, 0.2, 6, 1)
  stem.lines.push(...threadLines(-17, -3, 6, 2.4))
  return shapeJoin(
    stem,
    ring(0, 4, 6, 12, 1),
    rod(3, 20, 7.5, 1),
    extrude(
      outlineRounded([
        [-19, -3.5, 3],
        [19, -3.5, 3],
        [19, 3.5, 3],
        [-19, 3.5, 3],
      ]),
      7,
      18,
    ),
  )
}

const union = (): Shape => {
  const stem = rod(-26, 26, 11, 1.5)
  stem.lines.push(...threadLines(-25, -6, 11, 2.8), ...threadLines(6, 25, 11, 2.8))
  return shapeJoin(stem, hexagon(-5, 5, 30, { bothEnds: true }))
}

const bleedScrew = (): Shape => {
  const stem = rod(-16, 0.2, 4.5, 0.8)
  stem.lines.push(...threadLines(-15, -2, 4.5, 2.2))
  return shapeJoin(stem, hexagon(0, 8, 16, {}))
}

export function figure(): FigurePage {
  const X = { hose: -330, clampOut: -190, pot: -60, inner: 250, outer: 480, cover: 800 }
  const OIL = at(140, -560, 45)
  const FUEL = at(520, -560, 110)
  const oil = (z: number): Vec => [OIL[0], OIL[1], OIL[2] + z]
  const fuel = (z: number, x = 0): Vec => [FUEL[0] + x, FUEL[1], FUEL[2] + z]
  const clipAt = (angle: number): Shape => {
    const [c, s] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)]
    const one = shapeMove(clip(), at(X.cover - 96, 128))
    return {
      meshes: one.meshes.map((mesh) => ({
        ...mesh,
        points: mesh.points.map(([x, y, z]): Vec => [x, c * y - s * z, s * y + c * z]),
      })),
      lines: [],
    }
  }
  return figurePage({
    slug: 'filters',
    title: 'Engine filters',
    number: '1-06',
    model: MODELS.tractor92,
    drawing: {
      width: 1400,
      view: { yawDegrees: -50, pitchDegrees: 30 },
      margins: { top: 115, right: 100, bottom: 80, left: 100 },
      parts: [
        { item: '1', shape: shapePlace(pot(), at(X.pot)), near: [at(X.pot + 190, 20, 95)], rail: 'top' },
        {
          item: '2',
          shape: shapePlace(pleatedElement(190, 44, 26, { pleats: 26, depth: 5, cap: 9, closed: true }), at(X.inner)),
          near: [at(X.inner + 100, -10, 42)],
          rail: 'upper',
        },
        {
          item: '3',
          shape: shapePlace(pleatedElement(212, 82, 50, { pleats: 44, depth: 8, cap: 12, closed: true }), at(X.outer)),
          near: [at(X.outer + 110, -20, 80)],
          rail: 'upper',
        },
        { item: '4', shape: shapePlace(cover(), at(X.cover)), near: [at(X.cover + 40, -20, 92)], rail: 'upper' },
        {
          item: '5',
          shape: shapeJoin(...[90, 210, 330].map(clipAt)),
          near: [at(X.cover - 60, 0, 138)],
          rail: 'upper',
        },
        { item: '6', shape: shapePlace(dustValve(), at(X.cover + 38, 0, -160), '-z'), at: [1336, 830] },
        { item: '7', shape: shapePlace(intakeHose(), at(X.hose)), near: [at(X.hose - 20, -20, 30)], rail: 'top' },
        {
          item: '8',
          shape: shapeJoin(
            shapePlace(bandClamp(46), at(X.clampOut)),
            shapePlace(bandClamp(46), at(X.hose - 78, 0, -206), '-z'),
          ),
          near: [at(X.clampOut, 0, 56)],
          rail: 'top',
        },
        { item: '9', shape: shapePlace(filterHead(50, 56), oil(0)), near: [oil(30)], rail: 'left' },
        { item: '10', shape: shapePlace(union(), oil(-62), '-z'), rail: 'left' },
        { item: '11', shape: shapePlace(oRing(36, 2.8), oil(-118), '-z'), rail: 'left' },
        {
          item: '12',
          shape: shapePlace(screwOnCan(140, 48), oil(-150), '-z'),
          near: [[OIL[0] - 10, OIL[1] - 40, OIL[2] - 215]],
          rail: 'left',
        },
        { item: '13', shape: shapePlace(filterHead(44, 50), fuel(0)), near: [fuel(30, 24)], rail: 'fuel' },
        { item: '14', shape: shapePlace(bleedScrew(), fuel(120), '+z'), rail: 'fuel-left' },
        { item: '15', shape: shapePlace(washer(5, 9.5, 2), fuel(84), '+z'), rail: 'fuel-left' },
        { item: '16', shape: shapePlace(oRing(37, 2.4), fuel(-36), '-z'), rail: 'fuel' },
        {
          item: '17',
          shape: shapePlace(pleatedElement(100, 36, 14, { pleats: 24, depth: 5, cap: 8 }), fuel(-66), '-z'),
          near: [fuel(-116, 20)],
          rail: 'fuel',
        },
        { item: '18', shape: shapePlace(oRing(33, 2.4), fuel(-196), '-z'), rail: 'fuel' },
        { item: '19', shape: shapePlace(bowl(), fuel(-226), '-z'), near: [fuel(-262, 20)], rail: 'fuel' },
        { item: '20', shape: shapePlace(oRing(9, 2), fuel(-338), '-z'), rail: 'fuel' },
        { item: '21', shape: shapePlace(drain(), fuel(-376), '-z'), rail: 'fuel' },
      ],
      axes: [
        [at(X.hose + 100), at(X.cover + 90)],
        [at(X.cover + 38, 0, -110), at(X.cover + 38, 0, -170)],
        [at(X.hose - 78, 0, -160), at(X.hose - 78, 0, -226)],
        [oil(20), oil(-160)],
        [fuel(140), fuel(-400)],
      ],
      rails: {
        upper: { from: [780, 225], to: [1370, 395] },
        left: { from: [60, 480], to: [60, 1000] },
        fuel: { from: [740, 560], to: [740, 1010] },
        'fuel-left': { from: [410, 440], to: [410, 560] },
      },
    },
    lines: [
      {
        item: '1',
        partNumber: 'HB-21930',
        description: 'Housing, air cleaner',
        quantity: 1,
        partClass: 'housing',
        facts: { massKg: 2.6 },
      },
      {
        item: '2',
        partNumber: 'HB-21934',
        description: 'Air filter, inner',
        quantity: 1,
        partClass: 'filter',
        note: 'Renewed, never cleaned; stays in while the outer one is out',
      },
      {
        item: '3',
        partNumber: 'HB-21904',
        description: 'Air filter, outer',
        quantity: 1,
        partClass: 'filter',
      },
      {
        item: '4',
        partNumber: 'HB-21931',
        description: 'Cover, air cleaner',
        quantity: 1,
        partClass: 'cover',
      },
      {
        item: '5',
        partNumber: 'HB-21932',
        description: 'Clip, cover',
        quantity: 3,
        indenture: 2,
        attaches: '4',
        partClass: 'other',
      },
      {
        item: '6',
        partNumber: 'HB-21933',
        description: 'Dust valve',
        quantity: 1,
        indenture: 2,
        partClass: 'other',
        note: 'Points straight down when the cover is on',
      },
      {
        item: '7',
        partNumber: 'HB-21936',
        description: 'Hose, air cleaner to engine',
        quantity: 1,
        partClass: 'hose',
        partFacts: { boreMm: 76 },
      },
      {
        item: '8',
        partNumber: 'HB-97680',
        description: 'Hose clamp, 70 to 90',
        quantity: 2,
        indenture: 2,
        attaches: '7',
        partClass: 'hose-clamp',
        partFacts: { boreMm: 80 },
      },
      {
        item: '9',
        partNumber: 'HB-21940',
        description: 'Head, oil filter',
        quantity: 1,
        partClass: 'housing',
        facts: { fillLitres: 0.8, fluid: 'engine-oil' },
      },
      {
        item: '10',
        partNumber: 'HB-21941',
        description: 'Union, oil filter, M22 x 1.5',
        quantity: 1,
        indenture: 2,
        partClass: 'stud',
        facts: { thread: 'M22x1.5' },
        partFacts: { thread: 'M22x1.5' },
      },
      {
        item: '11',
        partNumber: 'HB-21942',
        description: 'Seal ring, oil filter',
        quantity: 1,
        indenture: 2,
        partClass: 'o-ring',
        partFacts: { boreMm: 62, widthMm: 5 },
        note: 'Comes with item 12: oil it, and see that the old one is off the head',
      },
      {
        item: '12',
        partNumber: 'HB-21901',
        description: 'Engine oil filter',
        quantity: 1,
        partClass: 'filter',
        facts: { fillLitres: 0.8, fluid: 'engine-oil', joint: ['oil-fill'] },
        note: 'By hand until it seats, then as the filter itself says',
      },
      {
        item: '13',
        partNumber: 'HB-21950',
        description: 'Head, fuel filter',
        quantity: 1,
        partClass: 'housing',
        facts: { fillLitres: 0.4, fluid: 'fuel' },
      },
      {
        item: '14',
        partNumber: 'HB-21951',
        description: 'Bleed screw, M8 x 1',
        quantity: 1,
        indenture: 2,
        partClass: 'screw',
        facts: { fluid: 'fuel', thread: 'M8x1' },
        partFacts: { thread: 'M8x1' },
      },
      {
        item: '15',
        partNumber: 'HB-96308',
        description: 'Sealing washer, copper, 8',
        quantity: 1,
        indenture: 2,
        partClass: 'crush-washer',
        partFacts: { boreMm: 8.2 },
      },
      {
        item: '16',
        partNumber: 'HB-21953',
        description: 'Seal ring, upper, 74 x 4',
        quantity: 1,
        indenture: 2,
        partClass: 'o-ring',
        partFacts: { boreMm: 74, widthMm: 4 },
      },
      {
        item: '17',
        partNumber: 'HB-21902',
        description: 'Fuel filter',
        quantity: 1,
        partClass: 'filter',
        facts: { fillLitres: 0.4, fluid: 'fuel' },
      },
      {
        item: '18',
        partNumber: 'HB-21954',
        description: 'Seal ring, lower, 66 x 4',
        quantity: 1,
        indenture: 2,
        partClass: 'o-ring',
        partFacts: { boreMm: 66, widthMm: 4 },
      },
      {
        item: '19',
        partNumber: 'HB-21955',
        description: 'Bowl, glass',
        quantity: 1,
        partClass: 'cover',
        serialTo: '92139',
      },
      {
        item: '19',
        partNumber: 'HB-21956',
        description: 'Bowl, clear plastic, with water sensor',
        quantity: 1,
        partClass: 'cover',
        serialFrom: '92140',
      },
      {
        item: '20',
        partNumber: 'HB-21957',
        description: 'O-ring, drain, 18 x 4',
        quantity: 1,
        indenture: 2,
        partClass: 'o-ring',
        partFacts: { boreMm: 18, widthMm: 4 },
      },
      {
        item: '21',
        partNumber: 'HB-21958',
        description: 'Drain screw, fuel bowl, M12 x 1.5',
        quantity: 1,
        partClass: 'plug',
        facts: {
          stripFirst: ['Shut the fuel tap; catch what runs out'],
          thread: 'M12x1.5',
          fillLitres: 0.4,
          fluid: 'fuel',
        },
        partFacts: { thread: 'M12x1.5' },
      },
    ],
    strip: ['5>4>3>2>1', '4>6', '8>7>1', '12>11', '12>10>9', '21>20', '21>19>18', '19>17>16>13', '14>15', '14>13'],
    tests: [
      'Fuel bled until no more air comes; no leak at bowl, drain and bleed screw. No flame, no smoking, spilt fuel wiped up.',
      'Engine run up: oil pressure lamp out within the maker’s time, no leak at the oil filter.',
      'Engine stopped for ten minutes: oil at the upper mark.',
      'Air cleaner: cover seated all round, clips shut, dust valve down, hose clamps tight.',
    ],
  })
}
