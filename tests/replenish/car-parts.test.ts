import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { INSTALLED_BASE } from '../../lib/demand/installed-base.ts'
import { type Method, USUAL_METHODS } from '../../lib/demand/method.ts'
import { stockRun } from '../../lib/demand/stock-run.ts'
import { type LevelsPart, levelsRead } from '../../lib/replenish/levels-file.ts'
import { partLevel } from '../../lib/replenish/part-level.ts'
import { csvCells } from '../support/csv-cells.ts'
import { needReference } from '../support/reference.ts'

const ORDER = { orderCost: 10, holdingRate: 0.2, periodsPerYear: 12, longestYears: 2 }
/** Months that the levels may know; the other twelve are run. */
const TRAIN = 39

function partsRead(path: string): LevelsPart[] {
  const records = csvCells(readFileSync(path, 'utf8')).map((cells, at) => ({ row: at + 2, cells }))
  return levelsRead(records, { leadTime: 1, review: 1, target: 0.95, targetKind: 'fill' }).parts
}

/** Levels from the first 39 months, run over the last twelve: what was claimed, what came, and what lay on the shelf. */
function judged(parts: readonly LevelsPart[], method: Method, share: number) {
  const known = parts.map(({ id, quantities }) => ({ id, quantities: quantities.slice(0, TRAIN) }))
  const outlooks = method.outlooks(known)
  let [claimed, mean, served, wanted, onHand] = [0, 0, 0, 0, 0]
  parts.forEach((part, at) => {
    const outlook = outlooks[at]!
    const { fillRate, orderUpTo } = partLevel({ ...part, target: share }, outlook, ORDER)
    const { quantities } = part
    const lead = { leadPeriods: 1, reviewPeriods: 1, start: 'full' as const }
    const ran = stockRun({ quantities, from: TRAIN, levelAt: () => orderUpTo, ...lead })
    const need = outlook(1).mean
    claimed += fillRate * need
    mean += need
    served += ran.served
    wanted += ran.wanted
    onHand += ran.onHand / ran.periods
  })
  return { claimed: claimed / mean, fill: served / wanted, stock: onHand / parts.length }
}

// 1,200 car parts, 51 months (R package expsmooth); levels, claims and simulation of an independent program in R and another
// language, which reckons the fill rate of whole periods, 1 - (E(D(L+1) - S)+ - E(D(L) - S)+) / E(D(1)): benchmark-all.csv.
describe('levels of 1,200 car parts', () => {
  test('claim, achieve and keep what an independent simulation says of the same forecast', (context) => {
    const parts = partsRead(needReference(context, 'demand/carparts.csv'))
    const rows = csvCells(readFileSync(needReference(context, 'demand/expected/benchmark-all.csv'), 'utf8')).filter(
      (row) =>
        [row.set, row.lead, row.mode, row.start, row.kind, row.method].join() ===
        'carparts,1,fixed,full,fill,negbin-sba',
    )
    const method = USUAL_METHODS.find((one) => one.name === 'negbin-sba')!
    for (const share of [0.9, 0.95, 0.99]) {
      const row = rows.find((one) => Number(one.target) === share)!
      const { claimed, fill, stock } = judged(parts, method, share)
      expect(Math.abs(claimed - Number(row.claimed_fill)), `claimed at ${share}`).toBeLessThan(0.001)
      expect(Math.abs(fill - Number(row.fill)), `fill at ${share}`).toBeLessThan(0.002)
      expect(Math.abs(stock / Number(row.stock) - 1), `stock at ${share}`).toBeLessThan(0.02)
    }
  })

  test('by the installed base keep less, claim what they are asked for, and achieve it to a point', (context) => {
    const parts = partsRead(needReference(context, 'demand/carparts.csv'))
    const usual = judged(parts, USUAL_METHODS.find((one) => one.name === 'negbin-sba')!, 0.95)
    const base = judged(parts, INSTALLED_BASE, 0.95)
    expect(base.stock).toBeLessThan(0.9 * usual.stock)
    expect(base.claimed).toBeGreaterThanOrEqual(0.95)
    expect(Math.abs(base.fill - base.claimed)).toBeLessThan(0.015)
  })
})
