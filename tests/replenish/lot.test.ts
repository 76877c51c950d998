import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type LotProblem, lotCost, silverMeal, wagnerWhitin } from '../../lib/replenish/lot.ts'
import { near, rowsOf } from './handbook-rows.ts'

/** Every way to order in some of the periods and not in the others; the cheapest that serves them all. */
function bestOfAll(problem: LotProblem): number {
  const count = problem.demand.length
  let least = Infinity
  for (let mask = 0; mask < 2 ** count; mask++) {
    const starts = problem.demand.map((_, at) => at).filter((at) => (mask >> at) & 1)
    const orders = problem.demand.map(() => 0)
    starts.forEach((start, k) => {
      orders[start] = problem.demand.slice(start, starts[k + 1] ?? count).reduce((a, b) => a + b, 0)
    })
    const first = problem.demand.findIndex((need) => need > 0)
    if (first >= 0 && !starts.some((start) => start <= first)) continue
    least = Math.min(least, lotCost(problem, orders))
  }
  return least
}

const problems = fc.integer({ min: 1, max: 8 }).chain((count) =>
  fc.record({
    demand: fc.array(fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 40 })), { minLength: count, maxLength: count }),
    setup: fc.array(fc.integer({ min: 0, max: 90 }), { minLength: count, maxLength: count }),
    holding: fc.array(fc.constantFrom(0, 0.5, 1, 3), { minLength: count, maxLength: count }),
  }),
)

// Wagner & Whitin 1958, Snyder & Shen ch. 3, Silver, Pyke & Peterson ch. 6, Taha ch. 13, Hopp & Spearman ch. 2 (handbook.json).
describe('lots for a need that is known beforehand', () => {
  test('the exact plans of the textbooks', (context) => {
    const rows = rowsOf(context, 'ww-')
    expect(rows.length).toBe(6)
    for (const { inputs, expected, tolerance } of rows) {
      const { cost, orders, best_cost_to_month } = expected as {
        cost: number
        orders?: number[]
        best_cost_to_month?: number[]
      }
      const problem = inputs as unknown as LotProblem
      const plan = wagnerWhitin(problem)
      near(plan.cost, cost, tolerance)
      // Several plans may cost the same, so the book's plan is held against the cost, not against ours.
      if (orders) near(lotCost(problem, orders), plan.cost, tolerance)
      if (best_cost_to_month) near(plan.bestTo, best_cost_to_month, tolerance)
    }
  })

  test('the plans that Silver-Meal comes to in the textbooks', (context) => {
    const rows = rowsOf(context, 'silvermeal-')
    expect(rows.length).toBe(2)
    for (const { inputs, expected, tolerance } of rows)
      near(silverMeal(inputs as unknown as LotProblem), expected, tolerance)
  })

  test('no choice of ordering periods is cheaper than the exact plan', () => {
    fc.assert(
      fc.property(problems, (problem) => {
        const plan = wagnerWhitin(problem)
        expect(plan.cost).toBeCloseTo(bestOfAll(problem), 9)
        expect(plan.bestTo.at(-1)).toBeCloseTo(plan.cost, 9)
      }),
      { numRuns: 300 },
    )
  })

  test('Silver-Meal serves every period and is never better than the exact plan', () => {
    fc.assert(
      fc.property(problems, (problem) => {
        const quick = silverMeal(problem)
        expect(quick.cost).toBeCloseTo(lotCost(problem, quick.orders), 9)
        expect(quick.cost).toBeGreaterThanOrEqual(wagnerWhitin(problem).cost - 1e-9)
      }),
    )
  })

  test('nothing needed, nothing ordered', () => {
    for (const plan of [wagnerWhitin, silverMeal])
      expect(plan({ demand: [0, 0, 0], setup: 5, holding: 1 })).toMatchObject({ orders: [0, 0, 0], cost: 0 })
  })

  test('a plan that leaves a period without its pieces is refused', () => {
    expect(() => lotCost({ demand: [2, 3], setup: 1, holding: 1 }, [4, 0])).toThrow('covers every period')
  })
})
