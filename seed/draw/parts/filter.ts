import { type Shape, shapeJoin } from '../shape.ts'
import { angleList, polar, revolve } from '../solid.ts'

/** Element of pleated paper from x = 0 to `length` between two end caps; the bore shows at the +x end unless `closed`. */
export function pleatedElement(
  length: number,
  outer: number,
  bore: number,
  more: { pleats: number; depth: number; cap: number; closed?: boolean },
): Shape {
  const { pleats, depth, cap } = more
  const radius = (degrees: number) => outer - (Math.round((degrees * pleats) / 180) % 2 ? depth : 0)
  const paper = polar(
    [
      { x: cap * 0.5, r: bore },
      { x: cap * 0.5, r: radius },
      { x: length - cap * 0.5, r: radius },
      { x: length - cap * 0.5, r: bore },
    ],
    angleList(pleats * 2),
    { creaseDegrees: 20 },
  )
  const end = (x: number, shut: boolean): Shape =>
    revolve(
      shut
        ? [
            [x, 0],
            [x, outer + 2, 1.5],
            [x + cap, outer + 2, 1.5],
            [x + cap, outer * 0.6],
            [x + cap - 3, outer * 0.55],
            [x + cap - 3, 0],
          ]
        : [
            [x, bore - 1],
            [x, outer + 2, 1.5],
            [x + cap, outer + 2, 1.5],
            [x + cap, bore - 1],
          ],
    )
  return shapeJoin(paper, end(0, false), end(length - cap, more.closed ?? false))
}

/** Screw-on can: seal face at x = 0, domed end towards +x, fluted for a strap wrench near the end. */
export function screwOnCan(length: number, radius: number): Shape {
  const can = revolve([
    [0, radius * 0.45],
    [0, radius - 1],
    [1, radius + 2, 1],
    [5, radius + 2, 1],
    [6, radius],
    [length * 0.7, radius],
    [length * 0.7, radius],
    [length - 12, radius - 1, 8],
    [length, radius * 0.7, 6],
    [length, 0.01],
    [length - 3, 0.01],
    [length - 3, radius * 0.4],
    [4, radius * 0.45],
  ])
  const flutes = polar(
    [
      { x: length * 0.72, r: radius * 0.8 },
      { x: length * 0.72, r: (degrees) => radius + (Math.round(degrees / 10) % 2 ? 1.6 : 0.3) },
      { x: length - 14, r: (degrees) => radius + (Math.round(degrees / 10) % 2 ? 1.6 : 0.3) },
      { x: length - 14, r: radius * 0.8 },
    ],
    angleList(36),
    { creaseDegrees: 10 },
  )
  return shapeJoin(can, flutes)
}
