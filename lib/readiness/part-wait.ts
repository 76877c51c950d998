import { betaNodes, rateNodes } from '../maths/gauss.ts'
import { NeedSoFar, type NeedStep, type PartNeed } from './part-need.ts'
import {
  binomialPieces,
  failurePieces,
  NO_PIECES,
  type Pieces,
  piecesAtMost,
  piecesSum,
  piecesTimes,
  sumAtMost,
} from './pieces.ts'
import type { WorkPart, WorkPlan } from './plan-check.ts'

/** What may be needed up to and including each step, in grains of what is uncertain; negative where what is certain is too much. */
export type NeedLimits = readonly number[]

/** Pieces of a part at hand on the day of each step: free now, on order and due by then, and what is bought now. */
export function needLimits(
  { steps, grain }: PartNeed,
  { free, onOrder }: Pick<WorkPart, 'free' | 'onOrder'>,
  bought: { pieces: number; arrives: string } | null = null,
): NeedLimits {
  let fixed = 0
  return steps.map((step) => {
    fixed += step.fixed
    let there = free
    for (const { quantity, date } of onOrder) if (date <= step.date) there += quantity
    if (bought !== null && bought.arrives <= step.date) there += bought.pieces
    return Math.floor((there - fixed) / grain)
  })
}

/** Chance that a step needs nothing at all, and which places of looks are sound then. */
function nothingNeeded(need: PartNeed, { fixed, sources }: NeedStep): { chance: number; sound: Map<number, number> } {
  const sound = new Map<number, number>()
  if (fixed > 0) return { chance: 0, sound }
  let chance = 1
  for (const { places, chance: worn } of sources)
    if ('given' in worn) chance *= (1 - worn.given) ** places
    else {
      const { a, b } = need.looks[worn.look]!
      const before = sound.get(worn.look) ?? 0
      for (let at = 0; at < places; at++) chance *= (b + before + at) / (a + b + before + at)
      sound.set(worn.look, before + places)
    }
  return { chance, sound }
}

/**
 * For each step the chance that its job does not wait for this part: either it turns out to need none, or what is needed up to
 * and including it is there. Pieces are given in the order of the steps, and failures take theirs as they come up.
 */
export function stepChances(need: PartNeed, limits: NeedLimits): number[] {
  const soFar = new NeedSoFar(need)
  return need.steps.map((step, at) => {
    const most = limits[at]!
    const none = nothingNeeded(need, step)
    // Found sound, it stands behind nobody: it waits only where it needs some and the shelf is empty by then.
    const without = none.chance === 0 ? 0 : none.chance * (1 - sumAtMost(soFar.all(step.share, none.sound), most))
    soFar.add(step)
    return Math.min(1, Math.max(0, sumAtMost(soFar.all(step.share), most) + without))
  })
}

/** Combinations of nodes of several looks at most; beyond, each look gets fewer nodes. */
const COMBINATIONS_MOST = 2000
const NODES_MOST = 96

export interface LookCase {
  weight: number
  chances: Map<number, number>
}

/** Nodes for the chance of a look over so many places: exact for whatever hangs on the chance by a polynomial of that degree. */
export const nodesNeeded = (places: number) => Math.min(NODES_MOST, Math.ceil((places + 1) / 2))

/** Several looks at once, each chance stood in for by nodes. */
export function lookCases(looks: ReadonlyMap<number, number>, all: WorkPlan['looks']): LookCase[] {
  const most = Math.max(3, Math.floor(COMBINATIONS_MOST ** (1 / Math.max(1, looks.size))))
  let cases: LookCase[] = [{ weight: 1, chances: new Map() }]
  for (const [look, places] of looks) {
    const { a, b } = all[look]!
    const nodes = betaNodes(a, b, Math.min(most, nodesNeeded(places)))
    cases = cases.flatMap(({ weight, chances }) =>
      nodes.at.map((chance, at) => ({
        weight: weight * nodes.weights[at]!,
        chances: new Map(chances).set(look, chance),
      })),
    )
  }
  return cases
}

export function placesByLook(steps: readonly NeedStep[]): Map<number, number> {
  const looks = new Map<number, number>()
  for (const { sources } of steps)
    for (const { chance, places } of sources)
      if ('look' in chance) looks.set(chance.look, (looks.get(chance.look) ?? 0) + places)
  return looks
}

/** Need so far: chances of 0, 1, ... grains up to the largest limit, and of all beyond it. */
interface Row {
  upTo: Float64Array
  beyond: number
}

function rowPlus(sum: Row, { upTo, beyond }: Row, by: number, weight: number): void {
  const end = Math.min(upTo.length, Math.max(0, upTo.length - by))
  for (let at = 0; at < end; at++) sum.upTo[at + by]! += weight * upTo[at]!
  for (let at = end; at < upTo.length; at++) sum.beyond += weight * upTo[at]!
  sum.beyond += weight * beyond
}

function rowAdd(row: Row, { from, chances }: Pieces): Row {
  if (from === 0 && chances.length === 1) return row
  const sum: Row = { upTo: new Float64Array(row.upTo.length), beyond: 0 }
  for (let at = 0; at < chances.length; at++) if (chances[at]! > 0) rowPlus(sum, row, from + at, chances[at]!)
  return sum
}

/** Of one job: where it needs some, what is beyond its limit has to wait and is taken out. */
function rowStep(row: Row, own: Pieces, step: NeedStep, most: number): Row {
  const none = chanceOfNone(own, step)
  const some = rowAdd(row, own)
  for (let at = Math.max(0, most + 1); at < some.upTo.length; at++) some.upTo[at] = none * row.upTo[at]!
  some.beyond = none * row.beyond
  return some
}

const chanceOfNone = (own: Pieces, { fixed }: NeedStep) => (fixed === 0 && own.from === 0 ? own.chances[0]! : 0)

/** Chances of looks and, where failures come at an uncertain rate, that rate; given those, jobs know nothing of each other. */
interface WalkCase {
  weight: number
  /** For each step the failures before it and its own need, in grains. */
  steps: { failures: Pieces; own: Pieces }[]
}

function* walkCases(need: PartNeed): Generator<WalkCase> {
  const { failures, grain, steps } = need
  const last = steps.at(-1)?.share ?? 0
  const isUncertain = failures !== null && failures.shape !== null && last > 0 && failures.mean > 0
  const rates = isUncertain ? rateNodes(failures.shape!, failures.mean) : { at: [failures?.mean ?? 0], weights: [1] }
  for (const { weight, chances } of lookCases(placesByLook(steps), need.looks)) {
    const own = steps.map(({ sources }) =>
      sources.reduce((sum, { places, quantity, chance }) => {
        const given = 'given' in chance ? chance.given : chances.get(chance.look)!
        return piecesSum(sum, piecesTimes(binomialPieces(places, given), quantity / grain))
      }, NO_PIECES),
    )
    for (const [node, rate] of rates.at.entries()) {
      let share = 0
      yield {
        weight: weight * rates.weights[node]!,
        steps: steps.map((step, at) => {
          const more = failurePieces(rate * (step.share - share), null)
          share = step.share
          return { failures: failures === null ? more : piecesTimes(more, failures.quantity / grain), own: own[at]! }
        }),
      }
    }
  }
}

/** More grains than this are never needed; of failures, which know no end, with a chance that no digit shows. */
export function grainsMost({ steps, failures, grain }: PartNeed): number {
  let most = 0
  for (const { sources } of steps) for (const { places, quantity } of sources) most += (places * quantity) / grain
  const share = steps.at(-1)?.share ?? 0
  if (!failures || share === 0) return most
  const { from, chances } = failurePieces(failures.mean * share, failures.shape)
  return most + ((from + chances.length) * failures.quantity) / grain
}

const rowSum = ({ upTo, beyond }: Row) => upTo.reduce((sum, chance) => sum + chance, beyond)

/** What is needed before step `until`, where every job of `asked` (all where it is not named) had what it needed. */
function rowBefore(
  need: PartNeed,
  { steps }: WalkCase,
  limits: NeedLimits,
  { until, size, asked }: { until: number; size: number; asked: ReadonlySet<number> | null },
): Row {
  let row: Row = { upTo: new Float64Array(size), beyond: size > 0 ? 0 : 1 }
  if (size > 0) row.upTo[0] = 1
  for (let at = 0; at < until; at++) {
    const { failures, own } = steps[at]!
    row = rowAdd(row, failures)
    row = asked === null || asked.has(at) ? rowStep(row, own, need.steps[at]!, limits[at]!) : rowAdd(row, own)
  }
  return row
}

/** Every job of `asked` is done without waiting for the part, walked job by job. */
function walkChance(need: PartNeed, limits: NeedLimits, asked: ReadonlySet<number> | null): number {
  const size = Math.min(Math.max(-1, ...limits), grainsMost(need)) + 1
  let total = 0
  for (const one of walkCases(need))
    total += one.weight * rowSum(rowBefore(need, one, limits, { until: need.steps.length, size, asked }))
  return Math.min(1, total)
}

/** The same for some of the jobs: those of one machine. */
export function someChance(need: PartNeed, limits: NeedLimits, asked: readonly number[]): number {
  return walkChance(need, limits, new Set(asked))
}

/** What all jobs need together, without failures. */
function plannedPieces(need: PartNeed): Pieces {
  const soFar = new NeedSoFar(need)
  for (const step of need.steps) soFar.add(step)
  return soFar.planned().reduce(piecesSum, NO_PIECES)
}

/**
 * Whether the last limit alone decides: nothing fails, and nothing comes in later that the last job has and an earlier one had
 * not. Limits fall by what is certain only: whoever keeps the last and least one keeps all before it, and the other way round.
 */
function isLastLeast({ steps, failures }: PartNeed, limits: NeedLimits): boolean {
  const end = limits.at(-1)!
  return (
    failures === null &&
    end >= 0 &&
    steps.every(({ fixed }, at) => limits[at]! >= end && (fixed > 0 || at === 0 || limits[at]! >= limits[at - 1]!))
  )
}

/** Chance that no job waits for this part. */
export function planChance(need: PartNeed, limits: NeedLimits): number {
  if (need.steps.length === 0) return 1
  if (isLastLeast(need, limits)) return piecesAtMost(plannedPieces(need), limits.at(-1)!)
  return walkChance(need, limits, null)
}

/** Chances that the jobs from `from` on all have what they need, by what was needed before, from `least` (below 0) on. */
function chancesAfter(
  need: PartNeed,
  { steps }: WalkCase,
  limits: NeedLimits,
  { from, least, size }: { from: number; least: number; size: number },
): Row {
  let after: Row = { upTo: new Float64Array(size).fill(1), beyond: 1 }
  for (let at = need.steps.length - 1; at >= from; at--) {
    const { failures, own } = steps[at]!
    const none = chanceOfNone(own, need.steps[at]!)
    const end = Math.min(size, limits[at]! - least + 1)
    const before: Row = { upTo: new Float64Array(size), beyond: none * after.beyond }
    for (let y = 0; y < size; y++) {
      let sum = none * after.upTo[y]!
      for (let k = none > 0 ? 1 : 0; k < own.chances.length && y + own.from + k < end; k++)
        sum += own.chances[k]! * after.upTo[y + own.from + k]!
      before.upTo[y] = sum
    }
    after = before
    if (failures.from === 0 && failures.chances.length === 1) continue
    const failed = new Float64Array(size)
    for (let y = 0; y < size; y++) {
      let sum = 0
      for (let k = 0; k < failures.chances.length; k++) {
        const reached = y + failures.from + k
        sum += failures.chances[k]! * (reached < size ? before.upTo[reached]! : before.beyond)
      }
      failed[y] = sum
    }
    after = { upTo: failed, beyond: before.beyond }
  }
  return after
}

/**
 * Chance that no job waits for this part with 0, 1, ... `most` packs bought, which arrive before some jobs or all. Forwards up to
 * the first job that they reach, backwards to it from the last one: whatever is bought lies between the two.
 */
export function planChancesBought(
  need: PartNeed,
  stock: Pick<WorkPart, 'free' | 'onOrder'>,
  { pack, arrives }: { pack: number; arrives: string },
  most: number,
): number[] {
  const packs = Array.from({ length: most + 1 }, (_, count) => count)
  const limitsWith = (count: number) => needLimits(need, stock, count === 0 ? null : { pieces: count * pack, arrives })
  const limits = limitsWith(0)
  const isReached = need.steps.map(({ date }) => date >= arrives)
  const first = isReached.indexOf(true)
  if (first < 0) {
    const chance = planChance(need, limits)
    return packs.map(() => chance)
  }
  const each = pack / need.grain
  // Jobs in between that come too early, or packs that are no whole grains: one walk for each number of packs.
  if (isReached.lastIndexOf(false) > first || !Number.isInteger(each))
    return packs.map((count) => planChance(need, limitsWith(count)))
  if (first === 0 && isLastLeast(need, limitsWith(most))) {
    const planned = plannedPieces(need)
    return packs.map((count) => piecesAtMost(planned, limits.at(-1)! + count * each))
  }
  const least = -most * each
  const end = Math.max(...limits)
  const size = Math.max(0, Math.min(end, grainsMost(need)) - least + 1)
  const before = Math.max(0, Math.min(end + most * each, grainsMost(need)) + 1)
  const chances = packs.map(() => 0)
  for (const one of walkCases(need)) {
    const row = rowBefore(need, one, limits, { until: first, size: before, asked: null })
    const after = chancesAfter(need, one, limits, { from: first, least, size })
    for (const count of packs) {
      let sum = row.beyond * after.beyond
      for (let x = 0; x < row.upTo.length; x++)
        if (row.upTo[x]! > 0) sum += row.upTo[x]! * (after.upTo[x - count * each - least] ?? after.beyond)
      chances[count]! += one.weight * sum
    }
  }
  return chances.map((chance) => Math.min(1, chance))
}
