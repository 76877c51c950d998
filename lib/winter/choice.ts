/**
 * Reading a budget off the curve of what to buy. Plain arithmetic on a list that was reckoned before, so that a browser does it
 * while a slider moves.
 */
export interface ChoiceStep {
  partId: number
  /** What this step buys of it, minor units. */
  pieces: number
  /** All that the season has cost then, goods and carriage; never less than an earlier step (`stepCosts`). */
  costMinor: number
  /** Chance that no machine waits. */
  readiness: number
  /** Without it some job waits for sure. */
  isCertain: boolean
}

export interface ChoiceCurve {
  /** Spent before the first step, carriage included: orders that were made of the plan, and quantities set by hand. */
  baseMinor: number
  /** Readiness before the first step, without the parts that cannot be had. */
  start: number
  /** Standard error of readiness where dice were needed, else 0. */
  error: number
  steps: ChoiceStep[]
}

export interface ChoicePoint {
  /** Steps that the budget pays for. */
  count: number
  spentMinor: number
  readiness: number
}

/** What a budget pays for: all steps up to the first that it does not reach. */
export function choiceAt({ baseMinor, start, steps }: ChoiceCurve, budgetMinor: number): ChoicePoint {
  let low = 0
  let high = steps.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (steps[middle]!.costMinor <= budgetMinor) low = middle + 1
    else high = middle
  }
  const last = steps[low - 1]
  return { count: low, spentMinor: last?.costMinor ?? baseMinor, readiness: last?.readiness ?? start }
}

export interface ChoiceLine {
  pieces: number
  isCertain: boolean
}

/** What the first so many steps buy, by part. */
export function choiceLines({ steps }: ChoiceCurve, count: number): Map<number, ChoiceLine> {
  const lines = new Map<number, ChoiceLine>()
  for (const { partId, pieces, isCertain } of steps.slice(0, count)) {
    const line = lines.get(partId)
    if (line) line.pieces += pieces
    else lines.set(partId, { pieces, isCertain })
  }
  return lines
}

/** The least budget that brings a readiness; null where none does. */
export function choiceFor({ baseMinor, start, steps }: ChoiceCurve, readiness: number): number | null {
  if (start >= readiness) return baseMinor
  return steps.find((step) => step.readiness >= readiness)?.costMinor ?? null
}

/** Less than this share is not worth a word; common practice, no source. */
const GAIN_LEAST = 0.001
/** Standard errors within which two chances from dice are not told apart: 95 of 100 by the normal distribution. */
const ERRORS = 1.96

/**
 * The budget from which on all further money brings less than can be told: a thousandth, or what the dice leave open of the
 * difference of two chances. `within` is that gain.
 */
export function choiceWorth(curve: ChoiceCurve): { budgetMinor: number; within: number } {
  const { baseMinor, start, error, steps } = curve
  const within = Math.max(GAIN_LEAST, ERRORS * Math.SQRT2 * error)
  const top = steps.at(-1)?.readiness ?? start
  if (top - start < within) return { budgetMinor: baseMinor, within }
  const step = steps.find(({ readiness }) => top - readiness < within)
  return { budgetMinor: step!.costMinor, within }
}

/** Readiness that a plan aims at while nobody has set a budget; common practice, no source. */
const AIM = 0.95

/**
 * The budget that a plan begins with: what brings 95 of 100. Where nothing does, all that is worth its money, at least what some job
 * waits for for sure, and as much as brings 95 of 100 of what can be reached: in a large fleet nearly always some machine waits, and
 * what is bought decides how many.
 */
export function choiceProposed(curve: ChoiceCurve): number {
  const { steps, start } = curve
  const top = steps.at(-1)?.readiness ?? start
  const sure = steps.findLast(({ isCertain }) => isCertain)?.costMinor ?? curve.baseMinor
  const most = top > 0 ? choiceFor(curve, AIM * top)! : sure
  return choiceFor(curve, AIM) ?? Math.max(choiceWorth(curve).budgetMinor, sure, most)
}

/** Readiness that the next sum is named for. */
const LEVELS = [0.1, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.97, 0.98, 0.99, 0.995, 0.999]
/** A level so near to what is reached already is passed over. */
const LEVEL_APART = 0.004

/** The next readiness worth naming beyond a point, and the budget for it; null where no money brings one. */
export function choiceNext(
  curve: ChoiceCurve,
  { readiness }: ChoicePoint,
): { budgetMinor: number; readiness: number } | null {
  const top = curve.steps.at(-1)?.readiness ?? curve.start
  const { within } = choiceWorth(curve)
  const apart = Math.max(LEVEL_APART, within)
  const level = LEVELS.find((one) => one >= readiness + apart && one <= top) ?? (top >= readiness + apart ? top : null)
  if (level === null) return null
  const budgetMinor = choiceFor(curve, level)!
  return { budgetMinor, readiness: choiceAt(curve, budgetMinor).readiness }
}
