import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { readinessCommand } from '../../lib/cli/readiness.ts'
import { randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { curveAt, readinessCurve } from '../../lib/readiness/curve.ts'
import { planRead } from '../../lib/readiness/plan-check.ts'
import { CASES_ALL, planKnown, readiness } from '../../lib/readiness/readiness.ts'
import { daysAdd } from '../../lib/service/plain-date.ts'
import { modelsPlan } from '../support/models-plan.ts'
import { workEach } from './clock.ts'
import type { Measured } from './report.ts'

const MACHINES = 300
const LINES = 40
const PARTS = 4000
const TIMES_MORE = 10
const BAR_SECONDS = 5
/** Ten times the machines and parts may take this much more than ten times as long. */
const BAR_LINEAR = 1.25
const BAR_BUDGET_MS = 100

/**
 * A fleet's winter: a job of forty lines a machine. A third of the lines fall on parts that every tenth machine has, filters and
 * belts; half are renewed always, the others on condition with chances that looks have learned; a tenth of the parts also fails,
 * a tenth has goods on the way, and a machine in five has a gearbox of its own kind that is opened or is not. With companions,
 * half of what is looked at takes a seal of its own and a pin and cleaner as many others do once it is found worn.
 */
export function benchPlan(machines: number, parts: number, hasCompanions = false): unknown {
  const random = randomSeeded('readiness')
  const day = (from: number, to: number) => daysAdd('2026-11-16', randomInteger(random, from, to))
  const common = Math.max(1, Math.round(parts / 30))
  const jobs = Array.from({ length: machines }, (_, at) => {
    const lines = Array.from({ length: LINES }, () => {
      const part = random() < 0.33 ? randomInteger(random, 0, common - 1) : randomInteger(random, 0, parts - 1)
      const places = randomPick(random, [1, 1, 2, 4])
      if (random() < 0.5) return { part: `P${part}`, quantity: places }
      return { part: `P${part}`, places, look: `L${part}` }
    })
    const opened = new Map<string, Record<string, unknown>[]>()
    for (const line of hasCompanions ? lines : []) {
      if (!('look' in line) || random() < 0.5 || opened.has(line.look!)) continue
      const more = [`S${line.part}`, `K${Number(line.part.slice(1)) % 40}`, 'CLEANER']
      opened.set(
        line.look!,
        [line.part, ...more].map((part) => ({ part, cause: line.look })),
      )
    }
    const plain = lines.filter((line) => !('look' in line) || !opened.has(line.look!))
    const hasBox = at % 5 === 0
    const box = hasBox ? ['A', 'B', 'C'].map((one) => ({ part: `G${at}${one}`, cause: 'box' })) : []
    return {
      id: `J${at}`,
      machine: `M${at}`,
      date: day(0, 100),
      causes: [
        ...[...opened.keys()].map((look) => ({ id: look, look })),
        ...(hasBox ? [{ id: 'box', chance: 0.2 }] : []),
      ],
      lines: [...plain, ...[...opened.values()].flat(), ...box],
    }
  })
  const used = new Map<string, number>()
  for (const { lines } of jobs)
    for (const { part } of lines as { part: string }[]) used.set(part, (used.get(part) ?? 0) + 1.5)
  const part = (id: string) => ({
    id,
    free: Math.round((used.get(id) ?? 0) * (0.7 + random() * 0.6)),
    supplier: `S${randomInteger(random, 0, 4)}`,
    price: randomInteger(random, 80, 40_000),
    pack: randomPick(random, [1, 1, 1, 5]),
    onOrder: random() < 0.1 ? [{ quantity: 4, date: day(10, 60) }] : [],
  })
  const numbers = Array.from({ length: parts }, (_, at) => `P${at}`)
  const also = [...used.keys()].filter((id) => !id.startsWith('P'))
  return {
    today: '2026-10-05',
    season: { from: '2026-11-16', until: '2027-03-12' },
    suppliers: Array.from({ length: 5 }, (_, at) => ({
      id: `S${at}`,
      leadDays: 5 + 7 * at,
      orderDays: ['mon', 'thu'],
    })),
    machines: jobs.map(({ machine }) => ({ id: machine })),
    parts: [...numbers, ...also].map(part),
    looks: numbers.map((_, at) => ({
      id: `L${at}`,
      renewed: randomInteger(random, 0, 4),
      looked: randomInteger(random, 4, 12),
    })),
    jobs,
    failures: numbers.filter((_, at) => at % 10 === 3).map((number) => ({ part: number, rate: 1.2, shape: 2 })),
  }
}

function answer(
  value: unknown,
  casesAll: number | null = null,
): { steps: number; curve: ReturnType<typeof readinessCurve> } {
  const { plan, faults } = planRead(value)
  if (plan === null || faults.length > 0) throw new Error('the plan has faults: this measures nothing')
  const known = planKnown(plan, { seed: '1', runs: 20_000 }, () => undefined, casesAll)
  const found = readiness(plan, known)
  const curve = readinessCurve(plan, known)
  if (found.jobs.length === 0 || curve.steps.length < plan.machines.length) throw new Error('there is nothing to buy')
  return { steps: curve.steps.length, curve }
}

/** Ten machines a model, whose causes and looks tie their parts together: by the command, from its file to all that it says. */
async function sharedMeasure(): Promise<number> {
  const folder = mkdtempSync(join(tmpdir(), 'cotterbook-bench-'))
  const file = join(folder, 'plan.json')
  writeFileSync(file, JSON.stringify(modelsPlan(MACHINES)))
  const asked = { budget: null, seed: '1', runs: null, isTogether: false }
  try {
    const { works } = await workEach(2, async () => {
      const done = await readinessCommand(file, asked, { json: true, say: () => undefined })
      if (done?.status !== 0) throw new Error('the plan has faults: this measures nothing')
      JSON.stringify(done.json)
    })
    return Math.min(...works)
  } finally {
    rmSync(folder, { recursive: true })
  }
}

/** Readiness of a winter's work with what to buy, whether it grows in step with the fleet, and a step of the budget slider. */
export async function readinessMeasure(): Promise<Measured[]> {
  const few = benchPlan(MACHINES, PARTS)
  const many = benchPlan(MACHINES * TIMES_MORE, PARTS * TIMES_MORE)
  answer(few)
  const fewest = Math.min(...(await workEach(3, async () => answer(few))).works)
  const most = Math.min(...(await workEach(1, async () => answer(many))).works)
  const whole = benchPlan(MACHINES, PARTS, true)
  const withCompanions = Math.min(...(await workEach(3, async () => answer(whole, CASES_ALL))).works)
  const shared = await sharedMeasure()
  const { curve } = answer(few)
  const budgets = Array.from({ length: 100 }, (_, at) => at * 10_000)
  const slider = await workEach(20, async () => budgets.map((budget) => curveAt(curve, budget)))
  return [
    {
      what: `readiness and what to buy, ${MACHINES} machines, ${PARTS} parts`,
      unit: 'ms',
      measured: fewest,
      bar: { value: BAR_SECONDS * 1000, is: 'at most' },
    },
    {
      what: 'the same with what goes with the parts that are looked at',
      unit: 'ms',
      measured: withCompanions,
      bar: { value: BAR_SECONDS * 1000, is: 'at most' },
    },
    {
      what: 'the command on a fleet of which ten machines each are of one model and share its causes and looks',
      unit: 'ms',
      measured: shared,
      bar: { value: BAR_SECONDS * 1000, is: 'at most' },
    },
    {
      what: `readiness, ${TIMES_MORE} times the fleet: time beside ${TIMES_MORE} times as long`,
      unit: 'ratio',
      measured: most / fewest / TIMES_MORE,
      bar: { value: BAR_LINEAR, is: 'at most' },
    },
    {
      what: 'a hundred steps of the budget',
      unit: 'ms',
      measured: Math.max(...slider.times),
      bar: { value: BAR_BUDGET_MS, is: 'at most' },
    },
  ]
}
