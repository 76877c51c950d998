import type { StandIn } from './plan-facts.ts'

/** `part` may be used where `fills` is wanted, `per` for one. */
export interface StandInLink {
  part: number
  fills: number
  per: number
  isAlternative: boolean
}

/**
 * Everything that may stand for something, through chains: C supersedes B and B supersedes A, so C stands for A. Of two ways the
 * one with fewer pieces counts. Circles are no harm: a part never stands for itself.
 */
export function standInsClosed(links: readonly StandInLink[]): StandIn[] {
  const bySupersession = closed(links.filter(({ isAlternative }) => !isAlternative))
  return [...closed(links)].flatMap(([part, reached]) =>
    [...reached].map(([fills, per]) => ({ part, fills, per, perItself: bySupersession.get(part)?.get(fills) ?? null })),
  )
}

function closed(links: readonly StandInLink[]): Map<number, Map<number, number>> {
  const by = new Map<number, StandInLink[]>()
  for (const link of links) by.set(link.part, [...(by.get(link.part) ?? []), link])
  return new Map(
    [...by.keys()].map((part) => {
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
      return [part, per]
    }),
  )
}
