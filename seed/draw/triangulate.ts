import { outlineArea } from './outline.ts'
import type { Flat } from './vector.ts'

const turn = (a: Flat, b: Flat, c: Flat): number => (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

const inTriangle = (p: Flat, a: Flat, b: Flat, c: Flat): boolean =>
  turn(a, b, p) >= -1e-9 && turn(b, c, p) >= -1e-9 && turn(c, a, p) >= -1e-9

function segmentsCross(a: Flat, b: Flat, c: Flat, d: Flat): boolean {
  return turn(a, b, c) * turn(a, b, d) < -1e-12 && turn(c, d, a) * turn(c, d, b) < -1e-12
}

/**
 * Cuts a flat face with holes into triangles (ear clipping; holes are first joined to the outside by a cut).
 * Indices count through the outer outline and then each hole in turn. Faces here have at most a few hundred points.
 */
export function triangulate(
  outer: readonly Flat[],
  holes: readonly (readonly Flat[])[] = [],
): [number, number, number][] {
  const points: Flat[] = [...outer, ...holes.flat()]
  let loop = outer.map((_, index) => index)
  if (outlineArea(outer) < 0) loop.reverse()
  let offset = outer.length
  const rest = holes.map((hole) => {
    const indices = hole.map((_, index) => offset + index)
    offset += hole.length
    if (outlineArea(hole) > 0) indices.reverse()
    return indices
  })
  // Outermost hole first, so that a later cut never has to cross one not yet joined.
  rest.sort((a, b) => Math.max(...b.map((i) => points[i]![0])) - Math.max(...a.map((i) => points[i]![0])))
  rest.forEach((hole, done) => {
    loop = joinHole(points, loop, hole, rest.slice(done))
  })
  return clipEars(points, loop)
}

function joinHole(points: Flat[], loop: number[], hole: number[], open: number[][]): number[] {
  const pairs: [gap: number, outside: number, inside: number][] = []
  for (let i = 0; i < loop.length; i++)
    for (let j = 0; j < hole.length; j++) {
      const a = points[loop[i]!]!
      const b = points[hole[j]!]!
      pairs.push([Math.hypot(a[0] - b[0], a[1] - b[1]), i, j])
    }
  pairs.sort((a, b) => a[0] - b[0] || a[1] - b[1] || a[2] - b[2])
  const edges = [loop, ...open].flatMap((ring) =>
    ring.map((index, k) => [index, ring[(k + 1) % ring.length]!] as const),
  )
  const chosen =
    pairs.find(([, i, j]) =>
      edges.every(([p, q]) => !segmentsCross(points[loop[i]!]!, points[hole[j]!]!, points[p]!, points[q]!)),
    ) ?? pairs[0]!
  const [, i, j] = chosen
  return [...loop.slice(0, i + 1), ...hole.slice(j), ...hole.slice(0, j + 1), ...loop.slice(i)]
}

function clipEars(points: Flat[], loop: number[]): [number, number, number][] {
  const faces: [number, number, number][] = []
  const ring = [...loop]
  let stuck = 0
  let at = 0
  while (ring.length > 3 && stuck < ring.length * 2) {
    const n = ring.length
    const ia = ring[(at + n - 1) % n]!
    const ib = ring[at % n]!
    const ic = ring[(at + 1) % n]!
    const [a, b, c] = [points[ia]!, points[ib]!, points[ic]!]
    // In the second round flat ears are taken as well: they have no area, but keep the loop from standing still.
    const convex = turn(a, b, c) > (stuck < n ? 1e-9 : -1e-9)
    const clear =
      convex &&
      ring.every((index) => {
        const p = points[index]!
        if (index === ia || index === ib || index === ic) return true
        if ((p[0] === a[0] && p[1] === a[1]) || (p[0] === b[0] && p[1] === b[1]) || (p[0] === c[0] && p[1] === c[1]))
          return true
        return !inTriangle(p, a, b, c)
      })
    if (clear) {
      faces.push([ia, ib, ic])
      ring.splice(at % n, 1)
      stuck = 0
      at = at % ring.length
    } else {
      at = (at + 1) % n
      stuck++
    }
  }
  if (ring.length === 3) faces.push([ring[0]!, ring[1]!, ring[2]!])
  return faces
}
