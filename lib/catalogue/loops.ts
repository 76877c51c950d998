/** One part leads to another: it is replaced by it, or is a kit that holds it. */
export type Link = readonly [from: number, to: number]

/**
 * Links that would lead back to where they begin, when `fresh` links join `standing` ones in their order: by place in `fresh`,
 * the whole way round, the first part named again at its end. A link that would close a loop does not join.
 * Nothing is walked for links that cannot lie on a loop, so a file of a hundred thousand good links takes a moment.
 * Example: loopsFind([[1, 2]], [[2, 3], [3, 1]]) is one loop, at 1: [3, 1, 2, 3].
 */
export function loopsFind(standing: readonly Link[], fresh: readonly Link[]): Map<number, number[]> {
  const loops = new Map<number, number[]>()
  const knot = knotted([...standing, ...fresh])
  if (knot.size === 0) return loops
  const inside = ([from, to]: Link) => knot.has(from) && knot.has(to)
  const next = new Map<number, number[]>()
  const led = new Set<number>()
  const join = ([from, to]: Link) => {
    pushTo(next, from, to)
    led.add(to)
  }
  for (const link of standing) if (inside(link)) join(link)
  for (const [at, link] of fresh.entries()) {
    if (!inside(link)) continue
    const [from, to] = link
    // Nothing leads to `from` yet, so nothing comes back to it.
    const way = from !== to && !led.has(from) ? null : wayFrom(to, from, next)
    if (way) loops.set(at, [from, ...way])
    else join(link)
  }
  return loops
}

function pushTo(lists: Map<number, number[]>, key: number, value: number): void {
  const list = lists.get(key)
  if (list) list.push(value)
  else lists.set(key, [value])
}

/** Parts that may lie on a loop: those left when what nothing leads to, and what leads nowhere, is taken away again and again. */
function knotted(links: readonly Link[]): Set<number> {
  const left = new Set(links.flat())
  peel(links, left)
  const inside = links.filter(([from, to]) => left.has(from) && left.has(to))
  peel(
    inside.map(([from, to]) => [to, from] as const),
    left,
  )
  return left
}

/** Takes away what nothing leads to. */
function peel(links: readonly Link[], left: Set<number>): void {
  const leading = new Map<number, number>()
  const next = new Map<number, number[]>()
  for (const [from, to] of links) {
    leading.set(to, (leading.get(to) ?? 0) + 1)
    pushTo(next, from, to)
  }
  const free = [...left].filter((id) => !leading.has(id))
  for (const id of free) {
    left.delete(id)
    for (const to of next.get(id) ?? []) {
      const count = leading.get(to)! - 1
      leading.set(to, count)
      if (count === 0) free.push(to)
    }
  }
}

/** The shortest way from one part to another, both named; null when there is none. */
function wayFrom(start: number, end: number, next: ReadonlyMap<number, readonly number[]>): number[] | null {
  const before = new Map<number, number | null>([[start, null]])
  const queue = [start]
  for (const at of queue) {
    if (at === end) {
      const way: number[] = []
      for (let step: number | null = at; step !== null; step = before.get(step) ?? null) way.push(step)
      return way.reverse()
    }
    for (const one of next.get(at) ?? [])
      if (!before.has(one)) {
        before.set(one, at)
        queue.push(one)
      }
  }
  return null
}
