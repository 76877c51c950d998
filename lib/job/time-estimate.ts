/** A closed job on one figure: what was written down, and how many sides or ends of the machine it was done at. */
export interface PastJob {
  minutes: number
  sides: number
  /** Whether it renewed the same items. */
  alike: boolean
}

export interface TimeEstimate {
  /** The middle, and the span that four jobs in five stay in. */
  minutes: number
  low: number
  high: number
  /** Past jobs on the figure, and those of them that renewed the same items. */
  jobs: number
  alike: number
  /** Whether minutes written at the steps count as well. */
  steps: boolean
}

/** The figure's typical time weighs as much as so many jobs on the same items. */
const TYPICAL_WEIGHS = 2
/** Before there are jobs: spread of repair times as a natural logarithm (half lie within a quarter of the middle), and its weight in jobs. */
const SPREAD = 0.4
const SPREAD_WEIGHS = 3
/** Standard normal quantile of 0.9: the span from 10 to 90 per cent. */
const Z90 = 1.2816

/**
 * How long a job on a figure takes: past times a side, as logarithms; those on the same items shrunk towards the figure's
 * typical time; minutes at the steps, where every step has some, count as one more job. Null when there is neither.
 * Times to repair are close to log-normal, hence logarithms (from memory: MIL-HDBK-472). Arguments: minutes above 0, whole
 * sides from 1. Shrinkage: the mean of a normal-normal model with the weight of the typical time fixed, common practice.
 */
export function timeEstimate(input: {
  past: readonly PastJob[]
  sides: number
  /** Sum of the minutes at the steps for one side; null when a step has none. */
  stepMinutes: number | null
}): TimeEstimate | null {
  const { sides, stepMinutes } = input
  const past = input.past.filter((job) => job.minutes > 0 && job.sides > 0)
  if (past.length === 0 && stepMinutes === null) return null
  const logs = past.map((job) => Math.log(job.minutes / job.sides))
  const alike = logs.filter((_, at) => past[at]!.alike)
  const others = logs.filter((_, at) => !past[at]!.alike)
  const typical = mean([...logs, ...(stepMinutes === null ? [] : [Math.log(stepMinutes)])])
  const middle = (sum(alike) + TYPICAL_WEIGHS * typical) / (alike.length + TYPICAL_WEIGHS)
  const groups = [alike, others].filter((group) => group.length > 0)
  const squares = sum(groups.flatMap((group) => group.map((log) => (log - mean(group)) ** 2)))
  const variance = (SPREAD_WEIGHS * SPREAD ** 2 + squares) / (SPREAD_WEIGHS + logs.length - groups.length)
  // The next job's own spread, and what is not known of its middle.
  const deviation = Math.sqrt(variance * (1 + 1 / (alike.length + 1)))
  const at = (z: number) => sides * Math.exp(middle + z * deviation)
  return {
    minutes: at(0),
    low: at(-Z90),
    high: at(Z90),
    jobs: past.length,
    alike: alike.length,
    steps: stepMinutes !== null,
  }
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0)
}

function mean(values: readonly number[]): number {
  return values.length === 0 ? 0 : sum(values) / values.length
}

/** 2 h 10, 45 min: to five minutes, above three hours to a quarter of an hour. */
export function durationSays(minutes: number): string {
  const grain = minutes >= 180 ? 15 : 5
  const whole = Math.max(grain, Math.round(minutes / grain) * grain)
  const [hours, rest] = [Math.floor(whole / 60), whole % 60]
  if (hours === 0) return `${rest} min`
  return rest === 0 ? `${hours} h` : `${hours} h ${String(rest).padStart(2, '0')}`
}

/** "about 2 h 10 (from 6 past jobs, 2 on the same parts); most take 1 h 30 to 3 h" */
export function estimateSays(estimate: TimeEstimate | null): string {
  if (estimate === null) return 'no past jobs to tell from'
  const { minutes, low, high, jobs, alike, steps } = estimate
  const same =
    alike === jobs ? 'on the same parts' : alike === 0 ? 'on other parts of it' : `${alike} on the same parts`
  const from = [
    ...(jobs === 0 ? ['no past jobs'] : [`from ${jobs} past ${jobs === 1 ? 'job' : 'jobs'}, ${same}`]),
    ...(steps ? ['minutes at the steps counted'] : []),
  ]
  return `about ${durationSays(minutes)} (${from.join('; ')}); most take ${durationSays(low)} to ${durationSays(high)}`
}
