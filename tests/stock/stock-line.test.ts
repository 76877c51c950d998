import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type DayChange, stockLine, stockLinePoints } from '../../lib/stock/stock-line.ts'

fc.configureGlobal({ seed: 20260105 })

describe('the picture of stock over time', () => {
  test('reckons back from what is on hand: 8 came on 3 March and 5 went on the 10th, 4 are left, so 1 lay there before', () => {
    const line = stockLine(
      4,
      [
        { day: '2026-03-10', quantity: -5 },
        { day: '2026-03-03', quantity: 8 },
      ],
      '2026-03-01',
      '2026-03-31',
    )
    expect(line.steps).toEqual([
      { day: '2026-03-01', onHand: 1 },
      { day: '2026-03-03', onHand: 9 },
      { day: '2026-03-10', onHand: 4 },
    ])
    expect(line).toMatchObject({ lowest: 1, highest: 9, daysEmpty: 0, days: 31 })
  })

  test('counts the days on which nothing lay there: sold out on the 10th, filled on the 24th, over the end of a month', () => {
    const moved = [
      { day: '2026-02-20', quantity: -3 },
      { day: '2026-03-06', quantity: 2 },
    ]
    expect(stockLine(2, moved, '2026-02-01', '2026-03-31').daysEmpty).toBe(14)
    // Nothing ever lay there: every day.
    expect(stockLine(0, [], '2026-02-01', '2026-02-28')).toMatchObject({ daysEmpty: 28, days: 28 })
  })

  const day = fc.integer({ min: 1, max: 28 }).map((n) => `2026-02-${String(n).padStart(2, '0')}`)
  const changes: fc.Arbitrary<DayChange[]> = fc.array(fc.record({ day, quantity: fc.integer({ min: -9, max: 9 }) }))

  test('ends with what is on hand, whatever came and went, and each step differs by what moved on its day', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 99 }), changes, (onHand, all) => {
        const line = stockLine(onHand, all, '2026-02-01', '2026-02-28')
        expect(line.steps.at(-1)!.onHand).toBe(onHand)
        for (const [at, step] of line.steps.entries()) {
          if (at === 0) continue
          const moved = all.filter((one) => one.day === step.day).reduce((sum, one) => sum + one.quantity, 0)
          expect(step.onHand - line.steps[at - 1]!.onHand).toBe(moved)
        }
      }),
    )
  })

  test('is drawn from the left edge to the right one and never runs back', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 99 }), changes, (onHand, all) => {
        const points = stockLinePoints(stockLine(onHand, all, '2026-02-01', '2026-02-28'), 100)
        expect(points[0]!.x).toBe(0)
        expect(points.at(-1)!.x).toBe(1)
        for (const [at, point] of points.entries())
          if (at > 0) expect(point.x).toBeGreaterThanOrEqual(points[at - 1]!.x)
      }),
    )
  })
})
