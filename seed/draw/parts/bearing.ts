import { type Shape, shapeJoin, shapeMove, shapeRing, shapeTurn } from '../shape.ts'
import { revolve, ring, rod } from '../solid.ts'

/** Sealed ball bearing, middle at x = 0: two rings and a recessed shield on either side. */
export function ballBearing(bore: number, outside: number, width: number): Shape {
  const [r, R, w] = [bore / 2, outside / 2, width / 2]
  const step = (R - r) * 0.26
  return shapeJoin(
    revolve([
      [-w, R - step],
      [-w, R - 1.2],
      [-w + 1.2, R],
      [w - 1.2, R],
      [w, R - 1.2],
      [w, R - step],
    ]),
    revolve([
      [-w, r + 1],
      [-w, r + step],
      [w, r + step],
      [w, r + 1],
      [w - 1, r],
      [-w + 1, r],
    ]),
    revolve([
      [-w * 0.82, r + step - 0.4],
      [-w * 0.82, R - step + 0.4],
      [w * 0.82, R - step + 0.4],
      [w * 0.86, R - step - (R - r) * 0.08],
      [w * 0.86, r + step + (R - r) * 0.1],
      [w * 0.82, r + step - 0.4],
    ]),
  )
}

/** Open ball bearing with its balls in sight. */
export function ballBearingOpen(bore: number, outside: number, width: number, balls = 9): Shape {
  const [r, R, w] = [bore / 2, outside / 2, width / 2]
  const [pitch, size] = [(r + R) / 2, (R - r) * 0.33]
  const step = (R - r) * 0.2
  const ball = shapeMove(
    revolve(
      Array.from(
        { length: 9 },
        (_, k) => [-size * Math.cos((k * Math.PI) / 8), size * Math.sin((k * Math.PI) / 8)] as const,
      ),
      { count: 20 },
    ),
    [0, pitch, 0],
  )
  return shapeJoin(
    revolve([
      [-w, R - step],
      [-w, R - 1.2],
      [-w + 1.2, R],
      [w - 1.2, R],
      [w, R - 1.2],
      [w, R - step],
    ]),
    revolve([
      [-w, r + 1],
      [-w, r + step],
      [w, r + step],
      [w, r + 1],
      [w - 1, r],
      [-w + 1, r],
    ]),
    shapeRing(ball, balls, 10),
    ring(-size * 0.7, size * 0.7, pitch - size * 0.22, pitch + size * 0.22),
  )
}

/**
 * Inner ring of a tapered roller bearing with its rollers and cage. The large end is at x = 0, the small end towards +x.
 */
export function taperedCone(bore: number, outside: number, width: number, rollers = 15): Shape {
  const r = bore / 2
  const [big, small] = [outside / 2 - (outside - bore) * 0.06, outside / 2 - (outside - bore) * 0.17]
  const wall = (big - r) * 0.34
  const inner = revolve([
    [0, r],
    [0, r + wall * 1.5, 0.8],
    [width * 0.14, r + wall * 1.5],
    [width * 0.14, r + wall * 1.15],
    [width * 0.86, r + wall * 0.72],
    [width * 0.86, r + wall * 0.98],
    [width, r + wall * 0.95, 0.6],
    [width, r],
  ])
  const lean = (Math.atan2(big - small, width * 0.7) * 180) / Math.PI
  const size = Math.min((big - r - wall) * 0.5, ((Math.PI * big) / rollers) * 0.43)
  const roller = shapeMove(
    shapeTurn(
      revolve(
        [
          [0, 0],
          [0, size * 0.86],
          [size * 0.14, size],
          [width * 0.68, size * 0.84],
          [width * 0.7, size * 0.7],
          [width * 0.7, 0],
        ],
        { count: 20 },
      ),
      'z',
      -lean,
    ),
    [width * 0.15, big - size, 0],
  )
  const cage = (x: number, radius: number) =>
    revolve([
      [x, radius - size * 0.55],
      [x, radius],
      [x + width * 0.07, radius - size * 0.08],
      [x + width * 0.07, radius - size * 0.6],
    ])
  return shapeJoin(
    inner,
    shapeRing(roller, rollers, 6),
    cage(width * 0.09, big - size * 0.3),
    cage(width * 0.83, small - size * 0.35),
  )
}

/** Outer ring (cup) of a tapered roller bearing, wide end of its taper at x = 0. */
export const taperedCup = (outside: number, width: number, depth: number): Shape =>
  revolve([
    [0, outside / 2 - depth * 0.35],
    [0, outside / 2 - 1],
    [1, outside / 2],
    [width - 2, outside / 2],
    [width, outside / 2 - 2],
    [width, outside / 2 - depth],
  ])

/** Radial shaft seal: case, lip and the garter spring's groove; the open side with the spring faces +x. */
export function oilSeal(shaft: number, outside: number, width: number): Shape {
  const [r, R] = [shaft / 2, outside / 2]
  const d = R - r
  return shapeJoin(
    revolve([
      [0, r + d * 0.16],
      [0, R - 1],
      [1, R],
      [width - 1, R],
      [width, R - 1],
      [width, R - d * 0.24],
      [width * 0.35, R - d * 0.28],
      [width * 0.3, r + d * 0.5],
      [width * 0.25, r + d * 0.3],
    ]),
    revolve([
      [width * 0.2, r + d * 0.12],
      [width * 0.2, r + d * 0.5, 1],
      [width * 0.55, r + d * 0.4, 0.8],
      [width * 0.92, r + d * 0.42, 1],
      [width * 0.92, r + d * 0.2, 0.8],
      [width * 0.6, r],
    ]),
  )
}

/** O-ring or other round-section ring. */
export function oRing(radius: number, section: number): Shape {
  const n = 16
  return revolve(
    Array.from(
      { length: n },
      (_, k) =>
        [section * Math.cos((k * 2 * Math.PI) / n), radius + section * Math.sin((k * 2 * Math.PI) / n)] as const,
    ),
  )
}

/** Plain bush, with a collar when `collar` is given. */
export const bush = (length: number, inner: number, outer: number, collar = 0): Shape =>
  collar > 0
    ? revolve([
        [0, inner],
        [0, collar, 0.8],
        [length * 0.16, collar],
        [length * 0.16, outer],
        [length - 0.8, outer],
        [length, outer - 0.8],
        [length, inner],
      ])
    : ring(0, length, inner, outer, 0.8)

export const needleRoller = (length: number, radius: number): Shape => rod(0, length, radius, radius * 0.2)
