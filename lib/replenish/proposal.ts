import type { MonthUse } from '../demand/history.ts'
import { USUAL_METHODS } from '../demand/method.ts'
import { counted } from '../measure/counted.ts'
import { levelSays, targetSays } from './explain.ts'
import { type LevelAnswer, level, matched, type Target } from './level.ts'
import { needOf } from './part-level.ts'
import { sizeMoments } from './protection.ts'
import { orderQuantity, type QuantityAnswer } from './quantity.ts'

/** The order list is gone through once a week; common practice, no source. */
export const REVIEW_DAYS = 7
/** What one order costs and what keeping a piece costs in a year, as a share of its price; common practice, no source. */
export const ORDER_COST_MINOR = 1000
export const HOLDING_RATE = 0.2
export const LONGEST_YEARS = 2
const DAYS_PER_MONTH = 30.44

export interface ProposalFacts {
  /** Minor units in one stock unit; quantities of the history are minor units. */
  scale: number
  months: readonly MonthUse[]
  takings: readonly number[]
  /** Pieces at one place of a parts list, minor units; null where no list has the part. */
  perPlace: number | null
  leadSdDays: number
  pack: number
  minimum: number
}

/** What a person may change to see what comes of it. */
export interface ProposalChoice {
  aim: { kind: 'fill'; share: number } | { kind: 'least-cost'; standingDayMinor: number }
  leadDays: number
  /** Money for one stock unit, minor units. */
  priceMinor: number
  /** Services count as need like any other; false: their parts are bought for them when they are planned. */
  withPlanned: boolean
}

export interface Proposal {
  /** Minor units of the stock unit. */
  reorderPoint: number
  orderUpTo: number
  says: string
  /** The same in few words, kept with the level. */
  reason: string
  answer: LevelAnswer
  quantity: QuantityAnswer
  perYear: number
  oneJob: number
  set: number
  /** Months that were left out because the shelf was empty and less than usual was taken. */
  leftOut: number
  /** P(need until an order has come = k), k from 0, in stock units; bars of equal width where they would be too many. */
  bars: { from: number; to: number; chance: number }[]
}

const CENSORED_NEED = 6

/**
 * Use of the months that tell of need. A month in which the shelf ran out tells only that at least so much was wanted: it counts
 * where it is no less than the mean of the months that had stock, once there are six of those.
 */
export function monthsThatTell(months: readonly MonthUse[], withPlanned: boolean): { use: number[]; leftOut: number } {
  const takenIn = (month: MonthUse) => month.failure + month.other + (withPlanned ? month.planned : 0)
  const stocked = months.filter((month) => !month.isCensored)
  if (stocked.length < CENSORED_NEED) return { use: months.map(takenIn), leftOut: 0 }
  const mean = stocked.reduce((sum, month) => sum + takenIn(month), 0) / stocked.length
  const told = months.filter((month) => !month.isCensored || takenIn(month) >= mean)
  return { use: told.map(takenIn), leftOut: months.length - told.length }
}

const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b))

/** How many one job takes, and the set they come in: told by the takings, else by the parts list. In whole pieces. */
export function jobWorth(takings: readonly number[], perPlace: number | null): { oneJob: number; set: number } {
  if (takings.length < 3) return { oneJob: Math.max(1, perPlace ?? 1), set: 1 }
  const sorted = takings.toSorted((a, b) => a - b)
  // All takings in twos is a part of pairs, whatever the list says of one place.
  return { oneJob: sorted[Math.floor((sorted.length - 1) / 2)] ?? 1, set: Math.max(1, takings.reduce(divisor)) }
}

const BARS_MOST = 40

function barsOf(answer: LevelAnswer, isPoured: boolean): Proposal['bars'] {
  const need = matched(answer.protection.whole, isPoured)
  const most = Math.max(answer.reorderPoint + 1, need.quantile(0.999))
  const width = isPoured ? most / BARS_MOST : Math.ceil((Math.floor(most) + 1) / BARS_MOST)
  const bars: Proposal['bars'] = []
  for (let from = 0; from <= most; from += width) {
    const to = from + width
    const below = from === 0 ? 0 : need.cdf(isPoured ? from : from - 1)
    bars.push({ from, to, chance: Math.max(0, need.cdf(isPoured ? to : to - 1) - below) })
  }
  return bars
}

/** Two figures are as much as a person takes in. */
const brief = (value: number): string => String(Number(value.toPrecision(2)))

/** Levels of a part as its ledger and its supplier have it, under what a person wants; nothing is kept by it. */
export function levelProposal(
  facts: ProposalFacts,
  choice: ProposalChoice,
  { show, lead }: { show: (minor: number) => string; lead: string },
): Proposal {
  const { scale } = facts
  const isPoured = scale !== 1
  const { use, leftOut } = monthsThatTell(facts.months, choice.withPlanned)
  const method = USUAL_METHODS.find((one) => one.name === 'negbin-sba')
  const outlook = method?.outlooks([{ id: 'part', quantities: use.map((one) => one / scale) }])[0]
  const need = outlook && use.length > 0 ? needOf(outlook) : { mean: 0, variance: 0 }
  const worth = isPoured
    ? { oneJob: jobWorth(facts.takings, facts.perPlace).oneJob / scale, set: 1 }
    : jobWorth(facts.takings, facts.perPlace)
  const grain = isPoured ? (Math.max(worth.oneJob, need.mean) >= 1 ? 0.1 : 0.01) : null
  const quantity = orderQuantity({
    demandYear: need.mean * 12,
    orderCost: ORDER_COST_MINOR,
    holdingRate: HOLDING_RATE,
    breaks: [{ from: 0, price: choice.priceMinor }],
    breakKind: 'all-units',
    pack: facts.pack / scale,
    minimum: facts.minimum / scale,
    shelfLifeYears: null,
    heldAlready: 0,
    longestYears: LONGEST_YEARS,
  })
  const holding = Math.max(1, choice.priceMinor) * HOLDING_RATE
  const target: Target =
    choice.aim.kind === 'fill'
      ? choice.aim
      : { kind: 'least-cost', holding: holding / 12, standing: choice.aim.standingDayMinor * DAYS_PER_MONTH }
  const answer = level({
    need: { ...need, sizes: sizeMoments(facts.takings.map((one) => one / scale)) },
    time: {
      leadMean: choice.leadDays / DAYS_PER_MONTH,
      leadSd: facts.leadSdDays / DAYS_PER_MONTH,
      review: REVIEW_DAYS / DAYS_PER_MONTH,
    },
    target,
    quantity: quantity.quantity,
    ...worth,
    grain,
  })
  const minor = (amount: number) => Math.round(amount * scale)
  const perYear = need.mean * 12
  const year = isPoured ? show(minor(Number(perYear.toPrecision(2)))) : brief(perYear)
  return {
    reorderPoint: minor(answer.reorderPoint),
    orderUpTo: minor(answer.orderUpTo),
    says:
      perYear === 0
        ? `Nothing of it was used in ${counted(use.length, 'month')}: it is bought when a job wants it.`
        : levelSays(answer, target, {
            used: `about ${year} a year are`,
            lead,
            show: (amount) => show(minor(amount)),
          }),
    reason: `about ${year} a year, ${counted(Math.round(choice.leadDays), 'day')} to come, aim ${targetSays(target)}`,
    answer,
    quantity,
    perYear,
    oneJob: minor(worth.oneJob),
    set: worth.set,
    leftOut,
    bars: barsOf(answer, isPoured),
  }
}
