import type { Seen } from './view.ts'

type Corner3 = readonly Seen[]
const dot = (a: readonly number[], b: readonly number[]) => a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!
const minus = (a: Seen, b: Seen): [number, number, number] => [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
function plane(t: Corner3): [normal: [number, number, number], offset: number] {
  const [u, v] = [minus(t[1]!, t[0]!), minus(t[2]!, t[0]!)]
  const n: [number, number, number] = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]
  const length = Math.hypot(...n) || 1
  const unit: [number, number, number] = [n[0] / length, n[1] / length, n[2] / length]
  return [unit, dot(unit, t[0]!)]
}

/** Segment in which two triangles meet, after Moller (1997); null when they do not, or lie in one plane. */
export function cutOf(s: Corner3, t: Corner3): [Seen, Seen] | null {
  const onS = crossing(s, ...plane(t))
  const onT = onS && crossing(t, ...plane(s))
  if (!onS || !onT) return null
  const way = minus(onS[1], onS[0])
  const length = dot(way, way)
  if (length < 1e-12) return null
  const place = (p: Seen) => dot(minus(p, onS[0]), way) / length
  const [a, b] = [place(onT[0]), place(onT[1])]
  const [from, to] = [Math.max(0, Math.min(a, b)), Math.min(1, Math.max(a, b))]
  if (to - from < 1e-6) return null
  const point = (k: number): Seen => [onS[0][0] + way[0] * k, onS[0][1] + way[1] * k, onS[0][2] + way[2] * k]
  return [point(from), point(to)]
}

function crossing(t: Corner3, normal: readonly number[], offset: number): [Seen, Seen] | null {
  const d = t.map((p) => dot(normal, p) - offset)
  if (
    d.every((value) => value > 1e-9) ||
    d.every((value) => value < -1e-9) ||
    d.every((value) => Math.abs(value) < 1e-7)
  )
    return null
  const points: Seen[] = []
  for (const [i, j] of [
    [0, 1],
    [1, 2],
    [2, 0],
  ] as const) {
    if (d[i]! > 0 === d[j]! > 0) continue
    const k = d[i]! / (d[i]! - d[j]!)
    const [p, q] = [t[i]!, t[j]!]
    points.push([p[0] + (q[0] - p[0]) * k, p[1] + (q[1] - p[1]) * k, p[2] + (q[2] - p[2]) * k])
  }
  return points.length === 2 ? [points[0]!, points[1]!] : null
}

/** Joins loose segments end to end into long lines. */
export function chain(segments: readonly { from: Seen; to: Seen }[]): Seen[][] {
  const key = (p: Seen) => `${Math.round(p[0] * 50)} ${Math.round(p[1] * 50)} ${Math.round(p[2] * 50)}`
  const ends = new Map<string, number[]>()
  segments.forEach((segment, index) => {
    for (const end of [key(segment.from), key(segment.to)]) ends.set(end, [...(ends.get(end) ?? []), index])
  })
  const used = new Uint8Array(segments.length)
  const follow = (line: Seen[]): void => {
    for (;;) {
      const at = key(line.at(-1)!)
      const open = ends.get(at)!.filter((index) => !used[index])
      // At a junction the straightest way on is the same line.
      const before = line.at(-2)!
      const next = open
        .map((index) => {
          const segment = segments[index]!
          const to = key(segment.from) === at ? segment.to : segment.from
          const [u, v] = [minus(line.at(-1)!, before), minus(to, line.at(-1)!)]
          return { index, to, cosine: dot(u, v) / (Math.hypot(...u) * Math.hypot(...v) || 1) }
        })
        .sort((a, b) => b.cosine - a.cosine || a.index - b.index)[0]
      if (!next || next.cosine < 0.3) return
      used[next.index] = 1
      line.push(next.to)
    }
  }
  const lines: Seen[][] = []
  segments.forEach((segment, index) => {
    if (used[index]) return
    used[index] = 1
    const line = [segment.from, segment.to]
    follow(line)
    line.reverse()
    follow(line)
    lines.push(line)
  })
  return lines
}
