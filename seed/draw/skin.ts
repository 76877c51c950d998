import type { Mesh } from './shape.ts'
import { type Vec, vecAdd, vecCross, vecDot, vecUnit } from './vector.ts'
import type { Seen } from './view.ts'

/** A mesh as the eye meets it: where its points fall, which edges are sharp, and where the surface turns away. */
export interface Skin {
  seen: Seen[]
  faces: [number, number, number][]
  /** Cosine between each face and the line of sight, without sign. */
  facing: Float64Array
  /** Sine of the angle to the face's rounder neighbour, with some play: below it the facet may stand past the true contour. */
  bend: Float64Array
  /** Width of each face across the curve, in user units: how far a facet may stray from the true surface. */
  grain: Float64Array
  segments: { from: Seen; to: Seen; kind: 'crease' | 'contour' }[]
}

/**
 * Sharp edges and contours of a mesh. A contour is found inside the facets, where the smoothed normal is square to the
 * line of sight: taking facet edges instead gives every turned part a ragged outline.
 */
export function skinOf(mesh: Mesh, project: (point: Vec) => Seen): Skin {
  const seen = mesh.points.map(project)
  const faces = mesh.faces.filter(([a, b, c]) => a !== b && b !== c && a !== c)
  const area = faces.map(([a, b, c]) => vecCross(sub(seen[b]!, seen[a]!), sub(seen[c]!, seen[a]!)))
  const normals = area.map(vecUnit)
  const count = mesh.points.length
  const edges = new Map<number, number[]>()
  faces.forEach(([a, b, c], face) => {
    for (const [p, q] of [
      [a, b],
      [b, c],
      [c, a],
    ] as const) {
      const key = Math.min(p, q) * count + Math.max(p, q)
      const list = edges.get(key)
      if (list) list.push(face)
      else edges.set(key, [face])
    }
  })
  const limit = Math.cos((mesh.creaseDegrees * Math.PI) / 180)
  const segments: Skin['segments'] = []
  const soft = new Map<number, number[][]>()
  const bend = new Float64Array(faces.length)
  for (const [key, list] of edges) {
    const p = Math.floor(key / count)
    const q = key % count
    const [f, g] = [list[0]!, list[1]]
    const same = g !== undefined && list.length === 2 && runsSame(faces[f]!, faces[g]!, p, q)
    const cosine = g === undefined || list.length !== 2 ? -1 : vecDot(normals[f]!, normals[g]!) * (same ? -1 : 1)
    const sharp = cosine < limit
    if (sharp) {
      segments.push({ from: seen[p]!, to: seen[q]!, kind: 'crease' })
    } else if (g !== undefined) {
      for (const end of [p, q]) {
        const joins = soft.get(end)
        if (joins) joins.push([f, g])
        else soft.set(end, [[f, g]])
      }
      const play = Math.sin(Math.min(1.4, 1.35 * Math.acos(Math.min(1, Math.max(-1, cosine)))))
      bend[f] = Math.max(bend[f]!, play)
      bend[g] = Math.max(bend[g]!, play)
    }
  }
  const corner = cornerNormals(faces, area, soft, count)
  faces.forEach((face, index) => {
    const g = [0, 1, 2].map((k) => corner[index * 3 + k]!)
    if (g.every((value) => value > 0) || g.every((value) => value <= 0)) return
    const cuts: Seen[] = []
    for (const [k, l] of [
      [0, 1],
      [1, 2],
      [2, 0],
    ] as const) {
      if (g[k]! > 0 === g[l]! > 0) continue
      // Always from the lower index, so that both neighbours of an edge compute the very same point.
      const [i, j] = face[k]! < face[l]! ? [k, l] : [l, k]
      const t = g[i]! / (g[i]! - g[j]!)
      const [from, to] = [seen[face[i]!]!, seen[face[j]!]!]
      cuts.push([from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t, from[2] + (to[2] - from[2]) * t])
    }
    if (cuts.length === 2) segments.push({ from: cuts[0]!, to: cuts[1]!, kind: 'contour' })
  })
  return {
    seen,
    faces,
    facing: Float64Array.from(normals, (normal) => Math.abs(normal[2])),
    bend,
    grain: Float64Array.from(faces, (face) => facetWidth(seen, face)),
    segments,
  }
}

const sub = (a: Seen, b: Seen): Vec => [a[0] - b[0], a[1] - b[1], a[2] - b[2]]

function runsSame(f: readonly number[], g: readonly number[], p: number, q: number): boolean {
  const forward = (face: readonly number[]) => [0, 1, 2].some((k) => face[k] === p && face[(k + 1) % 3] === q)
  return forward(f) === forward(g)
}

/** Shortest height of a facet: its extent across the curve, however long it runs along a cylinder. */
function facetWidth(seen: readonly Seen[], [a, b, c]: readonly [number, number, number]): number {
  const sides = [sub(seen[b]!, seen[a]!), sub(seen[c]!, seen[b]!), sub(seen[a]!, seen[c]!)].map((side) =>
    Math.hypot(...side),
  )
  return Math.min(...sides)
}

/** Component of the smoothed normal along the line of sight, for each corner of each face. */
function cornerNormals(
  faces: readonly [number, number, number][],
  area: readonly Vec[],
  soft: ReadonlyMap<number, number[][]>,
  count: number,
): Float64Array {
  const at: number[][] = Array.from({ length: count }, () => [])
  faces.forEach((face, index) => {
    for (const point of face) at[point]!.push(index)
  })
  const out = new Float64Array(faces.length * 3)
  at.forEach((list, point) => {
    const group = new Map(list.map((face) => [face, face]))
    const root = (face: number): number => {
      let one = face
      while (group.get(one) !== one) one = group.get(one)!
      return one
    }
    for (const [f, g] of soft.get(point) ?? []) group.set(root(f!), root(g!))
    const sums = new Map<number, Vec>()
    for (const face of list) sums.set(root(face), vecAdd(sums.get(root(face)) ?? [0, 0, 0], area[face]!))
    for (const face of list) out[face * 3 + faces[face]!.indexOf(point)] = vecUnit(sums.get(root(face))!)[2]
  })
  return out
}
