import type { Method, PartHistory } from './method.ts'
import type { SeriesPart } from './series-file.ts'
import { levelsSpread } from './spread.ts'
import { type StockRun, stockRun } from './stock-run.ts'
import { cycleClaimed, fillClaimed, type Protection, protection, type TargetKind, targetLevel } from './target-level.ts'

export interface BacktestInput {
  /** All of one length. */
  parts: readonly SeriesPart[]
  /** Periods that nothing is judged in; the rest is run through. */
  trainPeriods: number
  leadPeriods: number
  reviewPeriods: number
  kind: TargetKind
  targets: readonly number[]
  /** Levels set once, or again at every review from all history so far. */
  mode: 'fixed' | 'rolling'
  start: 'full' | 'steady'
  /** One target for each part, or one for all together with the least stock (value, where there are prices). */
  isSpread: boolean
  /** Parts that are also judged by themselves, by their places in `parts`; they learn and are spread with all the others. */
  groups?: readonly BacktestGroup[]
}

export interface BacktestGroup {
  name: string
  at: readonly number[]
}

export interface BacktestRow {
  method: string
  /** Name of the group that is judged; null for all parts. */
  group: string | null
  target: number
  /** Pieces served at once / pieces wanted. */
  fill: number
  /** Share of part-periods that end with nothing waiting. */
  cycle: number
  /** What the method itself says of the whole levels that were set. */
  claimedFill: number
  claimedCycle: number
  /** Pieces on hand at the end of a period, mean over parts, and the same in money over the parts that have a price. */
  stock: number
  value: number | null
  /** Orders of a part in twelve periods. */
  orders: number
}

function historyTo(part: SeriesPart, end: number): PartHistory {
  const { id, quantities, exposure, partClass } = part
  return {
    id,
    quantities: quantities.slice(0, end),
    ...(partClass === undefined ? {} : { partClass }),
    ...(exposure ? { exposure: exposure.slice(0, end) } : {}),
  }
}

/** Levels of all parts for each target, as they would have been set with the history up to `end`. */
function levelsAt(given: readonly Protection[], { parts, kind, targets, isSpread }: BacktestInput): number[][] {
  if (!isSpread) return targets.map((target) => given.map((one) => targetLevel(one, kind, target)))
  const isPriced = parts.some(({ price }) => price !== null)
  // A part without a price among priced ones counts as one of middling price.
  const prices = parts.flatMap(({ price }) => (price === null ? [] : [price])).sort((a, b) => a - b)
  const middling = prices[prices.length >> 1] ?? 1
  const weights = parts.map(({ price }) => (isPriced ? (price ?? middling) : 1))
  return levelsSpread(given, weights, kind, targets)
}

interface Claim {
  fill: number
  cycle: number
}

function claimOf(given: readonly Protection[], levels: readonly number[], places: readonly number[]): Claim {
  let served = 0
  let wanted = 0
  let cycle = 0
  for (const at of places) {
    const one = given[at]!
    served += one.meanReview * fillClaimed(one, levels[at]!)
    wanted += one.meanReview
    cycle += cycleClaimed(one, levels[at]!)
  }
  return { fill: wanted > 0 ? served / wanted : 1, cycle: cycle / places.length }
}

/**
 * One method over past demand it had not seen: levels are set from the history, the shelf is run through the periods after it.
 * Rolling origin: at each review the levels are set anew. One row a target for all parts, then for each group; targets must rise.
 */
export function backtest(method: Method, input: BacktestInput): BacktestRow[] {
  const { parts, trainPeriods, leadPeriods, reviewPeriods, targets, mode, start } = input
  const length = parts[0]?.quantities.length ?? 0
  if (parts.some(({ quantities }) => quantities.length !== length))
    throw new RangeError('backtest: the parts must have the same periods')
  if (!(trainPeriods >= 1 && trainPeriods < length))
    throw new RangeError(`backtest: ${trainPeriods} periods to learn from leave nothing of ${length} to judge`)
  const levels = new Map<number, number[][]>()
  const judged: { name: string | null; at: readonly number[]; claims: Claim[] }[] = [
    { name: null, at: parts.map((_, at) => at) },
    ...(input.groups ?? []),
  ].map((group) => ({ ...group, claims: targets.map(() => ({ fill: 0, cycle: 0 })) }))
  let origins = 0
  // The level set at the end of the last period would order what arrives after the judging, so it is that of the one before.
  for (let end = trainPeriods; end < length; end += reviewPeriods) {
    if (mode === 'fixed' && end > trainPeriods) break
    const outlooks = method.outlooks(parts.map((part) => historyTo(part, end)))
    const given = outlooks.map((outlook) => protection(outlook, leadPeriods, reviewPeriods))
    const set = levelsAt(given, input)
    levels.set(end, set)
    origins += 1
    for (const { at, claims } of judged)
      for (const [which, list] of set.entries()) {
        const { fill, cycle } = claimOf(given, list, at)
        claims[which]!.fill += fill
        claims[which]!.cycle += cycle
      }
  }
  const ends = [...levels.keys()]
  const setAt = (at: number) => levels.get(ends.findLast((end) => end <= at + 1) ?? trainPeriods)!
  const runs = targets.map((_, which) =>
    parts.map(({ quantities }, part) =>
      stockRun({
        quantities,
        from: trainPeriods,
        levelAt: (at) => setAt(at)[which]![part]!,
        leadPeriods,
        reviewPeriods,
        start,
      }),
    ),
  )
  return judged.flatMap(({ name, at, claims }) =>
    targets.map((target, which) => ({
      method: method.name,
      group: name,
      target,
      ...rowOf(
        at.map((part) => parts[part]!),
        at.map((part) => runs[which]![part]!),
      ),
      claimedFill: claims[which]!.fill / origins,
      claimedCycle: claims[which]!.cycle / origins,
    })),
  )
}

function rowOf(
  parts: readonly SeriesPart[],
  runs: readonly StockRun[],
): Pick<BacktestRow, 'fill' | 'cycle' | 'stock' | 'value' | 'orders'> {
  const sum = (of: (run: StockRun) => number) => runs.reduce((total, run) => total + of(run), 0)
  const periods = sum((run) => run.periods)
  const wanted = sum((run) => run.wanted)
  const priced = runs.flatMap((run, at) => {
    const { price } = parts[at]!
    return price === null ? [] : [(price * run.onHand) / run.periods]
  })
  return {
    fill: wanted > 0 ? sum((run) => run.served) / wanted : 1,
    cycle: sum((run) => run.periodsMet) / periods,
    stock: sum((run) => run.onHand) / periods,
    value: priced.length > 0 ? priced.reduce((total, value) => total + value, 0) / priced.length : null,
    orders: (12 * sum((run) => run.orders)) / periods,
  }
}
