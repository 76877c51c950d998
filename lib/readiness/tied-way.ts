import { packsOf } from './certain-lack.ts'

/** Chance for a part by packs bought, one row for each case of its group. */
export interface BoughtTable {
  part: number
  /** Packs that are bought at least, once any are. */
  packsLeast: number
  /** rows[case][choice]: none, as many as are sold at least, one more, and so on (`packsOf`). */
  rows: Float64Array[]
}

/** A group by what is bought of its parts: cases with their weights, a table for each part. */
export interface GroupTable {
  weights: number[]
  parts: BoughtTable[]
}

/** A point of what is bought of a group: choices of its parts, what they cost beyond the start and the log of its chance. */
export interface WayPoint {
  choices: readonly number[]
  cost: number
  log: number
}

/** Chance of one case with a choice of a part; more than the table has brings nothing more. */
const chanceAt = ({ rows }: BoughtTable, row: number, choice: number) =>
  rows[row]![Math.min(choice, rows[row]!.length - 1)]!

/** The plan's chance for this group with a choice of each of its parts. */
export function groupAt({ weights, parts }: GroupTable, chosen: readonly number[]): number {
  let sum = 0
  for (const [row, weight] of weights.entries()) {
    let chance = weight
    for (const [at, part] of parts.entries()) chance *= chanceAt(part, row, chosen[at]!)
    sum += chance
  }
  return Math.min(1, sum)
}

/** Points worth their money: between two of them none brings more for each unit of money (the upper hull of log chance over cost). */
export function worthWay<Point extends { cost: number; log: number }>(points: Iterable<Point>): Point[] {
  const way: Point[] = []
  const slope = (from: Point, to: Point) =>
    to.cost > from.cost ? (to.log - from.log) / (to.cost - from.cost) : Number.POSITIVE_INFINITY
  for (const one of points) {
    if (way.length > 0 && one.log <= way.at(-1)!.log) continue
    while (way.length > 1 && slope(way.at(-2)!, way.at(-1)!) <= slope(way.at(-1)!, one)) way.pop()
    way.push(one)
  }
  return way
}

interface Place {
  choices: readonly number[]
  chance: number
}

interface Move extends Place {
  ratio: number
}

/** Less than this share more is no gain. */
const GAIN_LEAST = 1e-9
/** A log for what has no chance at all yet. */
const LOG_LEAST = -700
/** Groups of so many parts are tried in every combination; of larger ones what a cause brings in together, and all of them. */
const EVERY_SET = 4
const SETS_MOST = 12

/** Sets of parts that are tried together. */
function setsOf(parts: number, together: readonly (readonly number[])[]): number[][] {
  const sets: number[][] = []
  if (parts <= EVERY_SET)
    for (let bits = 1; bits < 2 ** parts; bits++) {
      const set = Array.from({ length: parts }, (_, at) => at).filter((at) => (bits >> at) % 2 === 1)
      if (set.length > 1) sets.push(set)
    }
  else {
    const seen = new Map<string, number[]>([['all', Array.from({ length: parts }, (_, at) => at)]])
    for (const one of together) {
      const set = [...new Set(one)].sort((a, b) => a - b)
      if (set.length > 1 && set.length < parts && seen.size < SETS_MOST) seen.set(set.join(), set)
    }
    sets.push(...seen.values())
  }
  return sets
}

/** About how many products `tiedWay` takes. */
export function tiedWork({ weights, parts }: GroupTable): number {
  const choices = parts.reduce((sum, { rows }) => sum + rows[0]!.length - 1, 0)
  const sets = parts.length <= EVERY_SET ? 2 ** parts.length : SETS_MOST
  return weights.length * choices * (choices + parts.length ** 2 * (1 + sets))
}

/**
 * What to buy of parts that hang together, step by step from `start`: again and again what raises the chance of the whole group
 * most for its money, some packs of one part or what several parts need together, a gasket with its seal. Of a set each part takes
 * as much as raises the chance when the others of the set are there in plenty. Marginal analysis over bundles; each point has more
 * chance than the one before it. `together`: places of parts that a cause brings in.
 */
export function tiedWay(
  table: GroupTable,
  {
    start,
    prices,
    together,
  }: { start: readonly number[]; prices: readonly number[]; together: readonly (readonly number[])[] },
): WayPoint[] {
  const { weights, parts } = table
  const top = parts.map(({ rows }, at) => (prices[at] === undefined ? start[at]! : rows[0]!.length - 1))
  const sets = setsOf(parts.length, together)
  const logOf = (chance: number) => (chance > 0 ? Math.max(LOG_LEAST, Math.log(chance)) : LOG_LEAST)
  const costFrom = (from: readonly number[], to: readonly number[]) =>
    parts.reduce(
      (sum, { packsLeast }, at) =>
        to[at] === from[at] ? sum : sum + prices[at]! * (packsOf(to[at]!, packsLeast) - packsOf(from[at]!, packsLeast)),
      0,
    )
  /** Weights of the cases with the chances of all parts but one. */
  const without = (choices: readonly number[], but: number) =>
    weights.map((weight, row) => {
      let chance = weight
      for (const [at, part] of parts.entries()) if (at !== but) chance *= chanceAt(part, row, choices[at]!)
      return chance
    })
  const sumAt = (others: readonly number[], at: number, choice: number) => {
    let sum = 0
    for (const [row, weight] of others.entries()) if (weight > 0) sum += weight * chanceAt(parts[at]!, row, choice)
    return sum
  }
  const isMore = (after: number, before: number) => after > before * (1 + GAIN_LEAST) && after > 0

  /** What raises the chance most for its money without going beyond `limit`, nor all the way to it where `isWithin`. */
  const bestMove = (from: Place, limit: readonly number[], isWithin: boolean): Move | null => {
    const { choices, chance } = from
    const moves: Move[] = []
    const propose = (to: number[], after: number) => {
      if (!isMore(after, chance) || (isWithin && to.every((one, at) => one === limit[at]))) return
      const cost = costFrom(choices, to)
      const gain = logOf(after) - logOf(chance)
      const ratio = cost > 0 ? gain / cost : Number.POSITIVE_INFINITY
      if (!moves[0] || ratio > moves[0].ratio * (1 + 1e-12)) moves[0] = { choices: to, chance: after, ratio }
    }
    for (const at of parts.keys()) {
      if (choices[at]! >= limit[at]!) continue
      const others = without(choices, at)
      for (let choice = choices[at]! + 1; choice <= limit[at]!; choice++)
        propose(choices.with(at, choice), Math.min(1, sumAt(others, at, choice)))
    }
    for (const set of sets) {
      const plenty = choices.map((one, at) => (set.includes(at) ? limit[at]! : one))
      const to = [...choices]
      for (const at of set) {
        if (choices[at]! >= limit[at]!) continue
        const others = without(plenty, at)
        const now = sumAt(others, at, choices[at]!)
        for (let choice = choices[at]! + 1; choice <= limit[at]!; choice++)
          if (isMore(sumAt(others, at, choice), now)) {
            to[at] = choice
            break
          }
      }
      if (set.filter((at) => to[at]! > choices[at]!).length > 1) propose(to, groupAt(table, to))
    }
    return moves[0] ?? null
  }
  const points: WayPoint[] = []
  const reach = ({ choices, chance }: Place) =>
    points.push({ choices, cost: costFrom(start, choices), log: logOf(chance) })
  /** What of a move brings something by itself comes before the rest of it: smaller sums buy that. */
  const walk = (from: Place, to: Place) => {
    const part = bestMove(from, to.choices, true)
    if (part === null || !isMore(to.chance, part.chance)) reach(to)
    else {
      walk(from, part)
      walk(part, to)
    }
  }
  let at: Place = { choices: start, chance: groupAt(table, start) }
  reach(at)
  for (let move = bestMove(at, top, false); move !== null; move = bestMove(at, top, false)) {
    walk(at, move)
    at = move
  }
  return points
}
