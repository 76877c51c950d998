import { describe, expect, test } from 'vitest'
import { type Distribution, empirical, normal, poisson } from '../../lib/demand/distribution.ts'
import { fillRate, level, positionCost, type Target } from '../../lib/replenish/level.ts'
import { needOver } from '../../lib/replenish/protection.ts'
import { eoq } from '../../lib/replenish/quantity.ts'
import { needReference, readHandbook } from '../support/reference.ts'
import { near, rowsOf } from './handbook-rows.ts'

type Numbers = Record<string, number>

/** Single pieces, Poisson, `mean` of them until an order has come, every taking looked at. */
function poissonLevel(mean: number, target: Target, quantity = 1) {
  return level({
    need: { mean, variance: mean },
    time: { leadMean: 1, leadSd: 0, review: 0 },
    target,
    quantity,
    oneJob: 0,
    set: 1,
    grain: null,
  })
}

/** Rows that ask for something that levels here are not set by, each with why. */
const NOT_HERE: Record<string, string> = {
  'sS-': 'optimal (s, S) with a cost for each review; the order list has its own test of them',
  'rq-eil-': 'penalty for each piece short, whatever it waits',
  'nahmias-5-4': 'penalty for each piece short, whatever it waits',
  'turnover-': 'the value of the stock is elsewhere',
  'abc-': 'count classes are elsewhere',
  'nv-lognormal-': 'no lognormal need here',
}

const HERE = [
  'base-stock-fill-',
  'hs-',
  'nahmias-5-5',
  'nv-',
  'rop-',
  'rq-best-r-',
  'rq-cost-',
  'rq-eoqb-',
  'rq-eoqss-',
  'rq-poisson-',
  'taha-16-1-1',
]

// Snyder & Shen ch. 4 and 5, Hopp & Spearman ch. 2, Nahmias ch. 5, Taha ch. 16, Poisson tables: handbook.json says where.
describe('levels as the textbooks have them:', () => {
  test('every example of stock levels is run here or said why not', (context) => {
    const rows = readHandbook(needReference(context, 'handbook.json'))
    const left = rows
      .filter((row) => ['B/stock-levels', 'B/newsvendor'].includes(row.area))
      .filter(({ id }) => ![...HERE, ...Object.keys(NOT_HERE)].some((prefix) => id.startsWith(prefix)))
    expect(left.map((row) => row.id)).toEqual([])
  })

  test('fill rate of a base stock', (context) => {
    for (const { inputs, expected, tolerance } of rowsOf(context, 'base-stock-fill-')) {
      const { theta, S } = inputs as { theta: number; S: number }
      near(fillRate(poisson(theta), S - 1, 1), expected, tolerance)
    }
  })

  test('fill rate of an order quantity with a reorder point, normal need', (context) => {
    for (const { inputs, expected, tolerance } of rowsOf(context, 'hs-jack-service-')) {
      const { theta, Q, r, policies } = inputs as { theta: number; Q: number; r: number; policies?: [number, number][] }
      const need = normal(theta, Math.sqrt(theta))
      if (policies) {
        const found = policies.map(([quantity, s]) => fillRate(need, s, quantity))
        near(found, expected, tolerance)
        continue
      }
      near({ fill: fillRate(need, r, Q) }, { fill: (expected as Numbers).fill }, tolerance)
    }
  })

  test('need over the lead time', (context) => {
    const of = ({ daily_mean = 0, daily_sd = 0, lead_days, lead_mean = lead_days, lead_sd = 0, daily }: Numbers) =>
      needOver({ mean: daily ?? daily_mean, variance: daily_sd ** 2 }, { mean: lead_mean ?? 0, variance: lead_sd ** 2 })
    const rows = [...rowsOf(context, 'rop-'), ...rowsOf(context, 'taha-16-1-1')]
    expect(rows.length).toBe(5)
    for (const { id, inputs, expected, tolerance } of rows) {
      const moments = of(inputs as Numbers)
      const sd = Math.sqrt(moments.variance)
      const { z, alpha } = inputs as Numbers
      if (id === 'rop-formula-variance') {
        near({ mean: moments.mean, sd }, expected, tolerance)
        continue
      }
      const share = alpha === undefined ? normal(0, 1).cdf(z!) : 1 - alpha
      const point = normal(moments.mean, sd).quantile(share)
      const found = {
        safety_stock: point - moments.mean,
        buffer: point - moments.mean,
        sd_lead: sd,
        reorder_point: point,
      }
      near(typeof expected === 'number' ? point : found, expected, tolerance)
    }
  })

  test('spares for a protection level', (context) => {
    for (const { id, inputs, expected } of rowsOf(context, 'spares-')) {
      if (id.startsWith('spares-normal-')) {
        const { units, hours, mtbf_h } = inputs as Numbers
        const mean = (units! * hours!) / mtbf_h!
        expect(poissonLevel(mean, { kind: 'cycle', share: 0.95 }).reorderPoint).toBe(
          (expected as Numbers).spares_poisson,
        )
        continue
      }
      const { m, level: share } = inputs as { m: number; level: number }
      expect(poissonLevel(m, { kind: 'cycle', share }).reorderPoint, id).toBe(expected)
    }
  })

  test('cycle service of a normal need', (context) => {
    for (const { inputs, expected, tolerance } of rowsOf(context, 'nahmias-5-5')) {
      const { lead_mean, lead_sd, cycle_service } = inputs as Numbers
      near(normal(lead_mean!, lead_sd!).quantile(cycle_service!), expected, tolerance)
    }
  })

  test('least cost of Poisson need, and what another choice would cost', (context) => {
    const rows = rowsOf(context, 'rq-poisson-')
    expect(rows.length).toBe(2)
    for (const { inputs, expected, tolerance } of rows) {
      const { h, p, K, demand_rate, lead_time, r, Q } = inputs as Numbers
      const mean = demand_rate! * lead_time!
      const costOf = (s: number, quantity: number) => {
        let cost = K! * demand_rate!
        for (let y = s + 1; y <= s + quantity; y++) cost += positionCost(poisson(mean), y, h!, p!)
        return cost / quantity
      }
      if (Q !== undefined) {
        near(costOf(r!, Q), expected, tolerance)
        continue
      }
      const best = expected as { r: number; Q: number; cost: number }
      const { reorderPoint } = poissonLevel(mean, { kind: 'least-cost', holding: h!, standing: p! }, best.Q)
      expect(reorderPoint).toBe(best.r)
      near(costOf(reorderPoint, best.Q), best.cost, tolerance)
    }
  })

  test('least cost of a normal need: both ends of the positions cost the same', (context) => {
    const of = ({ demand, sd_year, lead_years }: Numbers) =>
      normal(demand! * lead_years!, sd_year! * Math.sqrt(lead_years!))
    const rows = [...rowsOf(context, 'rq-best-r-'), ...rowsOf(context, 'rq-eoqb-')]
    expect(rows.length).toBe(3)
    for (const { inputs, expected } of rows) {
      const { h, p, Q } = inputs as Numbers
      const point = typeof expected === 'number' ? { r: expected, Q: Q! } : (expected as { r: number; Q: number })
      const need = of(inputs as Numbers)
      const low = positionCost(need, point.r, h!, p!)
      expect(Math.abs(low - positionCost(need, point.r + point.Q, h!, p!)) / low).toBeLessThan(1e-6)
    }
    for (const { inputs, expected, tolerance } of rowsOf(context, 'rq-cost-')) {
      const { h, p, K, demand, r, Q } = inputs as Numbers
      const need = of(inputs as Numbers)
      // Simpson's rule over the positions from r to r + Q.
      const parts = 2000
      let area = 0
      for (let at = 0; at <= parts; at++)
        area +=
          (at === 0 || at === parts ? 1 : at % 2 === 0 ? 2 : 4) * positionCost(need, r! + (Q! * at) / parts, h!, p!)
      near((K! * demand! + (area * Q!) / parts / 3) / Q!, expected, tolerance)
    }
    for (const { inputs, expected, tolerance } of rowsOf(context, 'rq-eoqss-')) {
      const { h, p, K, demand } = inputs as Numbers
      const found = {
        r: of(inputs as Numbers).quantile(p! / (h! + p!)),
        Q: eoq({ demandYear: demand!, orderCost: K!, holdingYear: h! }),
      }
      near(found, expected, tolerance)
    }
  })

  test('one order for one season', (context) => {
    const rows = rowsOf(context, 'nv-').filter((row) => !row.id.startsWith('nv-lognormal-'))
    expect(rows.length).toBe(7)
    for (const { inputs, expected, tolerance } of rows) {
      const { h, p, mean, sd, overage, underage, overage_cost, shortage_cost } = inputs as Numbers
      const { pmf, normal: bell } = inputs as { pmf?: Numbers; normal?: { mean: number; sd: number } }
      const table = pmf && empirical(Object.keys(pmf).map(Number), Object.values(pmf))
      const [over, under] = [h ?? overage ?? overage_cost!, p ?? underage ?? shortage_cost!]
      const ratio = under / (over + under)
      if (bell && table) {
        const found = {
          critical_ratio: ratio,
          y_normal: normal(bell.mean, bell.sd).quantile(ratio),
          y_discrete: table.quantile(ratio),
        }
        near(found, expected, tolerance)
        continue
      }
      const need: Distribution = table ?? (sd === undefined ? poisson(mean!) : normal(mean!, sd))
      if (shortage_cost !== undefined) {
        // The book takes z at the ratio as it prints it.
        const { critical_ratio, Q } = expected as Numbers
        expect(ratio).toBeCloseTo(critical_ratio!, 2)
        near(need.quantile(critical_ratio!), Q, tolerance)
        continue
      }
      const S = need.quantile(ratio)
      near({ S, cost: positionCost(need, S, over, under) }, expected, tolerance)
    }
  })

  test('a spare part of a workshop, by square root and critical ratio', (context) => {
    for (const { inputs, expected, tolerance } of rowsOf(context, 'hs-jack-qr')) {
      const { D, lead_days, A, h, b } = inputs as Numbers
      const theta = (D! * lead_days!) / 365
      const ratio = b! / (b! + h!)
      const found = {
        theta,
        Q_raw: eoq({ demandYear: D!, orderCost: A!, holdingYear: h! }),
        ratio_backorder: ratio,
        r_backorder: normal(theta, Math.sqrt(theta)).quantile(ratio),
      }
      const { Q_raw, ratio_backorder, r_backorder } = expected as Numbers
      near(found, { theta: (expected as Numbers).theta, Q_raw, ratio_backorder, r_backorder }, tolerance)
    }
    for (const { inputs, expected, tolerance } of rowsOf(context, 'hs-base-stock')) {
      const { theta, h, b } = inputs as Numbers
      const ratio = b! / (b! + h!)
      const { ratio: wantedRatio, R } = expected as Numbers
      near({ ratio, R: normal(theta!, Math.sqrt(theta!)).quantile(ratio) }, { ratio: wantedRatio, R }, tolerance)
    }
  })
})
