import { chain, cutOf } from './meeting.ts'
import type { Shape } from './shape.ts'
import { type Skin, skinOf } from './skin.ts'
import type { Vec } from './vector.ts'
import type { Seen } from './view.ts'

export type LineKind = 'crease' | 'contour' | 'cut' | 'fine' | 'axis'
export interface SceneLine {
  kind: LineKind
  /** -1 for lines of no part: explosion axes. */
  part: number
  skins: readonly number[]
  points: Seen[]
}

const CELL = 10

/** All parts of a sheet, projected, with a grid over the paper that answers "what does the eye meet at this point?". */
export class Scene {
  readonly skins: Skin[] = []
  readonly partOf: number[] = []
  readonly lines: SceneLine[] = []
  private readonly cells = new Map<number, number[]>()
  private readonly corners: Seen[] = []
  private readonly skinOfFace: number[] = []
  /** Facets seen so nearly edge on that they may hide their own contour; for each, by how much at most. */
  private readonly slack: number[] = []
  private readonly flat: number[] = []
  /** How near each face comes at most, with some play for its edges. */
  private readonly nearest: number[] = []

  constructor(parts: readonly Shape[], axes: readonly (readonly Vec[])[], project: (point: Vec) => Seen) {
    parts.forEach((shape, part) => {
      for (const mesh of shape.meshes) {
        const skin = skinOf(mesh, project)
        this.addFaces(skin, this.skins.length)
        this.skins.push(skin)
        this.partOf.push(part)
      }
    })
    this.skins.forEach((skin, index) => {
      for (const kind of ['crease', 'contour'] as const)
        for (const points of chain(skin.segments.filter((segment) => segment.kind === kind)))
          this.lines.push({ kind, part: this.partOf[index]!, skins: [index], points })
    })
    this.addCuts()
    // The nearest faces first: once one is met, those that lie deeper need not be looked at.
    for (const list of this.cells.values()) list.sort((e, f) => this.nearest[f]! - this.nearest[e]! || e - f)
    parts.forEach((shape, part) => {
      for (const line of shape.lines) this.lines.push({ kind: 'fine', part, skins: [], points: line.map(project) })
    })
    for (const axis of axes) this.lines.push({ kind: 'axis', part: -1, skins: [], points: axis.map(project) })
  }

  private addFaces(skin: Skin, index: number): void {
    skin.faces.forEach((face, k) => {
      const [a, b, c] = [skin.seen[face[0]]!, skin.seen[face[1]]!, skin.seen[face[2]]!]
      const id = this.skinOfFace.length
      this.corners.push(a, b, c)
      this.skinOfFace.push(index)
      this.flat.push(...a, ...b, ...c)
      this.nearest.push(Math.max(a[2], b[2], c[2]) + 0.01)
      this.slack.push(skin.facing[k]! < skin.bend[k]! ? 2 * skin.grain[k]! : 0)
      const top = Math.floor((Math.min(a[1], b[1], c[1]) - 0.01) / CELL)
      const bottom = Math.floor((Math.max(a[1], b[1], c[1]) + 0.01) / CELL)
      for (let row = top; row <= bottom; row++) {
        const [from, to] = spanInRow(a, b, c, row * CELL, (row + 1) * CELL)
        for (let column = Math.floor((from - 0.01) / CELL); column <= Math.floor((to + 0.01) / CELL); column++) {
          const key = cellKey(column, row)
          const list = this.cells.get(key)
          if (list) list.push(id)
          else this.cells.set(key, [id])
        }
      }
    })
  }

  private cellAt(x: number, y: number): readonly number[] {
    return this.cells.get(cellKey(Math.floor(x / CELL), Math.floor(y / CELL))) ?? []
  }

  /** Height of a face under a point of the paper, or NaN beside it. */
  private nearAt(face: number, x: number, y: number): number {
    const f = this.flat
    const k = face * 9
    const ax = f[k]!
    const ay = f[k + 1]!
    const ux = f[k + 3]! - ax
    const uy = f[k + 4]! - ay
    const vx = f[k + 6]! - ax
    const vy = f[k + 7]! - ay
    const d = ux * vy - vx * uy
    if (d < 1e-9 && d > -1e-9) return Number.NaN
    const v = ((x - ax) * vy - vx * (y - ay)) / d
    if (v < -1e-6) return Number.NaN
    const w = (ux * (y - ay) - (x - ax) * uy) / d
    if (w < -1e-6 || v + w > 1 + 1e-6) return Number.NaN
    return f[k + 2]! + v * (f[k + 5]! - f[k + 2]!) + w * (f[k + 8]! - f[k + 2]!)
  }

  /** What the last `look` met: the part, or -1 for bare paper, and how near it is. */
  part = -1
  near = Number.NEGATIVE_INFINITY

  /** Finds the nearest surface above `floor` under a point of the paper; the answer stands in `part` and `near`. */
  look(x: number, y: number, floor = Number.NEGATIVE_INFINITY): void {
    this.part = -1
    this.near = floor
    for (const face of this.cellAt(x, y)) {
      if (this.nearest[face]! <= this.near) break
      const near = this.nearAt(face, x, y)
      if (near > this.near) {
        this.near = near
        this.part = this.partOf[this.skinOfFace[face]!]!
      }
    }
  }

  hidden(line: SceneLine, [x, y, near]: Seen): boolean {
    for (const face of this.cellAt(x, y)) {
      if (this.nearest[face]! - near <= 0.3) break
      const before = this.nearAt(face, x, y) - near
      if (!(before > 0.3)) continue
      if (line.skins.includes(this.skinOfFace[face]!)) {
        if (before < (line.kind === 'cut' ? 1 : 0.5)) continue
        if (before < this.slack[face]!) continue
      }
      return true
    }
    return false
  }

  private facesApart(e: number, f: number): boolean {
    const v = this.flat
    for (let k = 2; k >= 0; k--) {
      const [a, b] = [e * 9 + k, f * 9 + k]
      const [e0, e1, e2] = [v[a]!, v[a + 3]!, v[a + 6]!]
      const [f0, f1, f2] = [v[b]!, v[b + 3]!, v[b + 6]!]
      if (Math.max(e0, e1, e2) < Math.min(f0, f1, f2) || Math.max(f0, f1, f2) < Math.min(e0, e1, e2)) return true
    }
    return false
  }

  /** Lines where two skins run through each other: the foot of a lug on a tube, a bolt in a plate. */
  private addCuts(): void {
    const boxes = this.skins.map((skin) => boxOf(skin.seen))
    const count = this.skins.length
    const meets = new Uint8Array(count * count)
    for (let i = 0; i < count; i++)
      for (let j = 0; j < count; j++) meets[i * count + j] = i !== j && boxesMeet(boxes[i]!, boxes[j]!) ? 1 : 0
    const found = new Map<number, { skins: [number, number]; segments: { from: Seen; to: Seen }[] }>()
    const done = new Set<number>()
    const faceCount = this.skinOfFace.length
    for (const list of this.cells.values()) {
      // Faces enter a cell skin by skin, so the list is already grouped.
      const groups: [skin: number, from: number, to: number][] = []
      list.forEach((face, index) => {
        const skin = this.skinOfFace[face]!
        const last = groups.at(-1)
        if (last && last[0] === skin) last[2] = index + 1
        else groups.push([skin, index, index + 1])
      })
      for (let g = 0; g < groups.length; g++)
        for (let h = g + 1; h < groups.length; h++) {
          const [i, fromI, toI] = groups[g]!
          const [j, fromJ, toJ] = groups[h]!
          if (!meets[i * count + j]) continue
          for (let m = fromI; m < toI; m++)
            for (let n = fromJ; n < toJ; n++) {
              const [e, f] = [list[m]!, list[n]!]
              if (this.facesApart(e, f)) continue
              const pair = e * faceCount + f
              if (done.has(pair)) continue
              done.add(pair)
              const cut = cutOf(this.corners.slice(e * 3, e * 3 + 3), this.corners.slice(f * 3, f * 3 + 3))
              if (!cut) continue
              const one = found.get(i * count + j) ?? { skins: [i, j], segments: [] }
              one.segments.push({ from: cut[0], to: cut[1] })
              found.set(i * count + j, one)
            }
        }
    }
    for (const { skins, segments } of found.values())
      for (const points of chain(segments))
        this.lines.push({ kind: 'cut', part: this.partOf[skins[0]]!, skins, points })
  }
}

const cellKey = (column: number, row: number): number => (row + 4096) * 16384 + column + 4096

function spanInRow(a: Seen, b: Seen, c: Seen, top: number, bottom: number): [number, number] {
  let from = Number.POSITIVE_INFINITY
  let to = Number.NEGATIVE_INFINITY
  const take = (x: number) => {
    from = Math.min(from, x)
    to = Math.max(to, x)
  }
  for (const [p, q] of [
    [a, b],
    [b, c],
    [c, a],
  ] as const) {
    if (p[1] >= top && p[1] <= bottom) take(p[0])
    for (const edge of [top, bottom])
      if (p[1] < edge !== q[1] < edge) take(p[0] + ((q[0] - p[0]) * (edge - p[1])) / (q[1] - p[1]))
  }
  return [from, to]
}

type Box3 = [lo: [number, number, number], hi: [number, number, number]]
function boxOf(points: readonly Seen[]): Box3 {
  const lo: [number, number, number] = [1e9, 1e9, 1e9]
  const hi: [number, number, number] = [-1e9, -1e9, -1e9]
  for (const point of points)
    for (let k = 0; k < 3; k++) {
      lo[k] = Math.min(lo[k]!, point[k]!)
      hi[k] = Math.max(hi[k]!, point[k]!)
    }
  return [lo, hi]
}
const boxesMeet = (a: Box3, b: Box3): boolean => [0, 1, 2].every((k) => a[0][k]! <= b[1][k]! && b[0][k]! <= a[1][k]!)
