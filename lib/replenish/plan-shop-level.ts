import { chainFitsBack, chainNeed } from '../buying/chain-need.ts'
import { supersessionResolve } from '../catalogue/supersession.ts'
import { quantityFormat } from '../measure/quantity.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { stockPosition } from './order-list.ts'
import type { ShopPart, ShopState } from './plan-shop-state.ts'

/** What a level asks of the plan; the part is the one whose level counts in its chain of supersession. */
export interface ShopLevel {
  partId: number
  quantity: number
  /** The part at the end of its chain, and the quantity in that part's units. */
  endId: number
  endQuantity: number
  by: PlainDate
  says: string
}

const incomingOf = ({ incoming }: ShopPart): number => incoming.reduce((sum, { quantity }) => sum + quantity, 0)

/**
 * Levels as needs, chain by chain as on the order list: at or below the reorder point all up to the order-up-to level, so that
 * stock and orders less the needs of jobs, and less what winter plans take for certain, leave exactly what is missing. Assumed: stock
 * serves jobs first, then the winter's certain needs, and the position of a level is what is left after both; what the winter takes
 * on condition may never be taken and does not lower it. Above it nothing is asked for, but that no alternative
 * takes the position down to it. `usualOn`: day on which the usual supplier would bring a part.
 */
export function shopLevels(
  { parts, winter, links, alternatives }: Pick<ShopState, 'parts' | 'winter' | 'links' | 'alternatives'>,
  usualOn: (partId: number) => PlainDate,
): ShopLevel[] {
  const standsIn = new Set(
    alternatives.flatMap(({ usedPartId, wantedPartId, bothWays }) => [usedPartId, ...(bothWays ? [wantedPartId] : [])]),
  )
  const certain = new Map<number, number>()
  for (const { partId, quantity, isCertain } of winter)
    if (isCertain) certain.set(partId, (certain.get(partId) ?? 0) + quantity)
  const chains = new Map<number, { part: ShopPart; ratio: number; chain: number[] }[]>()
  for (const part of parts) {
    const { partId, ratio, chain } = supersessionResolve(part.id, links)
    chains.set(partId, [...(chains.get(partId) ?? []), { part, ratio, chain }])
  }
  return [...chains].flatMap(([end, members]) => {
    members.sort((a, b) => a.chain.length - b.chain.length || a.part.id - b.part.id)
    const levelled = members.find(({ part }) => part.level !== null)?.part
    if (!levelled?.level) return []
    const facts = chainNeed(
      members.map(({ part, ratio, chain }) => ({
        partId: part.id,
        ratio,
        fitsBack: chainFitsBack(chain, links),
        stock: {
          onHand: part.onHand,
          onOrder: incomingOf(part),
          wantedByJobs: part.wantedByJobs + (certain.get(part.id) ?? 0),
        },
        level: part.level,
      })),
    )
    const { reorderPoint, orderUpTo } = levelled.level
    const isLow = stockPosition(facts) <= (facts.reorderPoint ?? 0)
    const mayLend = members.some(({ part }) => standsIn.has(part.id))
    if (!isLow && !mayLend) return []
    const show = (minor: number) => quantityFormat(minor, levelled.unit)
    const quantity = isLow ? orderUpTo : reorderPoint + 1
    if (quantity <= 0) return []
    // What is on order counts for a level as if it were there: nothing is bought because it takes its time.
    const lastOn = members
      .flatMap(({ part }) => part.incoming.map(({ on }) => on))
      .sort()
      .at(-1)
    const usual = usualOn(end)
    return [
      {
        partId: levelled.id,
        quantity,
        endId: end,
        endQuantity: quantity * (members.find(({ part }) => part === levelled)?.ratio ?? 1),
        by: lastOn !== undefined && lastOn > usual ? lastOn : usual,
        says: isLow
          ? `reorder point ${show(reorderPoint)}, up to ${show(orderUpTo)}`
          : `to stay above the reorder point ${show(reorderPoint)}`,
      },
    ]
  })
}
