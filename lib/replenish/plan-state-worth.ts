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
export function plainLeast({ ways, mixture, mixtureAt }: PlainWays, worths: Worths): Least {
  const { value, way } = leastOf(ways, worths)
  const mixed = mixture(worths.states)
  if (mixed === null) return { value, way, split: null }
  let [order, most] = [-1, -1]
  for (const at of mixed.orders) {
    const own = at < 0 ? 0 : worths.worth[at]!
    if (own > most) [order, most] = [at, own]
  }
  const limit = mixed.least * (1 - most)
  if (limit >= value) return { value, way, split: null }
  const exact = mixtureAt(worths)
  if (exact !== null) return exact.value < value ? { ...exact, split: null } : { value, way, split: null }
  const own = mixed.way === null ? Infinity : wayWorth(mixed.way, worths)
  return { value: limit, way: own < value ? mixed.way : way, split: { order, money: mixed.least } }
}
