import type { PlainWays, Way, Worths } from './plan-state-way.ts'

/** Whether all orders that a way uses are placed. */
export const wayIsOn = ({ goods }: Way, { states }: Pick<Worths, 'states'>): boolean => {
  for (const order of goods.keys()) if (states[order] === 0) return false
  return true
}

/** Cost less what the goods are worth. */
export function wayWorth({ cost, goods }: Way, { worth }: Pick<Worths, 'worth'>): number {
  let own = cost
  for (const [order, money] of goods) own -= worth[order]! * money
  return own
}

export interface Least {
  value: number
  /** The cheapest way that can really be taken; null where none can. */
  way: Way | null
  /** The order that a mixture's money counts for, where that is the least; -1 where it is none that matters, null where it is a way. */
  split: { order: number; money: number } | null
}

export function leastOf(ways: readonly Way[], worths: Worths): { value: number; way: Way | null } {
  let [way, value]: [Way | null, number] = [null, Infinity]
  for (const one of ways) {
    if (!wayIsOn(one, worths)) continue
    const own = wayWorth(one, worths)
    if (own < value) [way, value] = [one, own]
  }
  return { value, way }
}

/** Least of a plain part. A mixture of which only a limit is known counts for whichever of its orders its money is worth most to. */
export function plainLeast({ ways, mixture, mixtureAt, mixed }: PlainWays, worths: Worths): Least {
  const alone = leastOf(ways, worths)
  const cheapest = mixture(worths.states)
  if (cheapest === null) return { ...alone, split: null }
  let [order, most] = [-1, -1]
  for (const at of cheapest.orders) {
    const own = at < 0 ? 0 : worths.worth[at]!
    if (own > most) [order, most] = [at, own]
  }
  const limit = cheapest.least * (1 - most)
  if (limit >= alone.value) return { ...alone, split: null }
  const before = leastOf(mixed, worths)
  const best = before.value < alone.value ? before : alone
  const exact = mixtureAt(worths, best.value)
  if (exact !== null) {
    const isLess = exact.value < best.value
    return { value: isLess ? exact.value : best.value, way: isLess && exact.way ? exact.way : best.way, split: null }
  }
  const own = cheapest.way === null ? Infinity : wayWorth(cheapest.way, worths)
  return { value: limit, way: own < alone.value ? cheapest.way : alone.way, split: { order, money: cheapest.least } }
}
