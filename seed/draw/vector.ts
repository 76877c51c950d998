/** A point or direction of the drawn world: x along the main explosion axis towards the reader's lower right, y to the upper right, z up. */
export type Vec = readonly [x: number, y: number, z: number]
/** A point of a flat outline; the outline of an extruded part lies in its y, z plane. */
export type Flat = readonly [y: number, z: number]

export const vecAdd = (a: Vec, b: Vec): Vec => [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
export const vecSub = (a: Vec, b: Vec): Vec => [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
export const vecScale = (a: Vec, k: number): Vec => [a[0] * k, a[1] * k, a[2] * k]
export const vecDot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
export const vecCross = (a: Vec, b: Vec): Vec => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
]
export const vecLength = (a: Vec): number => Math.hypot(a[0], a[1], a[2])
export const vecMix = (a: Vec, b: Vec, t: number): Vec => [
  a[0] + (b[0] - a[0]) * t,
  a[1] + (b[1] - a[1]) * t,
  a[2] + (b[2] - a[2]) * t,
]

/** Unit vector of the same direction; a zero vector stays zero, so that a collapsed facet does not poison its neighbours. */
export function vecUnit(a: Vec): Vec {
  const length = vecLength(a)
  return length < 1e-12 ? [0, 0, 0] : vecScale(a, 1 / length)
}

export const radians = (degrees: number): number => (degrees * Math.PI) / 180

/** Point on a circle round the x axis; 0 degrees is +y, 90 degrees is straight up. */
export const around = (x: number, radius: number, degrees: number): Vec => [
  x,
  radius * Math.cos(radians(degrees)),
  radius * Math.sin(radians(degrees)),
]
