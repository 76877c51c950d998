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
  [30, 128],
  [108, -66],
  [-150, 92],
  [-190, -128],
  [-440, 42],
  [-420, -162],
]

function backPlate(): Shape {
  const plate = extrude(outlineLink([0, 0], 138, ROTOR, 116), 0, 5, [
    outlineCircle(44, [0, 0], 48),
    outlineCircle(56, ROTOR, 56),
    outlineCircle(9, [-190, 52], 18),
    ...screws.map((at) => outlineCircle(5, at, 14)),
  ])
  const anchor = extrude(
    outlineMove(outlineLink([0, 0], 13, [0, -30], 10), [-120, -86]),
    5,
    11,
    [outlineCircle(5, [-120, -116], 14)],
  )
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
    extrude(outlineMove(outlineTurn(outlineLink([-34, 0], 6, [34, 0], 6), 99), [-185 + d * 1.1, -30 + d * 0.18]), 65, 69),
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
  const X = { pulley: 130, belt: 350, washer: 280, bolt: 366, bush: 290, screw: 370, arm: 500, roller: 600, cover: 900 }
  const path = beltPath({ at: [0, 0], radius: BIG }, { at: ROTOR, radius: SMALL })
  const pivot: Vec = [X.arm, -190, -250]
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
        { item: '2', shape: shapePlace(vPulley(BIG, 3, pulley), drive(X.pulley)), near: [[X.pulley + 30, 30, 90]], rail: 'upper' },
        { item: '3', shape: shapePlace(parallelKey(56, 10, 9), drive(X.pulley - 70, 150)), rail: 'upper' },
        { item: '4', shape: shapePlace(washer(8, 28, 6), drive(X.washer)), rail: 'upper' },
        { item: '5', shape: shapePlace(hexBolt(15, 46, 30), drive(X.bolt + 20), '-x'), rail: 'upper' },
        { item: '6', shape: shapePlace(vPulley(SMALL, 3, { ...pulley, bore: 32, hub: 42, hubLength: 66 }), driven(X.pulley - 90)), rail: 'left' },
        { item: '7', shape: shapePlace(taperBush(), driven(X.bush - 130), '-x'), rail: 'left' },
        ...[30, 210].map((a) => ({
          item: '8',
          shape: shapePlace(socketScrew(8, 20), [
            X.screw - 60,
            ROTOR[0] + 28 * Math.cos((a * Math.PI) / 180),
            ROTOR[1] + 28 * Math.sin((a * Math.PI) / 180),
          ], '-x'),
          rail: 'left',
        })),
        {
          item: '9',
          shape: shapeJoin(...[0, 1, 2].map((k) => vBelt(X.belt + 160 + k * 24, path, 21, 15))),
          near: [[X.belt + 200, -180, 70]],
          rail: 'upper',
        },
      ],
      axes: [
        [drive(-160), drive(X.cover)],
        [driven(-160), driven(X.cover)],
      ],
      rails: {
        upper: { from: [600, 60], to: [1300, 400] },
        left: { from: [40, 420], to: [300, 860] },
      },
    },
    lines: [],
    strip: [],
    tests: [],
  })
}
