import type { SupersessionLink } from '../catalogue/supersession.ts'
import { orderNeed, stockPosition } from '../replenish/order-list.ts'

interface Stock {
  onHand: number
  onOrder: number
  wantedByJobs: number
}

/** A part that is ordered as the one at the end of its chain of supersession; that one is a member too, with ratio 1. */
export interface ChainMember {
  partId: number
  /** Stock units of the end of the chain that do the work of one of this part. */
  ratio: number
  /** True when it serves wherever the end of the chain serves: replaced both ways all along, or the end itself. */
  fitsBack: boolean
  /** All minor units of the member's own stock unit. */
  stock: Stock
  level: { reorderPoint: number; orderUpTo: number } | null
}

export interface ChainNeed extends Stock {
  reorderPoint: number | null
  orderUpTo: number | null
  /** What is missing, before packs. */
  need: number
  /** Members with something on the shelf, on order or wanted that was counted. */
  counted: number[]
}

/**
 * What a whole chain of superseded parts needs of the part at its end, in that part's minor units. `members` come nearest to
 * the end first; the first level found is the one that counts.
 *
 * What lies of a part replaced both ways is as good as the new one. What lies of a part replaced one way serves its own
 * jobs, and its own level where that is the one that counts, and nothing else: a job that asks for the new one cannot use it.
 * Source: interchangeability as parts lists state it (old for new, both ways; S1000D); the counting is common practice.
 */
export function chainNeed(members: readonly ChainMember[]): ChainNeed {
  const levelled = members.find((member) => member.level !== null)
  const sum: Stock = { onHand: 0, onOrder: 0, wantedByJobs: 0 }
  // What only the end of the chain and its equals can serve, and what they have for it.
  const own: Stock = { onHand: 0, onOrder: 0, wantedByJobs: 0 }
  const counted: number[] = []
  for (const member of members) {
    const of = member.fitsBack || member === levelled ? member.stock : forOwnJobs(member.stock)
    if (of.onHand + of.onOrder + of.wantedByJobs > 0) counted.push(member.partId)
    for (const which of ['onHand', 'onOrder', 'wantedByJobs'] as const) {
      sum[which] += of[which] * member.ratio
      if (member.fitsBack) own[which] += of[which] * member.ratio
    }
  }
  const level = {
    reorderPoint: levelled ? levelled.level!.reorderPoint * levelled.ratio : null,
    orderUpTo: levelled ? levelled.level!.orderUpTo * levelled.ratio : null,
  }
  const need = Math.max(orderNeed({ partId: 0, ...sum, ...level }), -stockPosition(own))
  return { ...sum, ...level, need, counted }
}

/**
 * True when the first part of `chain` serves wherever the last one does. When a part was replaced twice, the link entered last
 * counts, as in supersessionResolve.
 */
export function chainFitsBack(
  chain: readonly number[],
  links: readonly Pick<SupersessionLink, 'oldPartId' | 'interchange'>[],
): boolean {
  if (chain.length === 1) return true
  const next = new Map(links.map((link) => [link.oldPartId, link]))
  return chain.slice(0, -1).every((id) => next.get(id)?.interchange === 'both-ways')
}

/** Of a part that does not serve for its successor, only what its own jobs will use up. */
function forOwnJobs({ onHand, onOrder, wantedByJobs }: Stock): Stock {
  const fromShelf = Math.min(onHand, wantedByJobs)
  return { onHand: fromShelf, onOrder: Math.min(onOrder, wantedByJobs - fromShelf), wantedByJobs }
}
