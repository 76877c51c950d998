import { stringify } from 'csv-stringify/sync'
import { type BacktestInput, type BacktestRow, backtest } from '../demand/backtest.ts'
import { INSTALLED_BASE } from '../demand/installed-base.ts'
import { type Method, USUAL_METHODS } from '../demand/method.ts'
import { type Answer, EXIT } from './answer.ts'
import { SERIES_HELP, type SeriesSaid, seriesFile } from './series.ts'

export interface BacktestOptions {
  json?: boolean
  train: string
  lead: string
  review: string
  targets: string
  targetKind: string
  method?: string
}

/** A way to foresee, and whether one target is for all parts together. */
interface Way {
  name: string
  method: Method
  isSpread: boolean
}

const WAYS: readonly Way[] = [
  ...[...USUAL_METHODS, INSTALLED_BASE].map((method) => ({ name: method.name, method, isSpread: false })),
  { name: 'installed-base-spread', method: INSTALLED_BASE, isSpread: true },
]

export const BACKTEST_HELP = `${SERIES_HELP}
The levels are set with the first --train periods, and at each review again from all history so far; the shelf is run through the
rest as if the rule had been at work before. An order raised at the end of a period is there --lead periods after the next begins.
Answer for each method and target: fill (pieces served at once), cycle (periods that end with nobody waiting), what the method
itself claims of both, stock on hand at the end of a period (pieces a part), value (money a part, where there are prices), orders
of a part in twelve periods. Methods: ${WAYS.map(({ name }) => name).join(', ')}.
installed-base-spread has the target for all parts together and buys what brings most service for its money.
Without --json the answer is CSV.
`

type Asked = Omit<BacktestInput, 'parts' | 'isSpread'> & { ways: readonly Way[] }

/** What the options say; a sentence where one of them cannot be meant. */
export function backtestAsked(options: BacktestOptions): Asked | string {
  const wrong: string[] = []
  const whole = (name: string, text: string, from: number): number => {
    const value = /^\d{1,4}$/.test(text) ? Number(text) : Number.NaN
    if (!(value >= from)) wrong.push(`--${name} ${text} is no whole number from ${from}.`)
    return value
  }
  const targets = options.targets.split(',').map(Number)
  if (targets.some((target) => !(target > 0 && target < 1)))
    wrong.push(`--targets ${options.targets} must be shares between 0 and 1, such as 0.9,0.95.`)
  const ways = options.method === undefined ? WAYS : WAYS.filter(({ name }) => name === options.method)
  if (ways.length === 0) wrong.push(`--method ${options.method} is none of ${WAYS.map(({ name }) => name).join(', ')}.`)
  const { targetKind } = options
  if (targetKind !== 'fill' && targetKind !== 'cycle')
    wrong.push(`--target-kind ${targetKind} is neither fill nor cycle.`)
  const asked: Asked = {
    trainPeriods: whole('train', options.train, 1),
    leadPeriods: whole('lead', options.lead, 0),
    reviewPeriods: whole('review', options.review, 1),
    targets: [...new Set(targets)].sort((a, b) => a - b),
    kind: targetKind === 'cycle' ? targetKind : 'fill',
    mode: 'rolling',
    start: 'steady',
    ways,
  }
  return wrong.length === 0 ? asked : wrong.join('\n')
}

const round = (value: number) => Number(value.toFixed(6))

function row({ method, target, value, ...rest }: BacktestRow) {
  const { fill, cycle, claimedFill, claimedCycle, stock, orders } = rest
  return {
    method,
    target,
    fill: round(fill),
    cycle: round(cycle),
    claimed_fill: round(claimedFill),
    claimed_cycle: round(claimedCycle),
    stock: round(stock),
    value: value === null ? null : round(value),
    orders: round(orders),
  }
}

/**
 * `cotterbook backtest CSV`: what service each way to foresee would have given, and with how much stock. No database is needed.
 * Null where the file is wrong, which has been said then.
 */
export async function backtestCommand(path: string, asked: Asked, said: SeriesSaid): Promise<Answer | null> {
  const parts = await seriesFile(path, said)
  if (!parts) return null
  // A part that begins later stood still before: the shelf is run over the same periods for all.
  const length = Math.max(...parts.map(({ quantities }) => quantities.length))
  if (asked.trainPeriods >= length) {
    said.say(`The file has ${length} periods, so --train ${asked.trainPeriods} leaves none to judge.`)
    said.say('Next: give fewer periods to learn from.')
    return null
  }
  const filled = parts.map((part) => {
    const missing = length - part.quantities.length
    const zeros = Array.from({ length: missing }, () => 0)
    // Before its first row a part was not there, which is not the same as not being asked for.
    const exposure = part.exposure ?? (missing > 0 ? part.quantities.map(() => 1) : undefined)
    return {
      ...part,
      quantities: [...zeros, ...part.quantities],
      ...(exposure ? { exposure: [...zeros, ...exposure] } : {}),
    }
  })
  const { ways, ...input } = asked
  const rows = ways.flatMap(({ name, method, isSpread }) =>
    backtest(method, { ...input, parts: filled, isSpread }).map((one) => row({ ...one, method: name })),
  )
  return {
    status: EXIT.fine,
    json: { parts: parts.length, periodsJudged: length - asked.trainPeriods, targetKind: asked.kind, rows },
    text: stringify(rows, { header: true }).trimEnd(),
  }
}
