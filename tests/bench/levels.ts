import { randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { FILL_TARGETS, level } from '../../lib/replenish/level.ts'
import { type NeedFacts, sizeMoments } from '../../lib/replenish/protection.ts'
import { orderQuantity } from '../../lib/replenish/quantity.ts'
import { workEach } from './clock.ts'
import type { Measured } from './report.ts'

const PARTS = 20_000
const TIMES_MORE = 4
const BAR_PER_SECOND = 20_000
/** Four times the parts may take this much more than four times as long. */
const BAR_LINEAR = 1.25

interface BenchPart {
  need: NeedFacts
  leadDays: number
  target: number
  price: number
  pack: number
  oneJob: number
  set: number
}

/** A workshop's parts: most move a few times a year, some weekly, a few by the hundred; days as periods. */
function partsMake(count: number): BenchPart[] {
  const random = randomSeeded('levels')
  return Array.from({ length: count }, (): BenchPart => {
    const set = randomPick(random, [1, 1, 1, 1, 2])
    const yearly = randomPick(random, [0, 0.4, 1, 3, 3, 12, 50, 400]) * (0.5 + random())
    const mean = yearly / 365
    const sizes = sizeMoments(set === 2 ? [2] : randomPick(random, [[1], [1, 1, 2], [1, 4, 10]]))!
    const lumps = sizes.second / sizes.first
    return {
      need: { mean, variance: mean * lumps, rateVariance: mean ** 2 * random() * 0.2, sizes },
      leadDays: randomInteger(random, 2, 60),
      target: randomPick(random, Object.values(FILL_TARGETS)),
      price: randomInteger(random, 50, 90_000),
      pack: randomPick(random, [1, 1, 5, 10]),
      oneJob: set,
      set,
    }
  })
}

/** Order quantity and level of every part; the sum is what the work must come to, so that none of it is skipped. */
function levelsOf(parts: readonly BenchPart[]): number {
  let sum = 0
  for (const { need, leadDays, target, price, pack, oneJob, set } of parts) {
    const { quantity } = orderQuantity({
      demandYear: need.mean * 365,
      orderCost: 1500,
      holdingRate: 0.2,
      breaks: [
        { from: 1, price },
        { from: 10, price: price * 0.95 },
      ],
      breakKind: 'all-units',
      pack,
      minimum: 1,
      shelfLifeYears: null,
      heldAlready: 0,
      longestYears: 2,
    })
    const answer = level({
      need,
      time: { leadMean: leadDays, leadSd: leadDays * 0.3, review: 1 },
      target: { kind: 'fill', share: target },
      quantity,
      oneJob,
      set,
      grain: null,
    })
    sum += answer.orderUpTo
  }
  return sum
}

/** Parts a second for order quantity and level, and whether four times the parts take four times as long. */
export async function levelsMeasure(rounds: number): Promise<Measured[]> {
  const many = partsMake(PARTS * TIMES_MORE)
  const few = many.slice(0, PARTS)
  if (levelsOf(few) <= PARTS) throw new Error('nothing is kept of any part: these levels measure nothing')
  const count = Math.max(3, Math.min(rounds, 7))
  // Work, not time: the bar is for one core, and a busy machine must not decide it.
  const fewest = Math.min(...(await workEach(count, async () => levelsOf(few))).works)
  const most = Math.min(...(await workEach(count, async () => levelsOf(many))).works)
  return [
    {
      what: `levels and order quantities, ${PARTS} parts, one core`,
      unit: 'per second',
      measured: PARTS / (fewest / 1000),
      bar: { value: BAR_PER_SECOND, is: 'at least' },
    },
    {
      what: `levels, ${TIMES_MORE} times the parts: time beside ${TIMES_MORE} times as long`,
      unit: 'ratio',
      measured: most / fewest / TIMES_MORE,
      bar: { value: BAR_LINEAR, is: 'at most' },
    },
  ]
}
