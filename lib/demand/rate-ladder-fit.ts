import {
  type Busy,
  type Ladder,
  quietLookup,
  type Standing,
  standingFirst,
  standingFollow,
  standingNext,
  standingSee,
} from './rate-ladder.ts'

/** Rounds for each first answer, and for the best of them. */
const ROUNDS = 8
const ROUNDS_BETTER = 12
/** Rounds for the rungs of one class, begun at those of all parts. */
const ROUNDS_CLASS = 10
/** Periods of all parts together that a climb looks at: few to see which way is up, more for the last one, which is the answer. */
const PERIODS_FIRST = 5_000
const PERIODS_LAST = 40_000
/** From one rung to the next at most by this factor, while there are rungs enough. */
const FACTOR = 1.45
const RUNGS_MIN = 8
const RUNGS_MAX = 32
/** Before anything is seen: this much of a part on each rung, and some moves in so many periods. */
const RUNG_WORTH = 0.2
const MOVES_WORTH = 0.1
const PERIODS_WORTH = 30
/** A class begins with the rungs of all parts, worth so many of its own. */
const CLASS_WORTH = 2
/** A shorter list says nothing of how it came about. */
const LIST_MIN = 30
/** At most so many parts left off the list for each one on it. */
const UNSEEN_MAX = 2

/** Histories that are asked for one by one, and may be made anew each time. */
export interface BusyList {
  length: number
  at(index: number): Busy | undefined
}

/** From a rate that shows nothing in the longest history to one that is busy in every period. */
function rungsOf(parts: BusyList): Float64Array {
  let low = Number.POSITIVE_INFINITY
  let high = 0
  for (let part = 0; part < parts.length; part++) {
    const { periods, exposure } = parts.at(part)!
    let ran = exposure ? 0 : periods.length
    let busy = 0
    for (let at = 0; at < periods.length; at++) {
      if (exposure) ran += exposure[at]!
      busy += periods[at]!
    }
    if (!(ran > 0)) continue
    const share = (busy + 0.5) / (periods.length + 1)
    low = Math.min(low, 0.2 / ran)
    high = Math.max(high, (-Math.log1p(-share) * periods.length) / ran)
  }
  if (!(high > 0)) {
    low = 0.01
    high = 1
  }
  const count = Math.ceil(Math.log(high / low) / Math.log(FACTOR)) + 1
  const rungs = Math.min(RUNGS_MAX, Math.max(RUNGS_MIN, count))
  return Float64Array.from({ length: rungs }, (_, rung) => low * (high / low) ** (rung / (rungs - 1)))
}

/** What was counted, in expectation, over the histories. */
interface Counts {
  rungs: Float64Array
  begun: number
  notBegun: number
  begins: number
  waits: number
  ups: number
  downs: number
  ends: number
  stands: number
}

/** What is unlikely beyond measure must not make later chances endless. */
const MOST = 1e100

/** Room for the chances of one history, used again and again. */
interface Desk {
  forward: Float64Array
  likely: Float64Array
  /** Standings of a period and of the one beside it, forward and backward. */
  now: Standing
  next: Standing
  later: Standing
  before: Standing
}

/**
 * Expectation of all moves and beginnings of one history under the ladder, added to `counts` `worth` times (forward and backward
 * pass: Baum and others, Annals of Mathematical Statistics 41, 1970).
 */
function countsAdd(
  counts: Counts,
  ladder: Ladder,
  part: Busy,
  quietOf: ReturnType<typeof quietLookup>,
  desk: Desk,
  worth: number,
): number {
  const { weights, beginning, up, down, ends } = ladder
  const rungs = weights.length
  const size = rungs + 2
  const length = part.periods.length
  if (length === 0) return 0
  let log = 0
  const { forward, likely } = desk
  let standing = standingFirst(ladder, desk.now)
  let spare = desk.next
  for (let period = 0; period < length; period++) {
    if (period > 0) {
      standingNext(ladder, standing, spare)
      const next = spare
      spare = standing
      standing = next
    }
    likely[period] = standingSee(standing, quietOf(part, period), part.periods[period] === 1)
    log += Math.log(likely[period]!)
    // A loop: so few numbers are copied sooner one by one.
    for (let at = 0, to = period * size; at < size; at++, to++) forward[to] = standing[at]!
  }
  let later = desk.later.fill(1)
  let before = desk.before
  const top = rungs - 1
  const [stay, stayLowest, stayTop] = [1 - ends - up - down, 1 - ends - up, 1 - ends - down]
  let [ups, downs, overs, stands] = [0, 0, 0, 0]
  for (let period = length - 1; period > 0; period--) {
    const quiet = quietOf(part, period)
    const per = Math.min(MOST, 1 / likely[period]!)
    if (part.periods[period] === 1) for (let at = 0; at < size; at++) later[at]! *= (1 - quiet[at]!) * per
    else for (let at = 0; at < size; at++) later[at]! *= quiet[at]! * per
    const from = (period - 1) * size
    const over = ends * later[rungs + 1]!
    for (let rung = 0; rung < rungs; rung++) {
      const chance = forward[from + rung]!
      const rises = rung < top ? up * later[rung + 1]! : 0
      const falls = rung > 0 ? down * later[rung - 1]! : 0
      const all = rises + falls + over + (rung === 0 ? stayLowest : rung < top ? stay : stayTop) * later[rung]!
      before[rung] = all
      ups += chance * rises
      downs += chance * falls
      overs += chance * over
      stands += chance * all
    }
    let begins = 0
    const waiting = worth * forward[from + rungs]!
    if (beginning > 0)
      for (let rung = 0; rung < rungs; rung++) {
        const begun = beginning * weights[rung]! * later[rung]!
        begins += begun
        counts.rungs[rung]! += waiting * begun
      }
    before[rungs] = begins + (1 - beginning) * later[rungs]!
    before[rungs + 1] = later[rungs + 1]!
    counts.begins += waiting * begins
    counts.waits += waiting * (1 - beginning) * later[rungs]!
    const next = before
    before = later
    later = next
  }
  counts.ups += worth * ups
  counts.downs += worth * downs
  counts.ends += worth * overs
  counts.stands += worth * stands
  for (let rung = 0; rung < rungs; rung++) {
    const chance = worth * forward[rung]! * later[rung]!
    counts.rungs[rung]! += chance
    counts.begun += chance
  }
  counts.notBegun += worth * forward[rungs]! * later[rungs]!
  return log
}

function shared(amounts: Float64Array): Float64Array {
  const total = amounts.reduce((sum, one) => sum + one, 0)
  return amounts.map((one) => one / total)
}

/**
 * Periods with demand that every part of a list has at least, up to 2. A list without a single part below that was made by
 * leaving them off, so what is left was asked for oftener than it will be.
 */
export function listLeast(parts: BusyList): number {
  if (parts.length < LIST_MIN) return 0
  let least = 2
  for (let part = 0; part < parts.length; part++) {
    const { periods, exposure } = parts.at(part)!
    if (exposure) return 0
    let busy = 0
    for (let at = 0; at < periods.length && busy < least; at++) busy += periods[at]!
    least = Math.min(least, busy)
  }
  return least
}

/** Histories with one demand are reckoned with at so many places of it, each for those around it. */
const PLACES_MAX = 40

/** Histories that would not have got on the list, without demand or with one, and how many of their kind each stands for. */
function leftOff(length: number, least: number): { part: Busy; kind: number }[] {
  const quiet = { part: { periods: new Uint8Array(length), exposure: null }, kind: 1 }
  if (least < 2) return [quiet]
  const places = Math.min(PLACES_MAX, length)
  const once = Array.from({ length: places }, (_, place) => {
    const periods = new Uint8Array(length)
    periods[Math.floor(((place + 0.5) * length) / places)] = 1
    return { part: { periods, exposure: null }, kind: length / places }
  })
  return [quiet, ...once]
}

/** Parts whose lengths tell how many periods a list has. */
const LENGTHS_TOLD = 1000

function some(parts: BusyList, most: number): readonly Busy[] {
  const told = Math.min(parts.length, LENGTHS_TOLD)
  let periods = 0
  for (let nth = 0; nth < told; nth++) periods += parts.at(Math.floor((nth * parts.length) / told))!.periods.length
  const stride = Math.max(1, ((periods / Math.max(1, told)) * parts.length) / most)
  const count = stride === 1 ? parts.length : Math.max(1, Math.floor(parts.length / stride))
  return Array.from({ length: count }, (_, at) => parts.at(Math.floor(at * stride))!)
}

const deskOf = (parts: readonly Busy[], rungs: number): Desk => {
  const longest = parts.reduce((most, { periods }) => Math.max(most, periods.length), 0)
  const size = rungs + 2
  const standing = (): Standing => new Float64Array(size)
  return {
    forward: new Float64Array(longest * size),
    likely: new Float64Array(longest),
    now: standing(),
    next: standing(),
    later: standing(),
    before: standing(),
  }
}

/**
 * The ladder under which the histories are likeliest, by expectation and maximization; the chances of the rungs are free, so a
 * list of slow and heavy sellers keeps both (mixing distribution by maximum likelihood: Laird, Journal of the American Statistical
 * Association 73, 1978; Koenker and Mizera, the same 109, 2014). Few rounds and a little of a part on each rung keep it from
 * falling to pieces.
 *
 * Where the list leaves off what was hardly asked for, as many parts as the ladder says were left off are reckoned with, each with
 * the history it can have had (truncated data: Dempster, Laird and Rubin, Journal of the Royal Statistical Society B 39, 1977). All
 * sources from memory.
 */
export function ladderFit(all: BusyList): Ladder {
  const rungs = rungsOf(all)
  const first = some(all, PERIODS_FIRST)
  const last = some(all, PERIODS_LAST)
  const desk = deskOf(last, rungs.length)
  const least = listLeast(all)
  const mean = last.reduce((sum, { periods }) => sum + periods.length, 0) / Math.max(1, last.length)
  const given: Given = { parts: first, desk: deskOf(first, rungs.length), unseen: [] }
  const start: Ladder = {
    rungs,
    weights: new Float64Array(rungs.length).fill(1 / rungs.length),
    begun: 1,
    beginning: 0,
    up: 0.005,
    down: DOWNS[0],
    ends: 0.001,
  }
  const best = (begun: number, beginning: number): Climbed =>
    DOWNS.map((down) => climbed({ ...start, begun, beginning, down }, given)).reduce((a, b) => (b.log > a.log ? b : a))
  const atOnce = best(1, 0)
  const later = best(0.7, 0.05)
  // Who was left off is reckoned with last: begun with it, the climb is lost among parts that nobody ever saw.
  const unseen = least > 0 ? leftOff(Math.round(mean), least) : []
  const better = later.log > atOnce.log + PLAINLY ? later.ladder : atOnce.ladder
  return climbed(better, { parts: last, desk, unseen }, ROUNDS_BETTER).ladder
}

interface Climbed {
  ladder: Ladder
  log: number
}

/** Where the climb begins: parts that keep their rate, and parts that fall by a half in a year of months. */
const DOWNS = [0.005, 0.07] as const

/**
 * Rare moves are learned slowly: the step of a round is taken nearly twice as far (over-relaxed EM, Salakhutdinov and Roweis,
 * International Conference on Machine Learning 2003; from memory).
 */
const RELAXED = 1.5
const MOVE_MAX = 0.3

function further(before: number, after: number): number {
  return before > 0 ? Math.min(MOVE_MAX, before * (after / before) ** RELAXED) : after
}

/** What is simpler stands unless the other is plainly likelier. */
const PLAINLY = 3

interface Given {
  parts: readonly Busy[]
  unseen: ReturnType<typeof leftOff>
  desk: Desk
}

/** Expectation and maximization from a first ladder; where all have begun in it, all have begun in the end. */
function climbed(start: Ladder, { parts, unseen, desk }: Given, rounds = ROUNDS): Climbed {
  const isLater = start.begun < 1
  let ladder = start
  let log = 0
  for (let round = 0; round < rounds; round++) {
    const counts: Counts = {
      rungs: new Float64Array(ladder.rungs.length).fill(RUNG_WORTH),
      begun: 1,
      notBegun: isLater ? 1 : 0,
      begins: isLater ? MOVES_WORTH : 0,
      waits: PERIODS_WORTH / 3,
      ups: MOVES_WORTH,
      downs: MOVES_WORTH,
      ends: MOVES_WORTH / 3,
      stands: PERIODS_WORTH,
    }
    const quietOf = quietLookup(ladder)
    log = 0
    for (const part of parts) log += countsAdd(counts, ladder, part, quietOf, desk, 1)
    if (unseen.length > 0) {
      const chances = unseen.map(({ part, kind }) => kind * Math.exp(standingFollow(ladder, part, quietOf).log))
      const off = Math.max(
        1e-300,
        chances.reduce((sum, chance) => sum + chance, 0),
      )
      const count = Math.min(UNSEEN_MAX, off / Math.max(1e-12, 1 - off)) * parts.length
      for (const [at, { part }] of unseen.entries())
        countsAdd(counts, ladder, part, quietOf, desk, (count * chances[at]!) / off)
    }
    ladder = {
      ...ladder,
      weights: shared(counts.rungs),
      begun: counts.begun / (counts.begun + counts.notBegun),
      beginning: further(ladder.beginning, counts.begins / (counts.begins + counts.waits)),
      up: further(ladder.up, counts.ups / counts.stands),
      down: further(ladder.down, counts.downs / counts.stands),
      ends: further(ladder.ends, counts.ends / counts.stands),
    }
  }
  return { ladder, log }
}

/** The same ladder with the rungs of one class, which begin as those of all parts. */
export function ladderOfClass(ladder: Ladder, members: BusyList): Ladder {
  const parts = some(members, PERIODS_FIRST)
  const desk = deskOf(parts, ladder.rungs.length)
  let of = ladder
  for (let round = 0; round < ROUNDS_CLASS; round++) {
    const counts: Counts = {
      rungs: ladder.weights.map((weight) => CLASS_WORTH * weight),
      begun: 0,
      notBegun: 0,
      begins: 0,
      waits: 0,
      ups: 0,
      downs: 0,
      ends: 0,
      stands: 0,
    }
    const quietOf = quietLookup(of)
    for (const part of parts) countsAdd(counts, of, part, quietOf, desk, 1)
    of = { ...of, weights: shared(counts.rungs) }
  }
  return of
}
