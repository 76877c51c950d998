import { planRead } from '../../lib/replenish/plan-read.ts'
import { planSolve } from '../../lib/replenish/plan-solve.ts'
import { highsSolver } from '../../lib/solver/highs.ts'
import { workEach } from './clock.ts'
import { type BenchWish, benchProblem } from './order-plan-problem.ts'
import type { Measured } from './report.ts'

/** Seconds of work of this process so far. */
function worked(): number {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1e6
}

const SUPPLIERS = 5
const SIZES: { lines: number; gap: number; seconds: number; wish?: BenchWish; says?: string }[] = [
  { lines: 500, gap: 0.001, seconds: 10 },
  { lines: 5000, gap: 0.01, seconds: 60 },
  { lines: 500, gap: 0.001, seconds: 10, wish: { isCheap: true }, says: ', thresholds in reach' },
  {
    lines: 500,
    gap: 0.001,
    seconds: 10,
    wish: { isCheap: true, isLinked: true },
    says: ', thresholds in reach, stand-ins and kits',
  },
  { lines: 500, gap: 0.001, seconds: 10, wish: { isDated: true }, says: ', two dates and lateness' },
]

/**
 * Work and gap of order plans. Work, not time, so that a busy machine does not decide: the solver's clock is the work of this process,
 * so it stops after the seconds that are promised of an idle machine.
 */
export async function orderPlanMeasure(): Promise<Measured[]> {
  const solve = await highsSolver()
  const measured: Measured[] = []
  for (const { lines, gap, seconds, wish, says } of SIZES) {
    const problem = benchProblem(lines, SUPPLIERS, wish)
    let reached = Number.NaN
    const { works } = await workEach(1, async () => {
      const read = planRead(problem)
      if (!read.facts || read.faults.length > 0)
        throw new Error('the problem of the bench is wrong: it measures nothing')
      const now = () => worked()
      const { plan, bound } = planSolve(read.facts, { solve, now, seconds, gap })
      if (bound !== null) reached = (plan.paid + plan.lateCost - bound) / (plan.paid + plan.lateCost)
    })
    const what = `order plan, ${lines} lines, ${SUPPLIERS} suppliers${says ?? ''}`
    measured.push(
      { what: `${what}: work`, unit: 'ms', measured: works[0]!, bar: { value: seconds * 1000, is: 'at most' } },
      {
        what: `${what}: per cent not proved`,
        unit: 'ratio',
        measured: reached * 100,
        bar: { value: gap * 100, is: 'at most' },
      },
    )
  }
  return measured
}
