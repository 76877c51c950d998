import type { PlainDate } from '../service/plain-date.ts'

/** What the planned services of one machine take of a part in a winter plan; minor units of the part. */
export interface WinterTake {
  machine: string
  partId: number
  quantity: number
  /** First day of the machine's week: its parts are there by then. */
  on: PlainDate
  /** Taken whatever is found; else only where something is found worn. */
  isCertain: boolean
}

/** How a winter plan stands with a part; minor units. */
export interface WinterHolds {
  partId: number
  /** What it reckons with: free, on order and in drafts. */
  stock: number
  /** What open jobs take of that before it. */
  jobs: number
  /** What its list buys: set by hand, or at the budget that was kept. Null: neither was said. */
  bought: number | null
  isByHand: boolean
  /** All that may be taken on condition; null where failures are foreseen, which have no end. */
  most: number | null
  /** When the first of it is wanted, where no machine says it. */
  on: PlainDate
}

/** What the order plan is asked for by a winter plan, of one part for one day. */
export interface ShopWinterNeed {
  id: string
  planId: number
  plan: string
  partId: number
  quantity: number
  on: PlainDate
  /** Fleet numbers; none: failures in work. */
  machines: string[]
  isCertain: boolean
}

/**
 * A winter plan as needs of the order plan. What is certain is asked for in whole by its days, the shelf's share included: the order
 * plan hands out stock itself. What is on condition is asked for so far as the list of the plan buys it: all of its stock that jobs
 * and what is certain leave, and what it buys beyond. A quantity set by hand is the last word, for what is certain too: then the
 * latest machines go without.
 */
export function winterNeeds(
  { id: planId, name: plan }: { id: number; name: string },
  takes: readonly WinterTake[],
  holds: readonly WinterHolds[],
): ShopWinterNeed[] {
  const byPart = new Map<number, WinterTake[]>()
  for (const take of takes) byPart.set(take.partId, [...(byPart.get(take.partId) ?? []), take])
  return holds.flatMap(({ partId, stock, jobs, bought, isByHand, most, on }) => {
    const own = (byPart.get(partId) ?? []).toSorted((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : 0))
    const there = Math.max(0, stock + (bought ?? 0) - jobs)
    let left = isByHand ? there : Number.POSITIVE_INFINITY
    let certain = 0
    const days = new Map<PlainDate, { quantity: number; machines: Set<string> }>()
    for (const take of own) {
      const quantity = take.isCertain ? Math.min(take.quantity, left) : 0
      if (quantity === 0) continue
      left -= quantity
      certain += quantity
      const day = days.get(take.on) ?? { quantity: 0, machines: new Set() }
      days.set(take.on, { quantity: day.quantity + quantity, machines: day.machines.add(take.machine) })
    }
    const needs = [...days].map(([day, { quantity, machines }]): ShopWinterNeed => {
      const what = { partId, quantity, on: day, machines: [...machines], isCertain: true }
      return { id: `winter ${planId}/${partId}/${day}`, planId, plan, ...what }
    })
    const beyond = (bought ?? 0) > 0 ? Math.min(there - certain, most ?? Number.POSITIVE_INFINITY) : 0
    if (beyond <= 0) return needs
    const perhaps = own.filter(({ isCertain }) => !isCertain)
    const machines = [...new Set(perhaps.map(({ machine }) => machine))]
    const what = { partId, quantity: beyond, on: perhaps[0]?.on ?? on, machines, isCertain: false }
    return [...needs, { id: `winter ${planId}/${partId}/perhaps`, planId, plan, ...what }]
  })
}

/**
 * Needs of several plans beside each other: what a machine certainly takes counts for the plan that begins first, since its next
 * service is the same in both, and what is on condition of a part for one plan only, since each takes the same stock for its own.
 * `plans` in the order of their seasons.
 */
export function winterTakesOnce<T extends { takes: WinterTake[]; holds: WinterHolds[] }>(plans: readonly T[]): T[] {
  const machines = new Set<string>()
  const parts = new Set<number>()
  return plans.map((plan) => {
    const takes = plan.takes.filter(({ machine }) => !machines.has(machine))
    const holds = plan.holds.map((one) => (parts.has(one.partId) ? { ...one, bought: null, isByHand: false } : one))
    for (const { machine } of plan.takes) machines.add(machine)
    for (const { partId } of plan.holds) parts.add(partId)
    return { ...plan, takes, holds }
  })
}

/** Names in a problem are no longer. */
const LONGEST = 80
/** " and 99 more" */
const MORE = 13

/** "Winter 2026/27: T-03, T-07", at most 80 signs: machines that no longer fit are counted. */
export function forWinterSays({ plan, machines, isCertain }: Omit<ShopWinterNeed, 'id' | 'planId'>): string {
  const name = plan
    .replace(/\p{Cc}/gu, ' ')
    .trim()
    .slice(0, LONGEST - 2 * MORE)
  const whose = isCertain ? name : `${name}, on condition`
  if (machines.length === 0) return `${name}, failures in work`
  let said = `${whose}: `
  for (const [at, machine] of machines.entries()) {
    const next = `${at === 0 ? '' : ', '}${machine.replace(/\p{Cc}/gu, ' ')}`
    const rest = machines.length - at
    if (said.length + next.length > LONGEST - (rest === 1 ? 0 : MORE))
      return at === 0 ? whose : `${said} and ${rest} more`
    said += next
  }
  return said
}
