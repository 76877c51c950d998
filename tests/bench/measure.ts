import type { Client } from '@libsql/client'
import { orderList } from '../../lib/db/buying.ts'
import { figureRead, figureShelf } from '../../lib/db/figure.ts'
import { figureLastFitted } from '../../lib/db/last-fitted.ts'
import { partSearch } from '../../lib/db/part-search.ts'
import { stockIssue } from '../../lib/db/stock.ts'
import { randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { percentile, timeEach, timePair, total } from './clock.ts'
import type { Generated } from './generate.ts'
import { rawFigure, rawIssue, rawSearch } from './raw.ts'
import type { Measured } from './report.ts'
import { instant } from './sizes.ts'

const WARM = 20

export function spread(what: string, times: readonly number[], barMs: number | null): Measured[] {
  return [
    { what: `${what}, p50`, unit: 'ms', measured: percentile(times, 0.5), bar: null },
    {
      what: `${what}, p95`,
      unit: 'ms',
      measured: percentile(times, 0.95),
      bar: barMs === null ? null : { value: barMs, is: 'at most' },
    },
  ]
}

/** What the figure page reads before it draws, by the page's own calls. */
async function figurePageRead(figureId: number): Promise<number> {
  const figure = await figureRead(figureId, { serialNumber: 'A700' })
  const [, fitted] = await Promise.all([figureShelf(figure), figureLastFitted(figure, null)])
  return fitted.size
}

export async function figureMeasure(raw: Client, data: Generated, rounds: number): Promise<Measured[]> {
  const random = randomSeeded('bench figures')
  const ids = Array.from({ length: rounds + WARM }, () => randomInteger(random, 1, data.sizes.figures))
  let fitted = 0
  const domain = async (round: number) => {
    fitted += await figurePageRead(ids[round]!)
  }
  const byHand = (round: number) => rawFigure(raw, ids[round]!)
  await timePair(
    WARM,
    (round) => domain(rounds + round),
    (round) => byHand(rounds + round),
  )
  const [ours, plain] = await timePair(rounds, domain, byHand)
  if (fitted < rounds) throw new Error('hardly a figure had anything fitted: its service book was not measured')
  return [
    ...spread('figure page, data', ours, 60),
    ...spread('  the same rows by raw SQL', plain, null),
    { what: '  ratio of the totals, domain / raw', unit: 'ratio', measured: total(ours) / total(plain), bar: null },
  ]
}

/** Beginnings of real numbers and descriptions, from the second letter on: what a search box sees while somebody types. */
export function typedMake(data: Generated, count: number): string[] {
  const random = randomSeeded('bench search')
  return Array.from({ length: count }, (_, at) => {
    const part = randomPick(random, data.parts)
    const text = at % 2 === 0 ? part.number : part.description
    return text.slice(0, randomInteger(random, 2, Math.min(text.length, 24))).trim()
  })
}

export async function searchMeasure(raw: Client, data: Generated, rounds: number): Promise<Measured[]> {
  const typed = typedMake(data, rounds + WARM)
  const domain = (round: number) => partSearch(typed[round]!)
  const byHand = (round: number) => rawSearch(raw, typed[round]!, 20)
  await timePair(
    WARM,
    (round) => domain(rounds + round),
    (round) => byHand(rounds + round),
  )
  const [ours, plain] = await timePair(rounds, domain, byHand)
  const slowest = ours.indexOf(Math.max(...ours))
  return [
    ...spread('search as you type', ours, 30),
    ...spread('  plain query of the index', plain, null),
    { what: `  slowest: "${typed[slowest]}"`, unit: 'ms', measured: ours[slowest]!, bar: null },
  ]
}

export async function orderListMeasure(): Promise<Measured[]> {
  let lines = 0
  const times = await timeEach(5, async () => {
    lines = (await orderList()).reduce((sum, group) => sum + group.lines.length, 0)
  })
  return [{ what: `order list, ${lines} lines, p50`, unit: 'ms', measured: percentile(times, 0.5), bar: null }]
}

/** One issue after the other, each on the disk before the next begins, through the domain code and past it. */
export async function issueMeasure(raw: Client, data: Generated, rounds: number): Promise<Measured[]> {
  const piles = data.shelved.full
  const pileOf = (round: number) => piles[round % piles.length]!
  // Each round takes one twice from the same pile.
  const deepest = Math.min(...piles.map((pile) => pile.quantity))
  const all = Math.min(rounds, Math.floor(deepest / 2) * piles.length - WARM)
  const now = new Date(instant(1_200))
  const domain = (round: number) =>
    stockIssue(
      { key: `bench-domain-${round}`, personId: data.personId, now },
      { partId: pileOf(round).partId, binId: pileOf(round).binId, quantity: 1, reason: 'bench' },
    )
  const byHand = (round: number) =>
    rawIssue(raw, {
      key: `bench-raw-${round}`,
      personId: data.personId,
      at: instant(1_200),
      ...pileOf(round),
      quantity: 1,
    })
  await timePair(
    WARM,
    (round) => domain(all + round),
    (round) => byHand(all + round),
  )
  const [ours, plain] = await timePair(all, domain, byHand)
  const perSecond = (times: readonly number[]) => (times.length * 1000) / total(times)
  return [
    { what: 'durable issue through the domain code', unit: 'per second', measured: perSecond(ours), bar: null },
    { what: '  the same statements, raw driver', unit: 'per second', measured: perSecond(plain), bar: null },
    {
      what: '  ratio, domain / raw',
      unit: 'ratio',
      measured: perSecond(ours) / perSecond(plain),
      bar: { value: 0.5, is: 'at least' },
    },
    ...spread('  domain', ours, null),
    ...spread('  raw', plain, null),
  ]
}
