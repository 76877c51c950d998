import type { LevelSettings } from './level-settings.ts'
import {
  type ForecastMethod,
  isWorthKeeping,
  levelReason,
  levelReckon,
  type ProposalChoice,
  type ProposalFacts,
} from './proposal.ts'
import { type Levels, levelMoney, stepLimit } from './step-limit.ts'

export interface LevelAsked {
  partId: number
  before: Levels | null
  /** Kept by hand on this day. */
  isHeld: boolean
  facts: ProposalFacts
  choice: ProposalChoice
}

/** change: waits for a yes; same: nothing to change; held: kept by hand; below: too little is wanted for a level of its own. */
export type RunState = 'change' | 'same' | 'held' | 'below'

/** What a reckoning says of one part; minor units. */
export interface RunProposal {
  partId: number
  state: RunState
  method: ForecastMethod
  before: Levels | null
  after: Levels
  /** Before the step was limited. */
  free: Levels
  moneyMinor: number
  reason: string
  forecast: NonNullable<ProposalFacts['forecast']> | null
}

const alike = (a: Levels, b: Levels) => a.reorderPoint === b.reorderPoint && a.orderUpTo === b.orderUpTo

/** What is hardly ever wanted has its level lowered, never raised: neither number goes up. */
const lower = (before: Levels, step: Levels): Levels => ({
  reorderPoint: Math.min(before.reorderPoint, step.reorderPoint),
  orderUpTo: Math.min(before.orderUpTo, step.orderUpTo),
})

/** One part of a reckoning: its level as on its own screen, the step towards it, and what it binds or frees. */
export function runProposal(
  { partId, before, isHeld, facts, choice }: LevelAsked,
  settings: Pick<LevelSettings, 'stepTimes'>,
  show: (minor: number) => string,
): RunProposal {
  const reckoned = levelReckon(facts, choice)
  const { reorderPoint, orderUpTo, gridMinor, oneJob } = reckoned
  // A level of what is poured may come to less than its smallest step.
  const free = { reorderPoint, orderUpTo: Math.max(orderUpTo, reorderPoint + 1) }
  const limit = { times: settings.stepTimes, least: Math.max(1, oneJob), grid: Math.max(1, gridMinor) }
  const step = stepLimit(before, free, limit)
  const isWorth = isWorthKeeping(facts, reckoned)
  const after = before !== null && !isWorth ? lower(before, step) : step
  const state: RunState =
    before === null && !isWorth
      ? 'below'
      : isHeld
        ? 'held'
        : before !== null && alike(before, after)
          ? 'same'
          : 'change'
  const why = alike(step, after)
    ? `in one step a number goes to ${settings.stepTimes} times what it was at most, or by one job’s worth`
    : 'what is asked for so seldom is not raised'
  const limited = alike(free, after)
    ? ''
    : `; reckoned ${show(free.reorderPoint)} up to ${show(free.orderUpTo)}, but ${why}`
  return {
    partId,
    state,
    method: reckoned.method,
    before,
    after,
    free,
    moneyMinor: levelMoney(before, after, choice.priceMinor, facts.scale),
    reason: `${levelReason(facts, choice, reckoned, show)}${limited}`,
    forecast: facts.forecast ?? null,
  }
}
