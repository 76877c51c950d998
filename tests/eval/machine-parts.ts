import { type Random, randomInteger } from '../../lib/maths/random.ts'
import { faceInk, ovalInk, pathInk } from './svg-ink.ts'
import type { Spot } from './truth.ts'

/**
 * Line art of invented machine parts, drawn about a middle and no larger than a box of `size` by `size`; nothing of it comes
 * from the demo's drawing kernel, so that a reader is not fitted to the hand of one draughtsman.
 */
export interface PartArt {
  ink: string
  /** Points that lie on the part, where a leader may end. */
  on: Spot[]
  /** Half of what it takes up. */
  halfWide: number
  halfHigh: number
}

export type PartDrawing = (at: Spot, size: number, random: Random) => PartArt

const HEAVY = 2.6
const FINE = 1.2
const from = (at: Spot, points: readonly (readonly [number, number])[]): Spot[] =>
  points.map(([x, y]) => ({ x: at.x + x, y: at.y + y }))

const block: PartDrawing = (at, size, random) => {
  const [w, h, d] = [size * (0.25 + random() * 0.2), size * (0.15 + random() * 0.25), size * (0.12 + random() * 0.12)]
  const front = from(at, [
    [-w, -h + d],
    [w - d, -h + d],
    [w - d, h],
    [-w, h],
  ])
  const top = from(at, [
    [-w, -h + d],
    [-w + d, -h],
    [w, -h],
    [w - d, -h + d],
  ])
  const side = from(at, [
    [w - d, -h + d],
    [w, -h],
    [w, h - d],
    [w - d, h],
  ])
  const bore = { x: at.x - d * 0.5, y: at.y + d * 0.5 }
  return {
    ink: [faceInk(front, HEAVY), faceInk(top, HEAVY), faceInk(side, HEAVY), ovalInk(bore, h * 0.3, h * 0.3, FINE)].join(
      '',
    ),
    on: from(at, [
      [-w * 0.6, h * 0.6],
      [w * 0.3, h * 0.5],
      [w - d * 0.5, 0],
    ]),
    halfWide: w,
    halfHigh: h,
  }
}

const turned: PartDrawing = (at, size, random) => {
  const [length, radius] = [size * (0.3 + random() * 0.15), size * (0.1 + random() * 0.14)]
  const face = radius * 0.35
  const body = from(at, [
    [-length, -radius],
    [length, -radius],
    [length, radius],
    [-length, radius],
  ])
  const rings = Array.from({ length: randomInteger(random, 0, 4) }, (_, k) => {
    const x = -length + face * 2 + (k * (length * 2 - face * 3)) / 5
    return `<path d="M${at.x + x} ${at.y - radius}A${face} ${radius} 0 0 1 ${at.x + x} ${at.y + radius}" fill="none" stroke="#111" stroke-width="${FINE}"/>`
  })
  return {
    ink: [
      ovalInk({ x: at.x + length, y: at.y }, face, radius, HEAVY),
      faceInk(body, 0),
      pathInk([body[0]!, body[1]!], HEAVY),
      pathInk([body[3]!, body[2]!], HEAVY),
      ...rings,
      ovalInk({ x: at.x - length, y: at.y }, face, radius, HEAVY),
      ovalInk({ x: at.x - length, y: at.y }, face * 0.45, radius * 0.45, FINE),
    ].join(''),
    on: from(at, [
      [0, 0],
      [length * 0.6, -radius * 0.4],
      [-length * 0.4, radius * 0.5],
    ]),
    halfWide: length + face,
    halfHigh: radius,
  }
}

const ring: PartDrawing = (at, size, random) => {
  const radius = size * (0.14 + random() * 0.16)
  const bore = radius * (0.45 + random() * 0.3)
  const middle = (radius + bore) / 2
  return {
    ink: ovalInk(at, radius * 0.6, radius, HEAVY) + ovalInk(at, bore * 0.6, bore, HEAVY * 0.7),
    on: from(at, [
      [-middle * 0.6, 0],
      [0, middle],
      [middle * 0.6, 0],
    ]),
    halfWide: radius * 0.6,
    halfHigh: radius,
  }
}

const polygon = (at: Spot, radius: number, corners: number, turn: number): Spot[] =>
  Array.from({ length: corners }, (_, k) => ({
    x: at.x + radius * Math.cos(turn + (k * 2 * Math.PI) / corners),
    y: at.y + radius * Math.sin(turn + (k * 2 * Math.PI) / corners),
  }))

const nut: PartDrawing = (at, size, random) => {
  const radius = size * (0.12 + random() * 0.1)
  return {
    ink: faceInk(polygon(at, radius, 6, random()), HEAVY) + ovalInk(at, radius * 0.52, radius * 0.52, FINE),
    on: from(at, [
      [radius * 0.68, 0],
      [-radius * 0.68, 0],
      [0, radius * 0.68],
    ]),
    halfWide: radius,
    halfHigh: radius,
  }
}

const gear: PartDrawing = (at, size, random) => {
  const radius = size * (0.2 + random() * 0.14)
  const teeth = randomInteger(random, 14, 26)
  const rim = Array.from({ length: teeth * 4 }, (_, k) => {
    const reach = k % 4 < 2 ? radius : radius * 0.86
    const turn = (k * 2 * Math.PI) / (teeth * 4)
    return { x: at.x + reach * Math.cos(turn), y: at.y + reach * Math.sin(turn) }
  })
  return {
    ink: [
      faceInk(rim, HEAVY * 0.8),
      ovalInk(at, radius * 0.6, radius * 0.6, FINE),
      ovalInk(at, radius * 0.25, radius * 0.25, HEAVY * 0.8),
    ].join(''),
    on: from(at, [
      [radius * 0.7, 0],
      [-radius * 0.4, radius * 0.1],
      [0, -radius * 0.72],
    ]),
    halfWide: radius,
    halfHigh: radius,
  }
}

const spring: PartDrawing = (at, size, random) => {
  const [length, radius] = [size * (0.25 + random() * 0.15), size * (0.07 + random() * 0.06)]
  const turns = randomInteger(random, 5, 10)
  const wire = Array.from({ length: turns * 2 + 1 }, (_, k) => ({
    x: at.x - length + (k * length) / turns,
    y: at.y + (k % 2 === 0 ? radius : -radius),
  }))
  return {
    ink: pathInk(wire, HEAVY * 1.3),
    on: [wire[2]!, wire[turns]!, wire.at(-3)!],
    halfWide: length,
    halfHigh: radius,
  }
}

/** A plate in section, hatched at 45 degrees (ISO 128: hatching of cuts). */
const section: PartDrawing = (at, size, random) => {
  const [w, h] = [size * (0.2 + random() * 0.2), size * (0.12 + random() * 0.18)]
  const hatch: string[] = []
  for (let c = -w - h + 8; c < w + h; c += 11) {
    const [x0, x1] = [Math.max(-w, c - h), Math.min(w, c + h)]
    if (x1 > x0)
      hatch.push(
        pathInk(
          from(at, [
            [x0, c - x0],
            [x1, c - x1],
          ]),
          0.9,
        ),
      )
  }
  const bore = from(at, [
    [-w, -h * 0.25],
    [w, -h * 0.25],
    [w, h * 0.25],
    [-w, h * 0.25],
  ])
  return {
    ink: [
      faceInk(
        from(at, [
          [-w, -h],
          [w, -h],
          [w, h],
          [-w, h],
        ]),
        HEAVY,
      ),
      ...hatch,
      faceInk(bore, HEAVY * 0.7),
    ].join(''),
    on: from(at, [
      [-w * 0.5, -h * 0.6],
      [w * 0.6, h * 0.6],
      [w * 0.4, -h * 0.6],
    ]),
    halfWide: w,
    halfHigh: h,
  }
}

const plate: PartDrawing = (at, size, random) => {
  const corners = randomInteger(random, 5, 8)
  const reach = size * (0.22 + random() * 0.12)
  const outline = polygon(at, reach, corners, random() * 3).map(({ x, y }) => ({ x, y: at.y + (y - at.y) * 0.7 }))
  const holes = Array.from({ length: randomInteger(random, 1, 4) }, (_, k) =>
    ovalInk({ x: at.x + reach * 0.5 * Math.cos(k * 1.7), y: at.y + reach * 0.35 * Math.sin(k * 1.7) }, 7, 6, FINE),
  )
  return {
    ink: faceInk(outline, HEAVY) + holes.join(''),
    on: from(at, [
      [0, 0],
      [-reach * 0.2, reach * 0.3],
      [reach * 0.25, -reach * 0.2],
    ]),
    halfWide: reach,
    halfHigh: reach * 0.72,
  }
}

const screw: PartDrawing = (at, size, random) => {
  const [length, radius] = [size * (0.18 + random() * 0.15), size * (0.035 + random() * 0.03)]
  const head = radius * 2
  const threads = Array.from({ length: 9 }, (_, k) => {
    const x = length * (0.1 + k * 0.1)
    return pathInk(
      from(at, [
        [x, -radius],
        [x - radius * 0.5, radius],
      ]),
      0.9,
    )
  })
  return {
    ink: [
      faceInk(
        from(at, [
          [-length + head, -radius],
          [length, -radius],
          [length, radius],
          [-length + head, radius],
        ]),
        HEAVY * 0.8,
      ),
      ...threads,
      faceInk(
        from(at, [
          [-length, -head],
          [-length + head, -head],
          [-length + head, head],
          [-length, head],
        ]),
        HEAVY,
      ),
    ].join(''),
    on: from(at, [
      [-length + head * 0.5, 0],
      [0, 0],
      [length * 0.6, radius * 0.8],
    ]),
    halfWide: length,
    halfHigh: head,
  }
}

export const PART_DRAWINGS: readonly PartDrawing[] = [block, turned, ring, nut, gear, spring, section, plate, screw]
