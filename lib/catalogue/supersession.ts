import { Refusal } from '../refusal.ts'

/** "old is replaced by new": `ratio` new stock units do the work of one old one. */
export interface SupersessionLink {
  oldPartId: number
  newPartId: number
  ratio: number
  interchange: 'one-way' | 'both-ways'
}

export interface SupersessionResolved {
  /** The part that can be ordered now; the part itself when nothing replaces it. */
  partId: number
  /** New stock units for one of the part asked for: the product along the chain. */
  ratio: number
  /** Every part on the way, the one asked for first. */
  chain: number[]
}

/**
 * Follows the chain to what is orderable now. Ends for every finite set of links, loops included: a part met twice is a
 * broken record, and the walk stops there. When a part was replaced twice, the link entered last counts.
 */
export function supersessionResolve(partId: number, links: readonly SupersessionLink[]): SupersessionResolved {
  const next = new Map(links.map((link) => [link.oldPartId, link]))
  const chain = [partId]
  let ratio = 1
  let at = partId
  for (let link = next.get(at); link && !chain.includes(link.newPartId); link = next.get(at)) {
    at = link.newPartId
    ratio *= link.ratio
    chain.push(at)
  }
  return { partId: at, ratio, chain }
}

/** Refuses a link that would close a loop, naming the loop through `name`. */
export function supersessionCheck(
  link: Pick<SupersessionLink, 'oldPartId' | 'newPartId'>,
  links: readonly SupersessionLink[],
  name: (partId: number) => string = String,
): void {
  const { chain } = supersessionResolve(link.newPartId, links)
  const at = link.oldPartId === link.newPartId ? 0 : chain.indexOf(link.oldPartId)
  if (at === -1) return
  const loop =
    link.oldPartId === link.newPartId ? [link.oldPartId, link.oldPartId] : [link.oldPartId, ...chain.slice(0, at + 1)]
  throw new Refusal('catalogue/cycle', { loop: loop.map(name).join(' -> ') })
}
