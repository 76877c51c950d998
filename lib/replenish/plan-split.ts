import type { Segment } from './plan-facts.ts'

export interface SplitOffer {
  /** Minor units in a pack. */
  pack: number
  /** Runs of its price list; of a mixture, those that do not cover the quantity alone. */
  runs: readonly Segment[]
}

/** Steps of reckoning that a part may take; beyond it a rougher limit is good enough. */
const STEPS_MAX = 300_000

export interface Split {
  /** No mixture costs less. */
  least: number
  /** The cheapest mixture: packs by the place of the offer; null where only the limit is known. */
  packs: { offer: number; packs: number }[] | null
}

/**
 * Least money for `quantity` where no offer covers it alone; Infinity where they do not reach it together. Exact by dynamic
 * programming over what is covered so far; where that is too long, the quantity at the best price of any share, which is never
 * more. Either way no real mixture costs less. `shares` are parts of the price that count, offer by offer, all of it where there are
 * none.
 */
export function splitLeast(offers: readonly SplitOffer[], quantity: number, shares?: readonly number[]): Split {
  if (offers.length < 2) return { least: Infinity, packs: null }
  const grain = offers.reduce((sum, { pack }) => gcd(sum, pack), 0)
  const goal = Math.ceil(quantity / grain)
  const count = offers.reduce((sum, { runs }) => sum + runs.reduce((more, { lo, hi }) => more + hi - lo + 1, 0), 0)
  if (goal * count > STEPS_MAX) {
    const best = Math.min(
      ...offers.flatMap(({ pack, runs }) =>
        runs.flatMap(({ lo, hi, fixed, perPack }) => [lo, hi].map((at) => (fixed + perPack * at) / (at * pack))),
      ),
    )
    return { least: Math.max(0, best) * quantity * Math.min(1, ...(shares ?? [])), packs: null }
  }
  let least = new Float64Array(goal + 1).fill(Infinity)
  least[0] = 0
  const stages: { taken: Int32Array; from: Int32Array }[] = []
  for (const [place, { pack, runs }] of offers.entries()) {
    const share = shares?.[place] ?? 1
    const next = least.slice()
    const stage = { taken: new Int32Array(goal + 1), from: Int32Array.from({ length: goal + 1 }, (_, at) => at) }
    for (const { lo, hi, fixed, perPack } of runs)
      for (let packs = lo; packs <= hi; packs++) {
        const [covers, price] = [(packs * pack) / grain, share * (fixed + perPack * packs)]
        for (let at = 0; at <= goal; at++) {
          const to = Math.min(goal, at + covers)
          if (least[at]! + price >= next[to]!) continue
          next[to] = least[at]! + price
          stage.taken[to] = packs
          stage.from[to] = at
        }
      }
    stages.push(stage)
    least = next
  }
  if (least[goal] === Infinity) return { least: Infinity, packs: null }
  const packs: { offer: number; packs: number }[] = []
  let at = goal
  for (let offer = stages.length - 1; offer >= 0; offer--) {
    const { taken, from } = stages[offer]!
    if (taken[at]! > 0) packs.push({ offer, packs: taken[at]! })
    at = from[at]!
  }
  return { least: least[goal]!, packs }
}

export interface CoverTable {
  grain: number
  /** Least money for so many grains or more. */
  least: Float64Array
}

/**
 * Least money for every quantity up to `most`, by one offer or by several together; Infinity where they do not reach it. `shares` as
 * above. Null where it would take too long.
 */
export function coverTable(offers: readonly SplitOffer[], most: number, shares: readonly number[]): CoverTable | null {
  const grain = offers.reduce((sum, { pack }) => gcd(sum, pack), 0) || 1
  const goal = Math.ceil(most / grain)
  const lastOf = ({ lo, hi }: Segment, pack: number) => Math.max(lo, Math.min(hi, Math.ceil(most / pack)))
  const count = offers.reduce(
    (sum, { pack, runs }) => sum + runs.reduce((more, run) => more + lastOf(run, pack) - run.lo + 1, 0),
    0,
  )
  if (goal * count > STEPS_MAX) return null
  let least = new Float64Array(goal + 1).fill(Infinity)
  least[0] = 0
  for (const [place, { pack, runs }] of offers.entries()) {
    const next = least.slice()
    for (const run of runs)
      for (let packs = run.lo, last = lastOf(run, pack); packs <= last; packs++) {
        const [covers, price] = [(packs * pack) / grain, shares[place]! * (run.fixed + run.perPack * packs)]
        for (let at = 0; at <= goal; at++) {
          const to = Math.min(goal, at + covers)
          if (least[at]! + price < next[to]!) next[to] = least[at]! + price
        }
      }
    least = next
  }
  for (let at = goal - 1; at >= 0; at--) least[at] = Math.min(least[at]!, least[at + 1]!)
  return { grain, least }
}

function gcd(a: number, b: number): number {
  return b === 0 ? a : gcd(b, a % b)
}
