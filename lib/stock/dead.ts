/** What is known of a part that lies on the shelf; quantities in minor units of its stock unit, money in minor units. */
export interface DeadFact {
  onHand: number
  /** On hand less what is kept for open jobs. */
  free: number
  valueMinor: number
  /** Calendar day when it was last taken or received; null where never. */
  lastMovedOn: string | null
  lastReceivedOn: string | null
  /** Taken less put back in the year up to today, and where. */
  usedYear: number
  stores: readonly { store: string; quantity: number; usedYear: number }[]
  /** vital, essential, desirable */
  criticality: string
  /** Machines of the models whose parts lists have it; null where no list has it. */
  machines: { inUse: number; laidUp: number } | null
  /** The number that replaces it, and whether the old one still does where the new one is asked for. */
  supersededBy: { number: string; bothWays: boolean } | null
  discontinued: boolean
  /** The supplier it comes from; null where nobody offers it. */
  supplier: string | null
}

export interface DeadLimits {
  today: string
  /** No taking and no delivery for so many months: dead. */
  months: number
  /** More than so many years of use on the shelf: excess. */
  years: number
}

export const DEAD_REASONS = {
  dead: 'Not moved',
  excess: 'More than is used',
  'no-machine': 'No machine in use',
  superseded: 'Superseded',
  discontinued: 'No longer made',
} as const
export type DeadReason = keyof typeof DEAD_REASONS

export const DEAD_ADVICE = {
  return: 'Return',
  'use-up': 'Use up',
  move: 'Move',
  scrap: 'Scrap',
  'find-out': 'Find out',
} as const
export type DeadAdvice = keyof typeof DEAD_ADVICE

export interface DeadFinding {
  reasons: DeadReason[]
  /** Pieces it is about: all that are free, of excess alone only those beyond the years of use. */
  quantity: number
  valueMinor: number
  advice: DeadAdvice
  /** Why that, in a sentence. */
  says: string
}

/** Suppliers take back what they sold within a year, if at all: common practice, no source. */
const RETURN_MONTHS = 12

/** The day so many months earlier; the last of a shorter month. Example: monthsBefore('2026-03-31', 1) is '2026-02-28'. */
export function monthsBefore(day: string, months: number): string {
  const [year = 0, month = 1, date = 1] = day.split('-').map(Number)
  const last = new Date(Date.UTC(year, month - months, 0)).getUTCDate()
  return new Date(Date.UTC(year, month - 1 - months, Math.min(date, last))).toISOString().slice(0, 10)
}

/** What is wrong with the stock of a part, and what to do about it; null where nothing is. Rules: common practice, no source. */
export function deadFinding(fact: DeadFact, limits: DeadLimits): DeadFinding | null {
  if (fact.free <= 0 || fact.onHand <= 0) return null
  const excess = excessOf(fact, limits.years)
  const checks: Record<DeadReason, boolean> = {
    dead: fact.lastMovedOn === null || fact.lastMovedOn < monthsBefore(limits.today, limits.months),
    excess: excess > 0,
    'no-machine': fact.machines !== null && fact.machines.inUse === 0,
    superseded: fact.supersededBy !== null,
    discontinued: fact.discontinued,
  }
  const reasons = (Object.keys(DEAD_REASONS) as DeadReason[]).filter((reason) => checks[reason])
  if (reasons.length === 0) return null
  const quantity = reasons.length === 1 && checks.excess ? excess : fact.free
  // Whole numbers: pieces times money of a shelf leave the range of exact doubles.
  const valueMinor = Number((BigInt(fact.valueMinor) * BigInt(quantity)) / BigInt(fact.onHand))
  return { reasons, quantity, valueMinor, ...adviceOf(fact, checks, limits) }
}

/** Free pieces beyond the years of use; a part that nobody used is dead rather than too much. */
function excessOf({ free, usedYear }: DeadFact, years: number): number {
  return usedYear > 0 ? Math.max(0, free - Math.ceil(usedYear * years)) : 0
}

function adviceOf(
  fact: DeadFact,
  is: Record<DeadReason, boolean>,
  limits: DeadLimits,
): Pick<DeadFinding, 'advice' | 'says'> {
  const { supplier, supersededBy, machines } = fact
  const isFresh =
    fact.lastReceivedOn !== null &&
    fact.lastReceivedOn >= monthsBefore(limits.today, RETURN_MONTHS) &&
    supplier !== null
  if (is['no-machine']) {
    if (isFresh) return { advice: 'return', says: `${supplier} sold it within the year, and no machine in use has it.` }
    if (supersededBy?.bothWays)
      return { advice: 'use-up', says: `It does in place of ${supersededBy.number}: use it there first.` }
    return machines!.laidUp > 0
      ? { advice: 'scrap', says: 'Only machines that are laid up have it: scrap or sell once they are given up.' }
      : { advice: 'scrap', says: 'No machine of ours has it: scrap it, or sell it to somebody who has one.' }
  }
  if (supersededBy) return { advice: 'use-up', says: `Use it up before ${supersededBy.number} is ordered.` }
  if (is.discontinued)
    return { advice: 'use-up', says: 'It cannot be bought again: keep it for the machines that still have it.' }
  const target = fact.stores.find((one) => one.usedYear > 0)
  const idle = fact.stores.find((one) => one.usedYear <= 0 && one.quantity > 0 && one.store !== target?.store)
  if (target && idle) return { advice: 'move', says: `It is used in ${target.store} and lies unused in ${idle.store}.` }
  if (isFresh) return { advice: 'return', says: `${supplier} sold it within the year: ask whether they take it back.` }
  if (fact.criticality === 'vital')
    return { advice: 'use-up', says: 'A machine stands still without it: keep it, and order no more.' }
  if (machines === null && is.dead && fact.usedYear === 0)
    return {
      advice: 'find-out',
      says: 'No parts list has it and nobody takes it: find out what it is for, else scrap it.',
    }
  return { advice: 'use-up', says: 'Order none until it is used up.' }
}
