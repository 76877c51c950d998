import { parseArgs } from 'node:util'
import { scenariosRead } from '../companion/scenario.ts'
import { Workshop } from './fitter-job.ts'
import { type Judgement, scenarioJudge, type Tally, tallyAdd, tallyNone } from './fitter-score.ts'

const USAGE = `npm run eval:companions -- [--only TEXT] [--as-written] [--json]

Asks for the companions of every job in tests/companion/scenarios, by the way a job takes, and holds them against what a
fitter takes. Prints, job by job and over all:
  recall      musts of the fitter that are suggested as must or should, or that the job card shows in words: a step around a
              part, or a test of the figure (in brackets: suggested as must, shown). An act needs its family and its words
  precision   suggestions as must or should that are a must or a should of the fitter; goods alone, without acts, beside it
  must not    suggestions, however weak, that would be wrong; what is only considered is counted apart
--only takes the jobs whose name or figure holds TEXT. --as-written leaves out what was amended to a job after the
suggestions had been seen.

Bars: recall 1, precision 0.9, none that must not be. Answers 0 when all are met, 1 when one is missed, 2 for wrong usage.`

export const BARS = { recall: 1, precision: 0.9, forbidden: 0 }

const share = (part: number, whole: number) => (whole === 0 ? 1 : part / whole)
const shown = (part: number, whole: number) => `${share(part, whole).toFixed(3)} ${part}/${whole}`

export const barsMet = (sum: Tally): boolean =>
  share(sum.mustsMet, sum.musts) >= BARS.recall &&
  share(sum.right, sum.said) >= BARS.precision &&
  sum.forbidden <= BARS.forbidden

function tallyLine(name: string, sum: Tally): string {
  return [
    name.padEnd(28),
    `recall ${shown(sum.mustsMet, sum.musts)} (${sum.mustsMetAsMust}, ${sum.mustsShown})`,
    `precision ${shown(sum.right, sum.said)}, goods ${shown(sum.rightGoods, sum.saidGoods)}`,
    `considered ${sum.consideredRight}/${sum.considered}`,
    `must not ${sum.forbidden}`,
  ].join('  ')
}

/** What is wrong, gathered by the rule that said it, the commonest first. */
function byRule(judged: readonly Judgement[]): string[] {
  const groups = new Map<string, string[]>()
  for (const { id, findings } of judged) {
    for (const { kind, what, strength, ruleIds } of findings) {
      const name = [kind, ruleIds.join(' + ') || (kind === 'missing' ? what : 'no rule')].join(': ')
      groups.set(name, [...(groups.get(name) ?? []), `${id}: ${strength ?? ''} ${what}`])
    }
  }
  return [...groups]
    .sort(([a, one], [b, two]) => two.length - one.length || (a < b ? -1 : 1))
    .flatMap(([name, lines]) => [`${lines.length} ${name}`, ...lines.map((line) => `    ${line}`)])
}

function run(): number {
  const { values } = parseArgs({
    options: {
      only: { type: 'string', default: '' },
      'as-written': { type: 'boolean', default: false },
      json: { type: 'boolean', default: false },
      help: { type: 'boolean', default: false },
    },
  })
  if (values.help) {
    console.info(USAGE)
    return 0
  }
  const workshop = new Workshop()
  const scenarios = scenariosRead().filter(({ id, figure }) => id.includes(values.only) || figure.includes(values.only))
  if (scenarios.length === 0) throw new Error(`--only ${values.only}: no job of that name`)
  const judged = scenarios.map((scenario) => scenarioJudge(scenario, workshop.plan(scenario), values['as-written']))
  const sum = judged.reduce<Tally>(tallyAdd, tallyNone())
  if (values.json) {
    console.info(JSON.stringify({ bars: BARS, met: barsMet(sum), sum, jobs: judged }, null, 2))
    return barsMet(sum) ? 0 : 1
  }
  for (const one of judged) {
    console.info(tallyLine(one.id, one))
    for (const { kind, what, strength, ruleIds } of one.findings)
      console.info(`    ${kind}: ${[strength, what].filter(Boolean).join(' ')} [${ruleIds.join(', ')}]`)
  }
  console.info(['', 'By rule:', ...byRule(judged), '', tallyLine(`${judged.length} jobs`, sum)].join('\n'))
  return barsMet(sum) ? 0 : 1
}

try {
  process.exitCode = run()
} catch (error) {
  console.error(error instanceof Error ? error.message : error)
  console.error(`\n${USAGE}`)
  process.exitCode = 2
}
