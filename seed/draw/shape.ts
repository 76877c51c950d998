import { radians, type Vec, vecAdd } from './vector.ts'

/** A closed skin of triangles. Edges sharper than `creaseDegrees` are drawn; softer ones are taken as a curved surface. */
export interface Mesh {
  points: Vec[]
  faces: [number, number, number][]
  creaseDegrees: number
}

/** What is drawn for one piece: skins that hide what lies behind them, and fine lines on top (threads, shading, stipple). */
export interface Shape {
  meshes: Mesh[]
  lines: Vec[][]
}

export const shapeOf = (mesh: Mesh, lines: Vec[][] = []): Shape => ({ meshes: [mesh], lines })

/** Several pieces as one. Skins may run into each other: the sheet draws the line where they meet, as a weld would show. */
export const shapeJoin = (...shapes: Shape[]): Shape => ({
  meshes: shapes.flatMap((shape) => shape.meshes),
  lines: shapes.flatMap((shape) => shape.lines),
})

export function shapeMap(shape: Shape, map: (point: Vec) => Vec): Shape {
  return {
    meshes: shape.meshes.map((mesh) => ({ ...mesh, points: mesh.points.map(map) })),
    lines: shape.lines.map((line) => line.map(map)),
  }
}

export const shapeMove = (shape: Shape, by: Vec): Shape => shapeMap(shape, (point) => vecAdd(point, by))

/** Turn about one of the world's axes through the origin, right-handed, degrees. */
export function shapeTurn(shape: Shape, axis: 'x' | 'y' | 'z', degrees: number): Shape {
  const c = Math.cos(radians(degrees))
  const s = Math.sin(radians(degrees))
  if (axis === 'x') return shapeMap(shape, ([x, y, z]) => [x, c * y - s * z, s * y + c * z])
  if (axis === 'y') return shapeMap(shape, ([x, y, z]) => [c * x + s * z, y, -s * x + c * z])
  return shapeMap(shape, ([x, y, z]) => [c * x - s * y, s * x + c * y, z])
}

/** Copies set round the x axis, as studs on a hub or lugs on a rotor. */
export function shapeRing(shape: Shape, count: number, startDegrees = 0): Shape {
  return shapeJoin(
    ...Array.from({ length: count }, (_, index) => shapeTurn(shape, 'x', startDegrees + (index * 360) / count)),
  )
}

/** Direction a piece faces: its own +x is laid along the named way. Pieces are always modelled along x. */
export type Facing = '+x' | '-x' | '+y' | '-y' | '+z' | '-z'
export function shapeFace(shape: Shape, facing: Facing): Shape {
  if (facing === '+x') return shape
  if (facing === '-x') return shapeTurn(shape, 'z', 180)
  if (facing === '+y') return shapeTurn(shape, 'z', 90)
  if (facing === '-y') return shapeTurn(shape, 'z', -90)
  return shapeTurn(shape, 'y', facing === '+z' ? -90 : 90)
}

/** Face, then move: the usual way to put a piece in its place. */
export const shapePlace = (shape: Shape, at: Vec, facing: Facing = '+x'): Shape =>
  shapeMove(shapeFace(shape, facing), at)
