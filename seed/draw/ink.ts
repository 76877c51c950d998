import type { Scene, SceneLine } from './scene.ts'
import type { Seen } from './view.ts'

/** Line weights after ISO 128-2: outline wide, edges within a part narrower, threads and axes finest. */
export type Weight = 'outline' | 'contour' | 'edge' | 'fine' | 'axis'
export interface Stroke {
  part: number
  weight: Weight
  points: [number, number][]
}

const STEP = 1.6
const SIDE = 1.7
const HALO = 3.4
/** Depth from which a part counts as standing in front of another rather than lying on it. */
const HALO_DEPTH = 22
const GAP = 10

type State = Weight | null

/** The visible lines of a scene, each cut where a nearer part hides it and weighted by what it divides. */
export function inkOf(scene: Scene): Stroke[] {
  return scene.lines.flatMap((line) => strokesOf(scene, line))
}

function strokesOf(scene: Scene, line: SceneLine): Stroke[] {
  const samples = sampled(line.points)
  const states = samples.map((sample): State => stateAt(scene, line, sample))
  steady(states)
  const strokes: Stroke[] = []
  let run: [number, number][] = []
  const close = (weight: State) => {
    if (weight && run.length > 1 && spread(run) > 0.5)
      strokes.push({ part: line.part, weight, points: simplified(run) })
    run = []
  }
  samples.forEach((sample, index) => {
    const here = states[index]!
    const before = index > 0 ? states[index - 1]! : here
    if (index > 0 && here !== before) {
      const edge = turningPoint(scene, line, samples[index - 1]!, sample, before, here)
      if (before) run.push(edge)
      close(before)
      if (here) run.push(edge)
    }
    if (here) run.push([sample[0], sample[1]])
  })
  close(states.at(-1) ?? null)
  return strokes
}

function sampled(points: readonly Seen[]): Seen[] {
  const out: Seen[] = [points[0]!]
  for (let i = 1; i < points.length; i++) {
    const [p, q] = [points[i - 1]!, points[i]!]
    const steps = Math.max(1, Math.ceil(Math.hypot(q[0] - p[0], q[1] - p[1]) / STEP))
    for (let k = 1; k <= steps; k++) {
      const t = k / steps
      out.push([p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t, p[2] + (q[2] - p[2]) * t])
    }
  }
  return out
}

function stateAt(scene: Scene, line: SceneLine, at: Seen): State {
  if (isHidden(scene, line, at)) return null
  if (line.kind === 'fine') return 'fine'
  if (line.kind === 'axis') return 'axis'
  return weightAt(scene, line, at)
}

function isHidden(scene: Scene, line: SceneLine, at: Seen): boolean {
  if (scene.hidden(line, at)) return true
  // Paper shows round a part that stands well in front: without that gap two crossing outlines read as one piece.
  for (let k = 0; k < 8; k++) {
    const angle = (k * Math.PI) / 4
    scene.look(at[0] + HALO * Math.cos(angle), at[1] + HALO * Math.sin(angle), at[2] + HALO_DEPTH)
    if (scene.part >= 0 && scene.part !== line.part) return true
  }
  return false
}

/** What lies on either side of the line tells whether it is the part's outline, a fold in it, or a plain edge. */
function weightAt(scene: Scene, line: SceneLine, at: Seen): Weight {
  let weight: Weight = line.kind === 'contour' ? 'contour' : 'edge'
  let bare = 0
  let other = 0
  let gap = 0
  for (let k = 0; k < 8; k++) {
    const angle = (k * Math.PI) / 4 + 0.2
    scene.look(at[0] + SIDE * Math.cos(angle), at[1] + SIDE * Math.sin(angle))
    if (scene.part < 0) bare++
    else if (scene.part !== line.part && scene.near < at[2] + 1.5) other++
    else if (scene.part === line.part && scene.near < at[2] - GAP) gap++
  }
  if (bare + other >= 2) weight = 'outline'
  else if (gap >= 2) weight = 'contour'
  if (line.kind === 'cut' && weight === 'outline' && bare === 0) weight = 'contour'
  return weight
}

/** Runs shorter than a few samples are noise of the sampling, not a change of line; they take their neighbour's state. */
function steady(states: State[]): void {
  let start = 0
  while (start < states.length) {
    let end = start
    while (end < states.length && states[end] === states[start]) end++
    const before = start > 0 ? states[start - 1]! : undefined
    const after = end < states.length ? states[end]! : undefined
    const hides = states[start] === null
    if (
      end - start <= (hides ? 1 : 3) &&
      (before !== undefined || after !== undefined) &&
      (start > 0 || end < states.length)
    ) {
      const take = before ?? after
      const calm = hides ? before !== null && after !== null && before !== undefined && after !== undefined : true
      if (calm && take !== undefined && (before === after || (take !== null && !hides)))
        for (let k = start; k < end; k++) states[k] = take
    }
    start = end
  }
}

function turningPoint(
  scene: Scene,
  line: SceneLine,
  from: Seen,
  to: Seen,
  before: State,
  after: State,
): [number, number] {
  if (before && after) return [to[0], to[1]]
  let [lo, hi] = [from, to]
  for (let k = 0; k < 5; k++) {
    const mid: Seen = [(lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2, (lo[2] + hi[2]) / 2]
    if (isHidden(scene, line, mid) === (before === null)) lo = mid
    else hi = mid
  }
  return [(lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2]
}

function spread(points: readonly (readonly [number, number])[]): number {
  const xs = points.map((p) => p[0])
  const ys = points.map((p) => p[1])
  return Math.max(...xs) - Math.min(...xs) + Math.max(...ys) - Math.min(...ys)
}

/** Drops points that lie on the line of their neighbours (Douglas and Peucker 1973), to a twelfth of a unit. */
export function simplified(points: readonly [number, number][], tolerance = 0.085): [number, number][] {
  if (points.length < 3) return [...points]
  const keep = new Uint8Array(points.length)
  keep[0] = keep[points.length - 1] = 1
  const stack: [number, number][] = [[0, points.length - 1]]
  while (stack.length) {
    const [from, to] = stack.pop()!
    const [a, b] = [points[from]!, points[to]!]
    const length = Math.hypot(b[0] - a[0], b[1] - a[1])
    let worst = 0
    let at = -1
    for (let k = from + 1; k < to; k++) {
      const p = points[k]!
      const off =
        length < 1e-9
          ? Math.hypot(p[0] - a[0], p[1] - a[1])
          : Math.abs((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / length
      if (off > worst) {
        worst = off
        at = k
      }
    }
    if (worst > tolerance) {
      keep[at] = 1
      stack.push([from, at], [at, to])
    }
  }
  return points.filter((_, index) => keep[index])
}
