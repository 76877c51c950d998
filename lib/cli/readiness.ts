import { readFile } from 'node:fs/promises'
import { performance } from 'node:perf_hooks'
import { counted } from '../measure/counted.ts'
import { dateSays } from '../measure/date.ts'
import { moneyFormat, moneyParse } from '../measure/money.ts'
import { buyList } from '../readiness/buy-list.ts'
import { type Curve, curveAt, curveBudgetFor, readinessCurve } from '../readiness/curve.ts'
import { type PlanFault, planRead, type WorkPlan } from '../readiness/plan-check.ts'
import {
  CASES_ALL,
  type Chance,
  type PlanKnown,
  planKnown,
  planSimulated,
  type Readiness,
  readiness,
} from '../readiness/readiness.ts'
import { runsError } from '../readiness/simulate.ts'
import { type Answer, EXIT } from './answer.ts'
import { jsonFault } from './file-read.ts'

export interface ReadinessOptions {
  json?: boolean
  budget?: string
  seed: string
  runs?: string
  together?: boolean
}

/** Lines of a kind that are printed; all of them are in the JSON. */
const SAID = 12
/** Runs for groups of parts that hang together by too many causes to be reckoned, and lines that are looked at in all of them. */
const RUNS_USUAL = 20_000
const RUNS_LEAST = 1000
const LINES_BY_DICE = 20_000_000
/** A plan of so few lines is never taken apart: the usual seasons by dice take a second or two. */
const LINES_SMALL = 100
const RUNS_MOST = 10_000_000
/** Amounts with less chance are left out of the JSON. */
const CHANCE_LISTED = 1e-9
/** Progress is said no more often than this. */
const PROGRESS_MS = 4000
/** Readiness that the printed curve stops at. */
const LEVELS = [0.5, 0.7, 0.8, 0.9, 0.95, 0.97, 0.98, 0.99, 0.995, 0.999]

export const READINESS_HELP = `
PLAN is JSON: today, season {from, until}, and lists of suppliers, machines, parts, looks, jobs and failures; every field and its
meaning stands in lib/readiness/plan.ts, an example in docs/readiness.md. Quantities are in the smallest unit of a part, money in
pence or cents.

Answer: the chance that planned work finishes without waiting for a part, of the plan and of each machine, job and part; what is
needed of each part as a distribution; what to buy for the most readiness, and what each sum of money brings. It is exact, but
where more causes and looks tie parts together than can be gone through. A small plan comes from --runs seasons by dice there, with
standard errors. In a large one the parts that most causes bring in stand apart, each reckoned by itself: they are named, and the
chances of jobs, machines and the plan are then at least so good. --together takes dice for a large one too, which may take minutes.
--runs also plays the whole plan, to hold beside the answer.

Faults of the plan are listed with what to do; jobs that cannot be reckoned with are left out, and the exit code is 1.
`

export interface ReadinessAsked {
  /** Minor units of money; null where none is named. */
  budget: number | null
  seed: string
  runs: number | null
  /** Nothing that is needed together is reckoned apart. */
  isTogether: boolean
}

/** What was asked, or what is wrong with it. */
export function readinessAsked({ budget, seed, runs, together }: ReadinessOptions): ReadinessAsked | string {
  const money = budget === undefined ? null : moneyParse(budget)
  if (budget !== undefined && money === null) return `--budget ${budget} is no sum of money, such as 3400 or 3400.50.`
  const count = runs === undefined ? null : Number(runs)
  if (count !== null && !(Number.isInteger(count) && count >= 100 && count <= RUNS_MOST))
    return `--runs ${runs} is no whole number from 100 to 10,000,000.`
  return { budget: money, seed, runs: count, isTogether: together === true }
}

const round = (value: number) => Number(value.toPrecision(10))
const chanceJson = ({ chance, error }: Chance) => ({ readiness: round(chance), error: round(error) })

function jobsJson(plan: WorkPlan, found: Readiness) {
  const waits: { part: string; chance: number }[][] = plan.jobs.map(() => [])
  for (const { part, jobs } of found.parts)
    for (const [job, chance] of jobs)
      if (chance < 1 - CHANCE_LISTED) waits[job]!.push({ part: plan.parts[part]!.id, chance: round(chance) })
  return plan.jobs.map((job, at) => ({
    id: job.id,
    machine: plan.machines[job.machine]!.id,
    date: job.date,
    ...chanceJson(found.jobs[at]!),
    parts: waits[at]!.sort((a, b) => a.chance - b.chance),
  }))
}

function partsJson(plan: WorkPlan, found: Readiness) {
  return found.parts.map((one) => {
    const { id, description, free } = plan.parts[one.part]!
    return {
      id,
      description,
      ...chanceJson(one.readiness),
      certain: one.certain,
      planned: round(one.planned.mean),
      failures: round(one.failuresMean),
      needed: round(one.all.mean),
      enough: {
        p50: one.all.quantile(0.5),
        p90: one.all.quantile(0.9),
        p95: one.all.quantile(0.95),
        p99: one.all.quantile(0.99),
      },
      distribution: [...one.allAmounts]
        .filter(([, chance]) => chance >= CHANCE_LISTED)
        .sort(([a], [b]) => a - b)
        .map(([amount, chance]) => [amount, round(chance)]),
      free,
      onOrder: one.stock - free,
      covered: round(one.covered),
      short: { mean: round(one.short.mean), deviation: round(one.short.deviation) },
    }
  })
}

function budgetJson(plan: WorkPlan, curve: Curve, budget: number) {
  const { spent, readiness: reached, bestPossible } = curveAt(curve, budget)
  return {
    budget,
    spent,
    readiness: round(reached),
    bestPossible: bestPossible === null ? null : round(bestPossible),
    orders: buyList(plan, curve, budget).map((order) => ({
      ...order,
      supplier: plan.suppliers[order.supplier]!.id,
      lines: order.lines.map((line) => ({ ...line, part: plan.parts[line.part]!.id })),
    })),
  }
}

const idsOf = (plan: WorkPlan, parts: ReadonlySet<number>) =>
  [...parts].sort((a, b) => a - b).map((part) => plan.parts[part]!.id)

/** All that was reckoned, as a program reads it. */
function answerJson(
  plan: WorkPlan,
  known: PlanKnown,
  asked: ReadinessAsked,
  { faults, progress }: { faults: readonly PlanFault[]; progress: Progress },
) {
  const found = readiness(plan, known)
  const curve = readinessCurve(plan, known)
  const { seed, runs } = asked
  const simulated =
    runs === null ? null : planSimulated(plan, { seed, runs }, (done, of) => progress('Seasons by dice', done, of))
  const everything = curve.steps.at(-1)?.cost ?? 0
  return {
    found,
    curve,
    json: {
      currency: plan.currency,
      ...chanceJson(found.plan),
      isExact: found.runs === null && known.apart.size === 0,
      partsApart: idsOf(plan, known.apart),
      partsRough: idsOf(plan, known.rough),
      machines: plan.machines.map(({ id, name }, at) => ({ id, name, ...chanceJson(found.machines[at]!) })),
      jobs: jobsJson(plan, found),
      jobsLeftOut: plan.jobsLeftOut,
      parts: partsJson(plan, found),
      partsNotToBeHad: curve.leftOut.map((part) => plan.parts[part]!.id),
      curve: curve.steps.map(({ part, packs, cost, readiness: reached, isCertain, isWithNext }) => ({
        part: plan.parts[part]!.id,
        packs,
        cost,
        readiness: round(reached),
        isCertain,
        isWithNext,
      })),
      buy: budgetJson(plan, curve, asked.budget ?? everything),
      simulated:
        simulated === null
          ? null
          : {
              runs: simulated.runs,
              readiness: simulated.plan,
              error: round(runsError(simulated.plan, simulated.runs!)),
            },
      faults,
    },
  }
}

/** "A, B, C and 5 more"; all of them are in the JSON. */
function named(ids: readonly string[]): string {
  return ids.length > SAID ? `${ids.slice(0, SAID).join(', ')} and ${ids.length - SAID} more` : ids.join(', ')
}

/** Which parts stand apart, and what that leaves of the chances. */
function apartSays({ partsApart, partsRough }: { partsApart: string[]; partsRough: string[] }): string[] {
  if (partsApart.length === 0) return []
  return [
    `Reckoned each by itself, since too many causes or looks tie them to others: ${named(partsApart)}. The chances of jobs, machines and the plan are at least so good; --together reckons with all that is needed together, by dice.`,
    ...(partsRough.length > 0
      ? [`So many looks ask for ${named(partsRough)} that the chances of these parts are near only, to either side.`]
      : []),
  ]
}

/** Never "100 %" for what is not certain, nor "0 %" for what may happen. */
export function chanceSays(chance: number): string {
  if (chance === 0 || chance === 1) return `${chance * 100} %`
  if (chance > 0.9995) return 'over 99.9 %'
  return chance < 0.0005 ? 'under 0.1 %' : `${(chance * 100).toFixed(1)} %`
}

const errorSays = ({ chance, error }: Chance) =>
  error === 0 ? chanceSays(chance) : `${chanceSays(chance)} (standard error ${(error * 100).toFixed(2)})`

function curveSays(curve: Curve, money: (minor: number) => string): string[] {
  const points = LEVELS.flatMap((level) => {
    const budget = curveBudgetFor(curve, level)
    return budget === null || budget === 0 ? [] : [curveAt(curve, budget)]
  }).filter((point, at, all) => at === 0 || point.spent > all[at - 1]!.spent)
  const last = curve.steps.at(-1)
  if (last && points.at(-1)?.spent !== last.cost && points.length === 0) points.push(curveAt(curve, last.cost))
  return points.map(({ spent, readiness: reached }, at) => {
    const before = points[at - 1]
    const chance = chanceSays(reached)
    return before === undefined
      ? `  For ${money(spent)} the chance that no planned job waits for a part is ${chance}.`
      : `  ${money(spent - before.spent)} more (${money(spent)} in all) makes it ${chance}.`
  })
}

function textSays(
  plan: WorkPlan,
  { found, curve, json }: ReturnType<typeof answerJson>,
  asked: ReadinessAsked,
): string {
  const money = (minor: number) => moneyFormat(minor, plan.currency)
  const more = (count: number) => (count > SAID ? [`  and ${count - SAID} more; --json names all of them`] : [])
  const jobs = json.jobs
    .filter(({ readiness: one }) => one < 1 - CHANCE_LISTED)
    .sort((a, b) => a.readiness - b.readiness)
  const parts = found.parts
    .filter(({ readiness: one }) => one.chance < 1 - CHANCE_LISTED)
    .sort((a, b) => a.readiness.chance - b.readiness.chance)
  const left = json.partsNotToBeHad
  const { buy, simulated } = json
  return [
    `${counted(plan.jobs.length, 'job')} on ${counted(plan.machines.length, 'machine')}: the chance that none waits for a part is ${json.partsApart.length > 0 && found.plan.chance < 1 ? 'at least ' : ''}${errorSays(found.plan)}.`,
    ...apartSays(json),
    ...(simulated
      ? [
          `${counted(simulated.runs!, 'season')} by dice: ${errorSays({ chance: simulated.readiness, error: simulated.error })}.`,
        ]
      : []),
    ...(jobs.length > 0 ? ['Jobs that may wait:'] : []),
    ...jobs.slice(0, SAID).map(
      ({ id, machine, date, readiness: one, parts: waits }) =>
        `  ${id} (${machine}, ${dateSays(date)}): ${chanceSays(one)}, first for ${waits
          .slice(0, 3)
          .map(({ part, chance }) => `${part} ${chanceSays(chance)}`)
          .join(', ')}`,
    ),
    ...more(jobs.length),
    ...(parts.length > 0 ? ['Parts that may lack:'] : []),
    ...parts.slice(0, SAID).map((one) => {
      const { id, description } = plan.parts[one.part]!
      return `  ${[id, description].filter(Boolean).join(' ')}: ${chanceSays(one.readiness.chance)}; ${one.certain} certain, ${one.all.mean.toFixed(1)} expected with failures, ${one.all.quantile(0.95)} enough with 95 %; ${one.stock} there or on order`
    }),
    ...more(parts.length),
    ...(left.length > 0
      ? [`Not to be had in time: ${left.join(', ')}. What follows is without ${left.length === 1 ? 'it' : 'them'}.`]
      : []),
    ...(curve.steps.length > 0 ? ['What money brings:', ...curveSays(curve, money)] : []),
    ...(asked.budget === null
      ? []
      : [
          `For ${money(asked.budget)}: ${money(buy.spent)} spent, ${chanceSays(buy.readiness)}${
            buy.bestPossible === null || buy.bestPossible - buy.readiness < 5e-4
              ? ''
              : `; no choice for that sum gives more than ${chanceSays(buy.bestPossible)}`
          }.`,
          ...buy.orders.flatMap((order) => [
            `  ${order.supplier}, ${money(order.cost)}, order by ${dateSays(order.lastDay)}${order.isLate ? `: too late; ordered now it is there on ${dateSays(order.arrives)}` : ''}`,
            ...order.lines.map(
              (line) =>
                `    ${line.part}: ${line.pieces}, ${money(line.cost)}${line.isCertain ? ', needed in any case' : ''}`,
            ),
          ]),
        ]),
    ...(plan.jobsLeftOut.length > 0 ? [`Left out for faults of the plan: ${plan.jobsLeftOut.join(', ')}.`] : []),
  ].join('\n')
}

function faultsSay(faults: readonly PlanFault[], say: (line: string) => void): void {
  say(`${counted(faults.length, 'fault')} in the plan:`)
  for (const { where, says, next } of faults.slice(0, 50)) say(`  ${where}: ${says}. ${next}`)
  if (faults.length > 50) say(`  and ${faults.length - 50} more; --json names all of them`)
}

type Progress = (step: string, done: number, of: number) => void

/** Says how far it is once it takes long, and then every few seconds. */
function progressTo(say: (line: string) => void): Progress {
  let last = performance.now()
  return (step, done, of) => {
    if (performance.now() - last < PROGRESS_MS) return
    last = performance.now()
    say(`${step}: ${done.toLocaleString('en-GB')} of ${of.toLocaleString('en-GB')}`)
  }
}

/** What is reckoned together, and by how many seasons: fewer where very many lines are looked at, so that it ends. */
function planReckoned(plan: WorkPlan, { seed, runs, isTogether }: ReadinessAsked, progress: Progress): PlanKnown {
  const lines = plan.jobs.reduce((sum, job) => sum + job.lines.length, 1)
  const usual = Math.max(RUNS_LEAST, Math.min(RUNS_USUAL, Math.floor(LINES_BY_DICE / lines)))
  const casesAll = isTogether || lines <= LINES_SMALL ? null : CASES_ALL
  return planKnown(plan, { seed, runs: runs ?? usual }, (done, of) => progress('Groups of parts', done, of), casesAll)
}

/**
 * `cotterbook readiness PLAN.json`. No database is needed. Null where the file is no plan; that has been said to `say` then.
 */
export async function readinessCommand(
  path: string,
  asked: ReadinessAsked,
  { json, say }: { json: boolean | undefined; say: (line: string) => void },
): Promise<Answer | null> {
  let value: unknown
  try {
    value = JSON.parse(await readFile(path, 'utf8'))
  } catch (error) {
    const why = jsonFault(error)
    if (json)
      say(JSON.stringify({ faults: [{ where: path, says: why, next: 'Name a file with a plan as JSON.' }] }, null, 2))
    else
      say(
        `${path} cannot be read: ${why}\nNext: name a file with a plan as JSON; readiness --help says what stands in it.`,
      )
    return null
  }
  const { plan, faults } = planRead(value)
  if (plan === null) {
    if (json) say(JSON.stringify({ faults }, null, 2))
    else {
      faultsSay(faults, say)
      say('Next: correct the plan and run it again; nothing was answered.')
    }
    return null
  }
  if (faults.length > 0 && !json) faultsSay(faults, say)
  // A program that reads the JSON is told nothing beside it.
  const progress = json ? () => undefined : progressTo(say)
  const known = planReckoned(plan, asked, progress)
  const answer = answerJson(plan, known, asked, { faults, progress })
  return {
    status: faults.length > 0 ? EXIT.refused : EXIT.fine,
    json: answer.json,
    text: textSays(plan, answer, asked),
  }
}
