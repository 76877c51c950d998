import type { Shape } from '../shape.ts'
import { sweep } from '../solid.ts'
import { type Flat, radians, type Vec } from '../vector.ts'

/** A wheel that a belt runs over: its middle in the plane of the belt, and the radius the belt lies on. */
export interface BeltWheel {
  at: Flat
  radius: number
}

/** Way of an open belt round two wheels, points in the y, z plane, against the clock. */
export function beltPath(first: BeltWheel, second: BeltWheel): Flat[] {
  const [dy, dz] = [second.at[0] - first.at[0], second.at[1] - first.at[1]]
  const heading = (Math.atan2(dz, dy) * 180) / Math.PI
  const lean = (Math.asin((first.radius - second.radius) / Math.hypot(dy, dz)) * 180) / Math.PI
  const wrap = (wheel: BeltWheel, from: number, to: number): Flat[] => {
    const steps = Math.max(8, Math.ceil(Math.abs(to - from) / 9))
    return Array.from({ length: steps + 1 }, (_, k): Flat => {
      const a = radians(from + ((to - from) * k) / steps)
      return [wheel.at[0] + wheel.radius * Math.cos(a), wheel.at[1] + wheel.radius * Math.sin(a)]
    })
  }
  return [
    ...wrap(second, heading - 90 + lean, heading + 90 - lean),
    ...wrap(first, heading + 90 - lean, heading + 270 + lean),
  ]
}

/** V-belt as a closed loop in the plane at `x`: wide at its back, narrow inside, `top` wide and `height` thick. */
export function vBelt(x: number, path: readonly Flat[], top: number, height: number): Shape {
  const [wide, narrow] = [top / 2, top * 0.29]
  // Along a loop against the clock with its up laid outwards, the first coordinate of the section lies along x.
  const section: Flat[] = [
    [-narrow, -height],
    [narrow, -height],
    [wide, -height * 0.25],
    [wide, 0],
    [-wide, 0],
    [-wide, -height * 0.25],
  ]
  const points = path.map(([y, z]): Vec => [x, y, z])
  const [a, b] = [path[0]!, path[1]!]
  return sweep(points, section, { closed: true, up: [0, b[1] - a[1], a[0] - b[0]], creaseDegrees: 28 })
}
