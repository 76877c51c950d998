import type { StandIn } from './plan-facts.ts'

/**
 * Everything that may stand for something, through chains: C supersedes B and B supersedes A, so C stands for A. Of two ways the
 * one with fewer pieces counts. Circles are no harm: a part never stands for itself.
 */
export function standInsClosed(links: readonly StandIn[]): StandIn[] {
  const by = new Map<number, StandIn[]>()
  for (const link of links) by.set(link.part, [...(by.get(link.part) ?? []), link])
  return [...by.keys()].flatMap((part) => {
    const per = new Map<number, number>([[part, 1]])
    const open = [part]
    for (let from = open.pop(); from !== undefined; from = open.pop())
      for (const link of by.get(from) ?? []) {
        const pieces = per.get(from)! * link.per
        if (pieces < (per.get(link.fills) ?? Infinity)) {
          per.set(link.fills, pieces)
          open.push(link.fills)
        }
      }
    per.delete(part)
    return [...per].map(([fills, pieces]) => ({ part, fills, per: pieces }))
  })
}
