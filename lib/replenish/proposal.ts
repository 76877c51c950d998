import type { MonthUse } from '../demand/history.ts'
import { USUAL_METHODS } from '../demand/method.ts'
import { monthsTold, takenIn } from '../demand/told.ts'
import { counted } from '../measure/counted.ts'
import type { PriceOn } from '../price/offer-price.ts'
import { levelSays, targetSays } from './explain.ts'
import { type LevelAnswer, level, matched, type Target } from './level.ts'
import { type Criticality, LEVEL_SETTINGS, type LevelSettings, leastYear, type ServiceAim } from './level-settings.ts'
import { needOf } from './part-level.ts'
import { type NeedFacts, type SizeMoments, sizeMoments } from './protection.ts'
import { orderQuantity, type PriceBreak, type QuantityAnswer } from './quantity.ts'

const DAYS_PER_MONTH = 30.44

/** Need of a month as a reckoning of all parts foresaw it, in stock units: with what services take, and without. */
export interface Forecast {
  withPlanned: NeedFacts
  withoutPlanned: NeedFacts
  /** Class and machines that a part which was never taken was foreseen from; null where it has a past of its own. */
  newOf: { partClass: string; machines: number } | null
}

export type ForecastMethod = 'installed-base' | 'own-months'

/** What a person reads of where the forecast comes from, and why. */
export const FORECAST_SAYS: Record<ForecastMethod, string> = {
  'installed-base':
    'from how often parts of its class are asked for per hour that machines run, and its own past; a part that is seldom asked for learns from the others',
  'own-months':
    'from its own months alone (Syntetos and Boylan, negative binomial), for no reckoning of all parts has seen it yet',
}

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
  /** Prices by quantity, `from` in minor units; null or absent where there is none but that of the choice. */
  prices?: PriceOn | null
  /** Years from receipt after which it is no longer good; null or absent where it keeps. */
  shelfLifeYears?: number | null
  /** As shipped where absent. */
  settings?: LevelSettings
  criticality?: Criticality
  /** Of the last reckoning of all parts; null or absent where none has seen the part. */
  forecast?: Forecast | null
}

/** What a person may change to see what comes of it. */
export interface ProposalChoice {
  aim: ServiceAim | { kind: 'least-cost'; standingDayMinor: number }
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
  /** False where so little is wanted that a part of its kind gets no level by itself. */
  isWorthKeeping: boolean
  method: ForecastMethod
  oneJob: number
  set: number
  /** Months that were left out because the shelf was empty and less than usual was taken. */
  leftOut: number
  /** P(need until an order has come = k), k from 0, in stock units; bars of equal width where they would be too many. */
  bars: { from: number; to: number; chance: number }[]
}

/** Use of the months that tell of need, and how many of the others there are. */
export function monthsThatTell(months: readonly MonthUse[], withPlanned: boolean): { use: number[]; leftOut: number } {
  const told = monthsTold(months, withPlanned)
  const use = months.filter((_, at) => told[at]).map((month) => takenIn(month, withPlanned))
  return { use, leftOut: months.length - use.length }
}

const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b))

/** How many one job takes, and the set they come in: told by the takings, else by the parts list. In whole pieces. */
export function jobWorth(takings: readonly number[], perPlace: number | null): { oneJob: number; set: number } {
  if (takings.length < 3) return { oneJob: Math.max(1, perPlace ?? 1), set: 1 }
  const sorted = takings.toSorted((a, b) => a - b)
  // All takings in twos is a part of pairs, whatever the list says of one place.
  return { oneJob: sorted[Math.floor((sorted.length - 1) / 2)] ?? 1, set: Math.max(1, takings.reduce(divisor)) }
}

/** Sizes of the takings; as long as three do not tell, what the parts list has at one place stands beside them. */
function sizesOf({ takings, perPlace, scale }: ProposalFacts): SizeMoments | null {
  const listed = takings.length < 3 && scale === 1 && perPlace !== null ? [perPlace] : []
  return sizeMoments([...takings, ...listed].map((one) => one / scale))
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

/** Levels of a part with all that they were reckoned from, in stock units; what is shown of them is made by `levelProposal`. */
export interface Reckoned {
  reorderPoint: number
  orderUpTo: number
  answer: LevelAnswer
  quantity: QuantityAnswer
  target: Target
  perYear: number
  /** Pieces of one job and of a set, minor units, and the smallest amount a level is said in. */
  oneJob: number
  set: number
  gridMinor: number
  months: number
  leftOut: number
  method: ForecastMethod
}

/** The need of a month, in stock units: what the reckoning of all parts foresaw, else from its own months alone. */
function needNow({ forecast, scale }: ProposalFacts, use: readonly number[], withPlanned: boolean): NeedFacts {
  if (forecast) return withPlanned ? forecast.withPlanned : forecast.withoutPlanned
  const method = USUAL_METHODS.find((one) => one.name === 'negbin-sba')
  const outlook = method?.outlooks([{ id: 'part', quantities: use.map((one) => one / scale) }])[0]
  return outlook && use.length > 0 ? needOf(outlook) : { mean: 0, variance: 0 }
}

/** Whether anything is ever needed of it, services counted or not: else nothing is proposed under any aim, lead time or price. */
export function isEverNeeded(facts: ProposalFacts): boolean {
  return [true, false].some(
    (withPlanned) => needNow(facts, monthsThatTell(facts.months, withPlanned).use, withPlanned).mean > 0,
  )
}

/** Prices by quantity in stock units. A price that a person puts in the place of the first moves the others in proportion. */
function breaksOf({ prices, scale }: ProposalFacts, priceMinor: number): PriceBreak[] {
  const first = prices?.breaks[0]?.priceMinor ?? 0
  if (!prices || first === 0) return [{ from: 0, price: priceMinor }]
  const times = priceMinor / first
  return prices.breaks.map(({ from, priceMinor: listed }, at) => ({
    from: from / scale,
    price: at === 0 ? priceMinor : listed * times,
  }))
}

/** Reorder point and order-up-to level of a part: the same for one on its screen and for all in a reckoning. */
export function levelReckon(facts: ProposalFacts, choice: ProposalChoice): Reckoned {
  const { scale, settings = LEVEL_SETTINGS } = facts
  const isPoured = scale !== 1
  const { use, leftOut } = monthsThatTell(facts.months, choice.withPlanned)
  const need = needNow(facts, use, choice.withPlanned)
  const worth = isPoured
    ? { oneJob: jobWorth(facts.takings, facts.perPlace).oneJob / scale, set: 1 }
    : jobWorth(facts.takings, facts.perPlace)
  const grain = isPoured ? (Math.max(worth.oneJob, need.mean) >= 1 ? 0.1 : 0.01) : null
  const holdingRate = settings.holdingPercent / 100
  const quantity = orderQuantity({
    demandYear: need.mean * 12,
    orderCost: settings.orderCostMinor,
    holdingRate,
    breaks: breaksOf(facts, choice.priceMinor),
    breakKind: facts.prices?.breakKind ?? 'all-units',
    pack: facts.pack / scale,
    minimum: facts.minimum / scale,
    shelfLifeYears: facts.shelfLifeYears ?? null,
    heldAlready: 0,
    longestYears: settings.longestYears,
  })
  const holding = Math.max(1, choice.priceMinor) * holdingRate
  const target: Target =
    choice.aim.kind === 'least-cost'
      ? { kind: 'least-cost', holding: holding / 12, standing: choice.aim.standingDayMinor * DAYS_PER_MONTH }
      : choice.aim
  const answer = level({
    need: { ...need, sizes: sizesOf(facts) },
    time: {
      leadMean: choice.leadDays / DAYS_PER_MONTH,
      leadSd: facts.leadSdDays / DAYS_PER_MONTH,
      review: settings.reviewDays / DAYS_PER_MONTH,
    },
    target,
    quantity: quantity.quantity,
    ...worth,
    grain,
  })
  const minor = (amount: number) => Math.round(amount * scale)
  return {
    reorderPoint: minor(answer.reorderPoint),
    orderUpTo: minor(answer.orderUpTo),
    answer,
    quantity,
    target,
    perYear: need.mean * 12,
    oneJob: minor(worth.oneJob),
    set: worth.set,
    gridMinor: grain === null ? worth.set : Math.max(1, minor(grain)),
    months: use.length,
    leftOut,
    method: facts.forecast ? 'installed-base' : 'own-months',
  }
}

type Show = (minor: number) => string

function yearSays(perYear: number, scale: number, show: Show): string {
  return scale !== 1 ? show(Math.round(Number(perYear.toPrecision(2)) * scale)) : brief(perYear)
}

const classSays = (partClass: string) =>
  partClass === 'other' ? 'parts without a class' : `the class ${partClass.replace(/-/g, ' ')}`

/** Where a part that was never taken has its need from; empty for one with a past. */
export function newSays(forecast: Forecast | null | undefined): string {
  if (!forecast?.newOf) return ''
  const { partClass, machines } = forecast.newOf
  const on = machines === 0 ? '' : ` and the ${counted(machines, 'machine')} that ${machines === 1 ? 'has' : 'have'} it`
  return `never taken yet, so foreseen from ${classSays(partClass)}${on}: `
}

const reviewDays = ({ settings = LEVEL_SETTINGS }: ProposalFacts): number => settings.reviewDays

/** A level in few words, as it is kept with it. */
export function levelReason(facts: ProposalFacts, choice: ProposalChoice, reckoned: Reckoned, show: Show): string {
  const year = yearSays(reckoned.perYear, facts.scale, show)
  const singly = facts.scale !== 1 || reckoned.oneJob === 1
  const taken = `${singly ? '' : `, ${show(reckoned.oneJob)} at a time`}${choice.withPlanned ? '' : ', services not counted'}`
  return `${newSays(facts.forecast)}about ${year} a year${taken}, ${counted(Math.round(choice.leadDays), 'day')} to come, aim ${targetSays(reckoned.target, reviewDays(facts))}`
}

/**
 * Whether a part is worth a place on the shelf: what is hardly ever wanted is bought when a job wants it. Jobs count, not pieces: ten
 * caps that one job in twenty years would take are no reason to keep ten.
 */
export function isWorthKeeping(facts: ProposalFacts, reckoned: Reckoned): boolean {
  const { perYear, oneJob, target } = reckoned
  if (perYear <= 0) return false
  if (target.kind === 'least-cost' || !facts.forecast) return true
  // Of what is poured nobody knows what a job takes until three have taken some.
  const isJobKnown = facts.scale === 1 || facts.takings.length >= 3
  const timesYear = isJobKnown ? perYear / (Math.max(1, oneJob) / facts.scale) : perYear
  return timesYear >= leastYear(facts.settings ?? LEVEL_SETTINGS, facts.criticality ?? 'essential')
}

function proposalSays(
  facts: ProposalFacts,
  choice: ProposalChoice,
  reckoned: Reckoned,
  words: { show: Show; lead: string },
): string {
  const { perYear, answer, target, oneJob } = reckoned
  if (perYear === 0)
    return `${reckoned.months === 0 ? 'Nothing of it was used in a whole month yet' : `Nothing of it was used in ${counted(reckoned.months, 'month')}`}: it is bought when a job wants it.`
  const year = yearSays(perYear, facts.scale, words.show)
  const says = levelSays(answer, target, {
    used: `about ${year} a year${choice.withPlanned ? '' : ', services not counted,'} are ${facts.forecast?.newOf ? 'foreseen' : 'used'}`,
    atATime: facts.scale !== 1 || oneJob === 1 ? null : words.show(oneJob),
    lead: words.lead,
    review: reviewDays(facts),
    show: (amount) => words.show(Math.round(amount * facts.scale)),
  })
  const isNew = newSays(facts.forecast)
  return `${isNew.charAt(0).toUpperCase()}${isNew.slice(1)}${says}`
}

/** Levels of a part as its ledger and its supplier have it, under what a person wants; nothing is kept by it. */
export function levelProposal(
  facts: ProposalFacts,
  choice: ProposalChoice,
  words: { show: Show; lead: string },
): Proposal {
  const reckoned = levelReckon(facts, choice)
  const { reorderPoint, orderUpTo, answer, quantity, perYear, oneJob, set, leftOut, method } = reckoned
  return {
    reorderPoint,
    orderUpTo,
    says: proposalSays(facts, choice, reckoned, words),
    reason: levelReason(facts, choice, reckoned, words.show),
    answer,
    quantity,
    perYear,
    isWorthKeeping: isWorthKeeping(facts, reckoned),
    method,
    oneJob,
    set,
    leftOut,
    bars: barsOf(answer, facts.scale !== 1),
  }
}
