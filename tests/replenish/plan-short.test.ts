import { describe, expect, test } from 'vitest'
import { planAnswer } from '../../lib/replenish/plan-answer.ts'
import type { Solve } from '../../lib/solver/model.ts'
import { benchProblem } from '../bench/order-plan-problem.ts'
import { answerOf, need, offer, planOf, problem, supplier } from './plan-asked.ts'

describe('where not all can be had', () => {
  const seller = [supplier('Alder Vale')]
  const starter = { ...need('starter', 1), for: { job: '485' } }

  test('the job is bought for before any number of pieces for the shelf, and before litres of it', () => {
    const washers = need('washer', 50, { for: { level: 'up to 50' } })
    const oil = need('oil', 5000, { for: { level: 'up to 5 l' } })
    for (const shelf of [washers, oil]) {
      const answer = answerOf({
        budgetMinor: 10_000,
        parts: [{ id: 'starter' }, { id: 'washer' }, { id: 'oil', unit: 'litre' }],
        needs: [shelf, starter],
        suppliers: seller,
        offers: [
          offer('Alder Vale', 'starter', 10_000),
          offer('Alder Vale', 'washer', 200),
          offer('Alder Vale', 'oil', 2000, { pack: 1000 }),
        ],
      })
      expect(answer.orders[0]?.lines.map(({ part }) => part)).toEqual(['starter'])
      expect(answer.unfilled).toMatchObject([{ part: shelf.part, quantity: shelf.quantity }])
    }
  })

  test('of two jobs a part counts by its share of what the job wants, whatever it is measured in', () => {
    // Two starters are two needs; a litre of five is a fifth of one, though it is a thousand thousandths.
    const answer = answerOf({
      budgetMinor: 10_000,
      parts: [{ id: 'starter' }, { id: 'oil', unit: 'litre' }],
      needs: [starter, need('oil', 5000, { for: { job: '486' } })],
      suppliers: seller,
      offers: [offer('Alder Vale', 'starter', 6000), offer('Alder Vale', 'oil', 2000, { pack: 1000 })],
    })
    expect(answer.orders[0]?.lines.map(({ part, quantity }) => [part, quantity])).toEqual([
      ['starter', 1],
      ['oil', 2000],
    ])
  })

  test('what is fixed by hand above the budget is named and not ordered, and the rest is planned', () => {
    const answer = answerOf({
      budgetMinor: 6000,
      needs: [need('belt', 3), need('pin', 1, { for: { job: '1' } })],
      suppliers: seller,
      offers: [offer('Alder Vale', 'belt', 3000), offer('Alder Vale', 'pin', 500)],
      fixed: [{ offer: 'Alder Vale/belt', quantity: 3 }],
    })
    expect(answer.faults).toMatchObject([
      {
        at: 'fixed (Alder Vale/belt)',
        why: 'what is fixed by hand takes £90.00 with its carriage, more than the budget of £60.00',
        next: expect.stringContaining('Raise the budget'),
      },
    ])
    expect(answer.orders[0]?.lines.map(({ part, quantity }) => [part, quantity])).toEqual([
      ['belt', 1],
      ['pin', 1],
    ])
  })

  test('what is fixed below a minimum order is named, unless what is missing besides lifts the order over it', () => {
    const one = {
      parts: [{ id: 'belt', free: 5 }, { id: 'pin' }],
      needs: [need('belt', 3)],
      suppliers: [supplier('Alder Vale', { minimumOrderMinor: 20_000 })],
      offers: [offer('Alder Vale', 'belt', 5000), offer('Alder Vale', 'pin', 2500)],
      fixed: [{ offer: 'Alder Vale/belt', quantity: 3 }],
    }
    const answer = answerOf(one)
    expect(answer.faults).toMatchObject([{ why: expect.stringContaining('below the minimum order of £200.00') }])
    expect([answer.orders, answer.unfilled]).toEqual([[], []])
    const lifted = answerOf({ ...one, needs: [need('belt', 3), need('pin', 1)] })
    expect([lifted.faults, lifted.goodsMinor]).toEqual([[], 15_000 + 2 * 2500])
  })

  test('the least money that fills all is what is paid for it, not what comes late besides', () => {
    const answer = answerOf({
      budgetMinor: 50_000,
      late: { perDayMinor: 5000 },
      needs: [need('belt', 1, { by: '2026-12-05' })],
      suppliers: [supplier('Alder Vale', { leadDays: 14 })],
      offers: [offer('Alder Vale', 'belt', 60_000)],
    })
    expect(answer.unfilled[0]?.why).toContain('all needs together take at least £600.00')
  })

  test('within a budget a large plan lets come late what costs least by it, and says how near it is', () => {
    // Fast costs 100 more than slow, a week late 70 for the belt and 140 for the pin: without a budget the pin comes fast.
    const file = problem({
      budgetMinor: 2000,
      needs: [need('belt', 1, { late: { perDayMinor: 10 } }), need('pin', 1, { late: { perDayMinor: 20 } })],
      suppliers: [supplier('Fast', { carriageMinor: 1 }), supplier('Slow', { leadDays: 25, carriageMinor: 1 })],
      offers: ['belt', 'pin'].flatMap((part) => [offer('Fast', part, 1000), offer('Slow', part, 900)]),
    })
    for (const wholeUpTo of [undefined, 0]) {
      const more = wholeUpTo === undefined ? {} : { wholeUpTo }
      expect(planOf(file, more).cost).toBe(900 + 1000 + 2 + 70)
      const tight = planOf({ ...file, budgetMinor: 1801 }, more)
      expect(tight.cost).toBe(1801 + 210)
      expect(tight.solution.bound).toBeCloseTo(2011)
    }
  })

  test('time that runs out under a budget is said, with the simple rule cut to the budget, and no more of it is taken', () => {
    let time = 0
    const stuck: Solve = (_, { seconds }) => {
      time += seconds
      return { status: 'none', bound: -Infinity }
    }
    const file = benchProblem(60, 5, { isCheap: true })
    const all = planOf(file, { solve: stuck, now: () => time, seconds: 8 })
    // Between what is proved and what is found: whether such a plan exists nobody knows without the solver.
    const budgetMinor = Math.round((all.solution.bound! + all.cost) / 2)
    time = 0
    const read = planOf({ ...file, budgetMinor }, { solve: stuck, now: () => time, seconds: 8 })
    expect(time).toBeLessThan(8.5)
    expect(read.solution.plan.paid).toBeLessThanOrEqual(budgetMinor)
    expect(read.solution.plan.paid).toBeGreaterThan(budgetMinor / 2)
    const answer = planAnswer(read, read.solution)
    expect([answer.boundMinor, answer.proven]).toEqual([null, false])
    expect(answer.allFilledFromMinor).toBeGreaterThan(0)
    expect(answer.unfilled[0]?.why).toContain('time ran out')
  })

  test('why it stays open is said by the limit that keeps it so, and nothing is saved by it', () => {
    const below = answerOf({
      needs: [need('belt', 3), need('pin', 2)],
      suppliers: [supplier('Alder Vale', { minimumOrderMinor: 1000 }), supplier('Bramble')],
      offers: [
        { supplier: 'Alder Vale', part: 'belt', prices: [{ from: 1, to: 10, priceMinor: 1 }] },
        offer('Bramble', 'pin', 100),
      ],
    })
    expect(below.unfilled).toMatchObject([
      {
        part: 'belt',
        why: 'Alder Vale takes no order below £10.00, and what is missing and sold there does not come to that',
      },
    ])
    expect(below.simple.lines).toMatchObject([
      { what: 'belt', savedMinor: 0, why: expect.stringContaining('stays open') },
    ])
    expect(below.simple.savedMinor).toBe(0)
    const forbidden = answerOf({
      needs: [need('belt', 3)],
      suppliers: seller,
      offers: [offer('Alder Vale', 'belt', 100)],
      forbidden: [{ supplier: 'Alder Vale' }],
    })
    expect(forbidden.unfilled[0]?.why).toContain('every offer for it is forbidden by hand: Alder Vale/belt')
    expect(forbidden.boundMinor).toBeNull()
  })
})
