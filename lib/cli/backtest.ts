import { stringify } from 'csv-stringify/sync'
import { type BacktestGroup, type BacktestInput, type BacktestRow, backtest } from '../demand/backtest.ts'
import { demandShape } from '../demand/demand-class.ts'
import { wayChoose } from '../demand/frontier.ts'
import { INSTALLED_BASE } from '../demand/installed-base.ts'
import { type Method, USUAL_METHODS } from '../demand/method.ts'
import type { SeriesPart } from '../demand/series-file.ts'
import { counted } from '../measure/counted.ts'
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
  choose?: boolean
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
Rows without a class are those of all parts; then come those of each class, as the column class has it, or where no part has one
as its history was before the first judged period (smooth, erratic, intermittent, lumpy, never asked for). --choose answers instead
which method gives the targets as achieved service with the least value (stock, where there are no prices), for all parts and for
each class, and which is the next best, from many targets between 50 and 99.9 %; JSON then has both. Without --json the answer is CSV.
`

type Asked = Omit<BacktestInput, 'parts' | 'isSpread' | 'groups'> & { ways: readonly Way[]; isChoice: boolean }

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
    isChoice: options.choose === true,
  }
  return wrong.length === 0 ? asked : wrong.join('\n')
}

const round = (value: number) => Number(value.toFixed(6))

function row({ method, group, target, value, ...rest }: BacktestRow) {
  const { fill, cycle, claimedFill, claimedCycle, stock, orders } = rest
  return {
    method,
    class: group,
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

const NEVER = 'never asked for'

/** The classes of the file, or where it has none the kinds of demand as they could be told before anything was judged. */
function groupsOf(parts: readonly SeriesPart[], trainPeriods: number): BacktestGroup[] {
  const isSaid = parts.some(({ partClass }) => partClass !== undefined)
  const groups = new Map<string, number[]>()
  for (const [at, { partClass, quantities }] of parts.entries()) {
    const name = isSaid ? (partClass ?? '') : (demandShape(quantities.slice(0, trainPeriods))?.class ?? NEVER)
    if (name === '') continue
    const known = groups.get(name)
    if (known) known.push(at)
    else groups.set(name, [at])
  }
  // One that all parts are in says the same as all of them.
  return [...groups]
    .filter(([, at]) => at.length < parts.length)
    .map(([name, at]) => ({ name, at }))
    .sort((a, b) => (a.name < b.name ? -1 : 1))
}

interface Choice {
  class: string | null
  service: number
  method: string | null
  needs: number | null
  next_method: string | null
  next_needs: number | null
}

/** For all parts and each class: the method that gives the service with the least value, or stock where there are no prices. */
function choicesOf(rows: readonly BacktestRow[], kind: BacktestInput['kind'], services: readonly number[]): Choice[] {
  const isPriced = rows.some(({ value }) => value !== null)
  return [...new Set(rows.map(({ group }) => group))].flatMap((group) => {
    const own = rows.filter((one) => one.group === group)
    const ways = [...new Set(own.map(({ method }) => method))].map((name) => ({
      name,
      points: own
        .filter(({ method }) => method === name)
        .map((one) => ({ service: one[kind], value: isPriced ? (one.value ?? 0) : one.stock })),
    }))
    return services.map((service): Choice => {
      const chosen = wayChoose(ways, service)
      return {
        class: group,
        service,
        method: chosen?.name ?? null,
        needs: chosen ? round(chosen.value) : null,
        next_method: chosen?.next?.name ?? null,
        next_needs: chosen?.next ? round(chosen.next.value) : null,
      }
    })
  })
}

/** Targets that are tried where a method is to be chosen: what was asked for has to lie between what they gave. */
const TRIED = [0.5, 0.7, 0.8, 0.85, 0.9, 0.925, 0.95, 0.97, 0.98, 0.99, 0.995, 0.999]

/**
 * `cotterbook backtest CSV`: what service each way to foresee would have given, and with how much stock. No database is needed.
 * Null where the file is wrong, which has been said then.
 */
export async function backtestCommand(path: string, asked: Asked, said: SeriesSaid): Promise<Answer | null> {
  const read = await seriesFile(path, said)
  if (!read) return null
  const { parts, periods } = read
  // A part that begins later stood still before: the shelf is run over the same periods for all.
  const length = Math.max(...parts.map(({ quantities }) => quantities.length))
  if (asked.trainPeriods >= length) {
    said.say(`The file has ${counted(length, 'period')}, so --train ${asked.trainPeriods} leaves none to judge.`)
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
  const { ways, isChoice, targets, ...input } = asked
  const groups = groupsOf(filled, asked.trainPeriods)
  const tried = isChoice ? [...new Set([...TRIED, ...targets])].sort((a, b) => a - b) : targets
  const all = ways.flatMap(({ name, method, isSpread }) =>
    backtest(method, { ...input, targets: tried, parts: filled, isSpread, groups }).map((one) => ({
      ...one,
      method: name,
    })),
  )
  const rows = all.map(row)
  const choices = isChoice ? choicesOf(all, asked.kind, targets) : null
  return {
    status: EXIT.fine,
    json: {
      parts: parts.length,
      periods,
      periodsJudged: length - asked.trainPeriods,
      targetKind: asked.kind,
      rows,
      ...(choices ? { choices } : {}),
    },
    text: stringify(choices ?? rows, { header: true }).trimEnd(),
  }
}
