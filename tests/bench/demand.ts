import { levelRunBeginUnasked, levelRunReckon } from '../../lib/db/level-run.ts'
import { backtest } from '../../lib/demand/backtest.ts'
import { INSTALLED_BASE } from '../../lib/demand/installed-base.ts'
import { USUAL_METHODS } from '../../lib/demand/method.ts'
import { randomPick, randomPoisson, randomSeeded } from '../../lib/maths/random.ts'
import { distributionRows } from '../support/distribution-rows.ts'
import { referencePath } from '../support/reference.ts'
import { timeEach, workEach } from './clock.ts'
import type { Measured } from './report.ts'

const SERIES = 1_200
const PERIODS = 51
const TRAIN = 39
const TARGETS = [0.9, 0.95, 0.99]
const METHODS = [...USUAL_METHODS.filter(({ name }) => name !== 'bootstrap'), INSTALLED_BASE]
const BACKTEST_BAR_MS = 20_000
/** Relative to the value, over points that are hard on purpose. */
const ACCURACY = 1e-9
/** For the 200,000 parts of scale 1. */
const RECALCULATION_BAR_MS = 60_000

/** Spare parts of many rates, some of which come in twos. */
function seriesMake() {
  const random = randomSeeded('backtest')
  return Array.from({ length: SERIES }, (_, at) => {
    const rate = randomPick(random, [0.02, 0.05, 0.1, 0.1, 0.3, 0.3, 1, 3]) * (0.5 + random())
    const size = randomPick(random, [1, 1, 1, 2])
    const quantities = Array.from({ length: PERIODS }, () => size * randomPoisson(random, rate))
    return { id: String(at), quantities, price: null }
  })
}

/** How long the shelf takes to be run over past demand, and how near the distributions come to R. */
export async function demandMeasure(): Promise<Measured[]> {
  const parts = seriesMake()
  let served = 0
  const run = async () => {
    const input = {
      parts,
      trainPeriods: TRAIN,
      leadPeriods: 1,
      reviewPeriods: 1,
      kind: 'fill',
      targets: TARGETS,
    } as const
    for (const method of METHODS)
      for (const row of backtest(method, { ...input, mode: 'rolling', start: 'steady', isSpread: false }))
        served += row.fill
  }
  // The clock, for an idle machine: threads that collect garbage beside it would be counted as work.
  const [time] = await timeEach(1, run)
  if (!(served > 0.5 * METHODS.length * TARGETS.length)) throw new Error('hardly anything was served: no backtest')
  const measured: Measured[] = [
    {
      what: `backtest, ${SERIES} series, ${METHODS.length} methods, ${TARGETS.length} targets, levels set anew each period`,
      unit: 'ms',
      measured: time!,
      bar: { value: BACKTEST_BAR_MS, is: 'at most' },
    },
  ]
  const path = referencePath('distributions.csv')
  if (!path) console.error('No reference folder: the distributions are not held beside R.')
  else
    measured.push({
      what: `distributions beside R: largest distance over ${ACCURACY} of the value`,
      unit: 'ratio',
      measured: Math.max(...distributionRows(path).map(({ apart }) => apart)) / ACCURACY,
      bar: { value: 1, is: 'at most' },
    })
  return measured
}

/** The levels of all parts of the data set, database and all; its memory is measured by ledger.ts in a process of its own. */
export async function recalculationMeasure(): Promise<Measured[]> {
  const began = new Date()
  const runId = await levelRunBeginUnasked(began)
  let parts = 0
  const { works } = await workEach(1, async () => {
    ;({ parts } = await levelRunReckon(runId, () => new Date()))
  })
  if (parts === 0) throw new Error('no level was reckoned: the data set is wrong')
  return [
    {
      what: `levels of all ${parts} parts reckoned anew, database and all`,
      unit: 'ms',
      measured: works[0]!,
      bar: { value: RECALCULATION_BAR_MS, is: 'at most' },
    },
  ]
}
