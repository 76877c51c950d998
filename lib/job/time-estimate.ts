import { counted } from '../measure/counted.ts'

/** A closed job on one figure: what was written down, and how many sides of the machine it was done at. */
export interface PastJob {
  minutes: number
  sides: number
  /** What was done at a side, each named once: parts that came off and went back, parts renewed. */
  work: readonly string[]
}

export interface TimeEstimate {
  /** The middle, and the span that four jobs in five stay in. */
  minutes: number
  low: number
  high: number
  /** What one part more to take off or to renew adds. */
  more: number
  /** Past jobs on the figure, and those of them with the same work. */
  jobs: number
  alike: number
  /** Minutes written at the steps that count as well: at so many, of so many; null where the figure has none. */
  steps: { known: number; all: number } | null
}

/** The figure's typical time weighs as much as so many jobs with the same work. */
const TYPICAL_WEIGHS = 2
/** Before there are jobs: spread of repair times as a natural logarithm (half lie within a quarter of the middle), and its weight in jobs. */
const SPREAD = 0.4
const SPREAD_WEIGHS = 3
/** Standard normal quantile of 0.9: the span from 10 to 90 per cent. */
const Z90 = 1.2816
/**
 * Time grows as the number of parts to the power of so much: 0 would be never, 1 twice as long for twice as many. Before jobs
 * say better it lies half-way, give or take 0.25: fetching the machine, cleaning and testing are done once. Common practice, no source.
 */
const GROWTH = 0.5
const GROWTH_DEVIATION = 0.25
const GROWTH_LEAST = 0.1
const GROWTH_MOST = 1

/**
 * How long a job on a figure takes. Past times a side, as logarithms, give the figure's typical time for so many parts and how
 * it grows with them (a straight line between logarithms, its slope shrunk towards `GROWTH`). Jobs with the same work are shrunk
 * towards that. Minutes at the steps count as one more job; a step without takes the mean of the others. Null when there is
 * neither. Times to repair are close to log-normal, hence logarithms (from memory: MIL-HDBK-472). Arguments: minutes above 0,
 * whole sides from 1. Shrinkage: the mean of a normal-normal model with the weight of the typical time fixed, common practice.
 *
 * More work never takes less: whatever the past says of a part of the work is the least, and of more work the most, for this one.
 */
export function timeEstimate(input: {
  past: readonly PastJob[]
  sides: number
  work: readonly string[]
  /** Minutes at a step of one side, off and on again, by its name in `work`; steps without are left out. */
  stepMinutes?: ReadonlyMap<string, number>
}): TimeEstimate | null {
  const { sides, stepMinutes = new Map<string, number>() } = input
  const past = input.past.filter((job) => job.minutes > 0 && job.sides > 0)
  if (past.length === 0 && stepMinutes.size === 0) return null
  const points = past.map((job) => ({ work: new Set(job.work), log: Math.log(job.minutes / job.sides) }))
  const growth = growthOf(points)
  /** Logarithm of the typical time for a set of work. */
  const typical = (work: ReadonlySet<string>): number => {
    const size = logSize(work)
    const logs = points.map((point) => point.log + growth * (size - logSize(point.work)))
    return mean([...logs, ...(stepMinutes.size === 0 ? [] : [Math.log(stepSum(work, stepMinutes))])])
  }
  const kinds = kindsOf(points)
  const own = kinds.map(({ work, logs }) => ({
    work,
    log: (sum(logs) + TYPICAL_WEIGHS * typical(work)) / (logs.length + TYPICAL_WEIGHS),
  }))
  // No kind of work below what a part of it took.
  const known = own.map(({ work }) => ({
    work,
    log: Math.max(...own.filter((one) => isWithin(one.work, work)).map((one) => one.log)),
  }))
  const work = new Set(input.work)
  const least = Math.max(...known.filter((one) => isWithin(one.work, work)).map((one) => one.log))
  const most = Math.min(...known.filter((one) => isWithin(work, one.work)).map((one) => one.log))
  const middle = Math.min(Math.max(typical(work), least), most)

  const alike = kinds.find((kind) => sameWork(kind.work, work))?.logs ?? []
  const others = kinds
    .filter((kind) => !sameWork(kind.work, work))
    .flatMap((kind) => kind.logs.map((log) => log - growth * logSize(kind.work)))
  const groups = [alike, others].filter((group) => group.length > 0)
  const squares = sum(groups.flatMap((group) => group.map((log) => (log - mean(group)) ** 2)))
  const variance = (SPREAD_WEIGHS * SPREAD ** 2 + squares) / (SPREAD_WEIGHS + points.length - groups.length)
  // The next job's own spread, and what is not known of its middle.
  const deviation = Math.sqrt(variance * (1 + 1 / (alike.length + 1)))
  const at = (z: number) => sides * Math.exp(middle + z * deviation)
  const parts = Math.max(1, work.size)
  return {
    minutes: at(0),
    low: at(-Z90),
    high: at(Z90),
    more: at(0) * (((parts + 1) / parts) ** growth - 1),
    jobs: past.length,
    alike: alike.length,
    steps: stepMinutes.size === 0 ? null : stepsKnown(work, stepMinutes),
  }
}

interface Point {
  work: ReadonlySet<string>
  log: number
}

function logSize(work: ReadonlySet<string>): number {
  return Math.log(Math.max(1, work.size))
}

/** Slope of the logarithm of the time over that of the number of parts, ridge towards `GROWTH`; always above nothing. */
function growthOf(points: readonly Point[]): number {
  const [x, y] = [mean(points.map((point) => logSize(point.work))), mean(points.map((point) => point.log))]
  const squares = sum(points.map((point) => (logSize(point.work) - x) ** 2))
  const products = sum(points.map((point) => (logSize(point.work) - x) * (point.log - y)))
  const ridge = (SPREAD / GROWTH_DEVIATION) ** 2
  return Math.min(GROWTH_MOST, Math.max(GROWTH_LEAST, (ridge * GROWTH + products) / (ridge + squares)))
}

function isWithin(part: ReadonlySet<string>, whole: ReadonlySet<string>): boolean {
  return part.size <= whole.size && [...part].every((name) => whole.has(name))
}

function sameWork(a: ReadonlySet<string>, b: ReadonlySet<string>): boolean {
  return a.size === b.size && isWithin(a, b)
}

/** Jobs with the same work together. */
function kindsOf(points: readonly Point[]): { work: ReadonlySet<string>; logs: number[] }[] {
  const kinds = new Map<string, { work: ReadonlySet<string>; logs: number[] }>()
  for (const { work, log } of points) {
    const name = [...work].sort().join('\n')
    const kind = kinds.get(name)
    if (kind) kind.logs.push(log)
    else kinds.set(name, { work, logs: [log] })
  }
  return [...kinds.values()]
}

/** Steps of the work: what is renewed lies at a step that is counted already. */
function stepsKnown(work: ReadonlySet<string>, stepMinutes: ReadonlyMap<string, number>) {
  const steps = [...work].filter((name) => !name.startsWith(RENEWED))
  return { known: steps.filter((name) => stepMinutes.has(name)).length, all: steps.length }
}

function stepSum(work: ReadonlySet<string>, stepMinutes: ReadonlyMap<string, number>): number {
  const usual = mean([...stepMinutes.values()])
  const steps = [...work].filter((name) => !name.startsWith(RENEWED))
  return Math.max(1, sum(steps.map((name) => stepMinutes.get(name) ?? usual)))
}

const RENEWED = 'new '
const OFF = 'off '

/** Names of work: each item that comes off, and each that is renewed. */
export function workNames(comesOff: readonly string[], renewed: readonly string[]): string[] {
  return [...comesOff.map(workStep), ...renewed.map((item) => `${RENEWED}${item}`)]
}

/** The name of a step by its item. */
export function workStep(item: string): string {
  return `${OFF}${item}`
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

/** "about 2 h 10 (from 6 past jobs, 2 on the same parts); most take 1 h 30 to 3 h, each further part about 8 min more" */
export function estimateSays(estimate: TimeEstimate | null): string {
  if (estimate === null) return 'no past jobs to tell from'
  const { minutes, low, high, more, jobs, alike, steps } = estimate
  const same =
    alike === jobs ? 'on the same parts' : alike === 0 ? 'on other parts of it' : `${alike} on the same parts`
  const from = [
    ...(jobs === 0 ? ['no past jobs'] : [`from ${jobs} past ${jobs === 1 ? 'job' : 'jobs'}, ${same}`]),
    ...(steps === null ? [] : [`minutes at ${stepsSay(steps)} counted`]),
  ]
  const span = `most take ${durationSays(low)} to ${durationSays(high)}`
  return `about ${durationSays(minutes)} (${from.join('; ')}); ${span}, each further part about ${Math.max(1, Math.round(more))} min more`
}

function stepsSay({ known, all }: { known: number; all: number }): string {
  if (known === all) return 'the steps'
  return known === 0 ? 'other steps' : `${known} of ${counted(all, 'step')}`
}
