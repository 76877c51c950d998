/**
 * How often parts are asked for, as a ladder of rates that each part climbs up and down: a hidden Markov chain (Rabiner,
 * Proceedings of the IEEE 77, 1989). A part may not have begun yet, which is not the same as being asked for seldom; it begins on
 * any rung, and from one period to the next moves one rung up or down, or is asked for no more, with chances that are the
 * same for all.
 */
export interface Ladder {
  /** Rates per exposure, each the same factor above the one before. */
  rungs: Float64Array
  /** Chance of each rung for a part that begins. */
  weights: Float64Array
  /** Chance to have begun before the first period, and to begin in any period after it. */
  begun: number
  beginning: number
  up: number
  down: number
  /** Chance to be asked for no more from the next period on: the machine is sold, another part is used. */
  ends: number
}

/** A history as far as the rate goes: periods with demand, and what ran in each (null: 1 in every period). */
export interface Busy {
  periods: Uint8Array
  exposure: Float64Array | null
}

/** Chances of the rungs; after them that of not having begun, and that of having ended. */
export type Standing = Float64Array

/** Chances before the first period, written into `standing` where one is handed over. */
export function standingFirst(
  { weights, begun }: Ladder,
  standing: Standing = new Float64Array(weights.length + 2),
): Standing {
  for (let rung = 0; rung < weights.length; rung++) standing[rung] = begun * weights[rung]!
  standing[weights.length] = 1 - begun
  standing[weights.length + 1] = 0
  return standing
}

/** Chances one period later, before that period is seen. */
export function standingNext({ weights, beginning, up, down, ends }: Ladder, now: Standing, next: Standing): void {
  const top = weights.length - 1
  const waiting = now[top + 1]!
  const begins = waiting * beginning
  let running = 0
  for (let rung = 0; rung <= top; rung++) {
    running += now[rung]!
    let chance = begins * weights[rung]! + now[rung]! * (1 - ends - (rung < top ? up : 0) - (rung > 0 ? down : 0))
    if (rung > 0) chance += now[rung - 1]! * up
    if (rung < top) chance += now[rung + 1]! * down
    next[rung] = chance
  }
  next[top + 1] = waiting - begins
  next[top + 2] = now[top + 2]! + ends * running
}

/** Chance of each standing to pass a period of this exposure without demand. */
export function quietChances({ rungs }: Ladder, exposure: number): Float64Array {
  const quiet = new Float64Array(rungs.length + 2).fill(1)
  for (let rung = 0; rung < rungs.length; rung++) quiet[rung] = Math.exp(-rungs[rung]! * exposure)
  return quiet
}

/**
 * Exposures are told apart by one part in a thousand, which no meter and no logbook does: so few are different that the chances of
 * each are kept, in two megabytes for a fleet that ran between one and a thousand hours.
 */
const STEPS_PER_DOUBLING = 700

type QuietLookup = (part: Busy, period: number) => Float64Array

/** The rungs alone decide, and all classes and rounds of a fit have the same ones. */
const LOOKUPS = new WeakMap<Float64Array, QuietLookup>()

/** Quiet chances by exposure, each reckoned once: a follow-up asks millions of times. */
export function quietLookup(ladder: Ladder): QuietLookup {
  const before = LOOKUPS.get(ladder.rungs)
  if (before) return before
  const made = quietLookupMade(ladder)
  LOOKUPS.set(ladder.rungs, made)
  return made
}

function quietLookupMade(ladder: Ladder): QuietLookup {
  const ofOne = quietChances(ladder, 1)
  const ofNone = quietChances(ladder, 0)
  const kept = new Map<number, Float64Array>()
  return ({ exposure }, period) => {
    if (!exposure) return ofOne
    const ran = exposure[period]!
    if (!(ran > 0)) return ofNone
    const step = Math.round(Math.log2(ran) * STEPS_PER_DOUBLING)
    const known = kept.get(step)
    if (known) return known
    const made = quietChances(ladder, 2 ** (step / STEPS_PER_DOUBLING))
    kept.set(step, made)
    return made
  }
}

/** Below this nothing is left of a chance but a digit or two. */
const CHANCE_MIN = 1e-300

/** Brings in what a period showed; answers how likely it was. What no standing can explain moves none. */
export function standingSee(standing: Standing, quiet: Float64Array, isBusy: boolean): number {
  const size = standing.length
  let sum = 0
  if (isBusy) for (let at = 0; at < size; at++) sum += standing[at]! * (1 - quiet[at]!)
  else for (let at = 0; at < size; at++) sum += standing[at]! * quiet[at]!
  if (!(sum > CHANCE_MIN)) return Number.MIN_VALUE
  const over = 1 / sum
  if (isBusy) for (let at = 0; at < size; at++) standing[at]! *= (1 - quiet[at]!) * over
  else for (let at = 0; at < size; at++) standing[at]! *= quiet[at]! * over
  return sum
}

/** What was foreseen of a period just before it: demands, and the chance of one or more. */
export interface Foreseen {
  demands: number
  busy: number
}

export function foreseenOf({ rungs }: Ladder, standing: Standing, quiet: Float64Array, exposure: number): Foreseen {
  let rate = 0
  let busy = 0
  for (let rung = 0; rung < rungs.length; rung++) {
    rate += standing[rung]! * rungs[rung]!
    busy += standing[rung]! * (1 - quiet[rung]!)
  }
  return { demands: rate * exposure, busy }
}

export interface Followed {
  /** Where the part stands in the first period to come. */
  ahead: Standing
  log: number
}

/**
 * Brings in what a period showed and goes on to the next one, in one walk over the standings: over the histories of a hundred
 * thousand parts this takes most of the time. `seen` holds the chance of each standing to show what was shown; `now` may add up to
 * anything. Answers what is left of it all, which is what `next` adds up to.
 */
function standingPass(ladder: Ladder, now: Standing, seen: Float64Array, next: Standing): number {
  const { weights, beginning, up, down, ends } = ladder
  const top = weights.length - 1
  const waiting = now[top + 1]! * seen[top + 1]!
  const begins = waiting * beginning
  const ended = now[top + 2]! * seen[top + 2]!
  const stay = 1 - ends - up - down
  const lowest = now[0]! * seen[0]!
  let running = 0
  let below = 0
  let here = lowest
  for (let rung = 0; rung < top; rung++) {
    const above = now[rung + 1]! * seen[rung + 1]!
    next[rung] = begins * weights[rung]! + stay * here + up * below + down * above
    running += here
    below = here
    here = above
  }
  running += here
  // From the lowest rung nothing goes down, from the top one nothing up.
  next[0]! += down * lowest
  next[top] = begins * weights[top]! + (stay + up) * here + up * below
  next[top + 1] = waiting - begins
  next[top + 2] = ended + ends * running
  return running + waiting + ended
}

/** Chances that add up to less are brought back to one before their digits are lost. */
const SUM_MIN = 1e-6

function scale(standing: Standing, by: number): void {
  for (let at = 0; at < standing.length; at++) standing[at]! *= by
}

/** Goes through a history; `each` hears what was foreseen of every period, or of those with demand, from those before it. */
export function standingFollow(
  ladder: Ladder,
  part: Busy,
  quietOf: ReturnType<typeof quietLookup>,
  each?: (period: number, foreseen: Foreseen) => void,
  of: 'every' | 'busy' = 'every',
): Followed {
  const { periods, exposure } = part
  let standing = standingFirst(ladder)
  let spare: Standing = new Float64Array(standing.length)
  let shown: Float64Array | null = null
  let log = 0
  let sum = 1
  for (let period = 0; period < periods.length; period++) {
    const quiet = quietOf(part, period)
    const isBusy = periods[period] === 1
    const isHeard = each !== undefined && (isBusy || of === 'every')
    if (isHeard || sum < SUM_MIN) {
      log += Math.log(sum)
      scale(standing, 1 / sum)
      sum = 1
    }
    if (isHeard) each(period, foreseenOf(ladder, standing, quiet, exposure?.[period] ?? 1))
    if (isBusy) {
      shown ??= new Float64Array(standing.length)
      for (let at = 0; at < shown.length; at++) shown[at] = 1 - quiet[at]!
    }
    let left = standingPass(ladder, standing, isBusy ? shown! : quiet, spare)
    if (!(left > CHANCE_MIN)) {
      log += Math.log(Number.MIN_VALUE)
      left = standingPass(ladder, standing, new Float64Array(standing.length).fill(1), spare)
    }
    sum = left
    const next = spare
    spare = standing
    standing = next
  }
  scale(standing, 1 / sum)
  return { ahead: standing, log: log + Math.log(sum) }
}

/** For each standing in the first coming period: chances of 0, 1, ... periods with demand among the coming ones. */
export function busyAhead(ladder: Ladder, periods: number, exposure: number): Float64Array[] {
  const { weights, beginning, up, down, ends } = ladder
  const top = weights.length - 1
  const quiet = quietChances(ladder, exposure)
  const nothing = () => Float64Array.from({ length: periods + 1 }, (_, count) => (count === 0 ? 1 : 0))
  let chances = Array.from({ length: top + 3 }, nothing)
  // From the last period back to the first: a period is seen, then the part moves on.
  for (let left = 1; left <= periods; left++) {
    const onward = left === 1 ? chances : chances.map(() => new Float64Array(periods + 1))
    if (left > 1)
      for (let count = 0; count < left; count++) {
        let begins = 0
        for (let rung = 0; rung <= top; rung++) {
          const stay = 1 - ends - (rung < top ? up : 0) - (rung > 0 ? down : 0)
          let chance = stay * chances[rung]![count]! + ends * chances[top + 2]![count]!
          if (rung < top) chance += up * chances[rung + 1]![count]!
          if (rung > 0) chance += down * chances[rung - 1]![count]!
          onward[rung]![count] = chance
          begins += weights[rung]! * chances[rung]![count]!
        }
        onward[top + 1]![count] = beginning * begins + (1 - beginning) * chances[top + 1]![count]!
        onward[top + 2]![count] = chances[top + 2]![count]!
      }
    chances = onward.map((one, at) => {
      const seen = new Float64Array(periods + 1)
      const busy = 1 - quiet[at]!
      for (let count = 0; count <= left; count++)
        seen[count] = quiet[at]! * one[count]! + (count > 0 ? busy * one[count - 1]! : 0)
      return seen
    })
  }
  return chances
}

/** Chances of 0, 1, ... periods with demand among the coming ones, from one standing: what `busyAhead` says, for a single part. */
export function busyFrom(ladder: Ladder, standing: Standing, periods: number, exposure: number): number[] {
  const quiet = quietChances(ladder, exposure)
  let byCount: Standing[] = [standing]
  for (let period = 1; period <= periods; period++) {
    const seen = Array.from({ length: period + 1 }, () => new Float64Array(standing.length))
    for (const [count, now] of byCount.entries())
      for (let at = 0; at < now.length; at++) {
        seen[count]![at]! += now[at]! * quiet[at]!
        seen[count + 1]![at]! += now[at]! * (1 - quiet[at]!)
      }
    byCount = period === periods ? seen : seen.map((now) => standingAfter(ladder, now))
  }
  return byCount.map((now) => now.reduce((sum, one) => sum + one, 0))
}

/** Chance that none of the coming periods has demand: the first of what `busyFrom` says, for which no counts need be kept. */
export function quietFrom(ladder: Ladder, standing: Standing, periods: number, exposure: number): number {
  const quiet = quietChances(ladder, exposure)
  let now: Standing = standing.slice()
  let spare: Standing = new Float64Array(standing.length)
  let left = 1
  for (let period = 1; period <= periods; period++) {
    left = standingPass(ladder, now, quiet, spare)
    const next = spare
    spare = now
    now = next
  }
  return left
}

function standingAfter(ladder: Ladder, now: Standing): Standing {
  const next = new Float64Array(now.length)
  standingNext(ladder, now, next)
  return next
}
