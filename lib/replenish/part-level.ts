import type { Outlook } from '../demand/method.ts'
import { counted } from '../measure/counted.ts'
import { levelSays, targetSays } from './explain.ts'
import { type LevelAnswer, level, type Target } from './level.ts'
import type { LevelsPart } from './levels-file.ts'
import { type NeedFacts, sizeMoments } from './protection.ts'
import { orderQuantity } from './quantity.ts'

export interface OrderFacts {
  /** Money of one order, in the unit of the prices. */
  orderCost: number
  holdingRate: number
  periodsPerYear: number
  longestYears: number
}

/**
 * Mean and the two variances of a forecast (`NeedFacts`), read off what it says of one period and of two: v + w and 2 v + 4 w.
 */
export function needOf(outlook: Outlook): NeedFacts {
  const one = outlook(1)
  const two = outlook(2)
  const rateVariance = Math.max(0, (two.variance - 2 * one.variance) / 2)
  return { mean: one.mean, variance: Math.max(0, one.variance - rateVariance), rateVariance }
}

export interface PartLevel {
  id: string
  reorderPoint: number
  orderUpTo: number
  orderQuantity: number
  safetyStock: number
  fillRate: number
  cycleService: number
  deliveryService: number | null
  reason: string
  answer: LevelAnswer
}

/** Two figures are as much as a person takes in. */
const brief = (value: number): string => String(Number(value.toPrecision(2)))

/** What a part that was never asked for was foreseen from. */
export type ForeseenFrom = 'class' | 'all parts' | 'nothing'

/** Before the level of a part that was never asked for: that it was not, and where its need comes from then. */
function neverSays({ quantities, partClass, exposure }: LevelsPart, from: ForeseenFrom): string {
  const never = `Never asked for in ${counted(quantities.length, 'period')}`
  if (from === 'nothing') return `${never}, nor was any part of the file, so that a little is supposed: `
  const others = from === 'class' ? `the class ${partClass}` : 'all parts of the file'
  return `${never}, so foreseen from ${others}${exposure ? ' and from how much it runs' : ''}: `
}

/**
 * Levels of one part of a file. The order quantity is the economic one where the part has a price, else the smallest order. Such a file
 * does not know how many were taken at a time, so pieces count singly, or by the set where it says one. `newFrom`: null for a part with demands of its own.
 */
export function partLevel(
  part: LevelsPart,
  outlook: Outlook,
  order: OrderFacts,
  newFrom: ForeseenFrom | null = null,
): PartLevel {
  const need = needOf(outlook)
  const { price, pack, minimum, leadTime, leadTimeSd, review, oneJob, set } = part
  const { quantity } = orderQuantity({
    demandYear: price === null ? 0 : need.mean * order.periodsPerYear,
    orderCost: order.orderCost,
    holdingRate: order.holdingRate,
    breaks: [{ from: 1, price: price ?? 1 }],
    breakKind: 'all-units',
    pack,
    minimum,
    shelfLifeYears: null,
    heldAlready: 0,
    longestYears: order.longestYears,
  })
  const target: Target = { kind: part.targetKind, share: part.target }
  const answer = level({
    need: { ...need, sizes: set === 1 ? null : sizeMoments([set]) },
    time: { leadMean: leadTime, leadSd: leadTimeSd, review },
    target,
    quantity,
    oneJob,
    set,
    grain: null,
  })
  const periods = (count: number) => `${brief(count)} ${count === 1 ? 'period' : 'periods'}`
  const reason =
    need.mean === 0
      ? `Nothing was used in ${part.quantities.length} periods: one job’s worth is kept, and the aim of ${targetSays(target, review)} is met.`
      : `${newFrom === null ? '' : neverSays(part, newFrom)}${levelSays(answer, target, {
          used: `about ${brief(need.mean)} a period are ${newFrom === null ? 'used' : 'foreseen'}`,
          lead: `${periods(leadTime)}${leadTimeSd > 0 ? `, give or take ${brief(leadTimeSd)}` : ''}${review > 0 ? `, the shelf is looked at every ${periods(review)}` : ''}`,
          review,
          show: String,
        })}`
  const { reorderPoint, orderUpTo, safetyStock, fillRate, cycleService, deliveryService } = answer
  return {
    id: part.id,
    reorderPoint,
    orderUpTo,
    // In packs it is what the packs make it; else nobody orders half a set.
    orderQuantity: pack === 1 ? Math.ceil(quantity / set) * set : quantity,
    safetyStock,
    fillRate,
    cycleService,
    deliveryService,
    reason,
    answer,
  }
}
