import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  carriageOn,
  type OfferFacts,
  type OrderNeedFacts,
  offerChoose,
  orderNeed,
  orderReason,
  orderRound,
  stockPosition,
} from '../../lib/replenish/order-list.ts'
import { needReference, readHandbook } from '../support/reference.ts'

/** Stock facts with the given position: what is short of zero is wanted by jobs. */
function atPosition(position: number, reorderPoint: number | null, orderUpTo: number | null): OrderNeedFacts {
  return {
    partId: 1,
    onHand: Math.max(0, position),
    onOrder: 0,
    wantedByJobs: Math.max(0, -position),
    reorderPoint,
    orderUpTo,
  }
}

function poisson(mean: number, most: number): number[] {
  const chances = [Math.exp(-mean)]
  for (let k = 1; k <= most; k++) chances.push((chances[k - 1]! * mean) / k)
  return chances
}

interface PolicyCase {
  h: number
  p: number
  K: number
  mean: number
}

/**
 * Average cost a period when every period begins with an order by `orderNeed` that arrives at once, and then demand comes.
 * The stock after ordering is a Markov chain; its long-run shares are found by stepping it until nothing changes.
 */
function policyCost({ h, p, K, mean }: PolicyCase, s: number, S: number): number {
  const demand = poisson(mean, Math.ceil(mean + 10 * Math.sqrt(mean) + 10))
  const stocks = Array.from({ length: S - s }, (_, at) => s + 1 + at)
  const periodCost = stocks.map(() => 0)
  const goesTo = stocks.map(() => stocks.map(() => 0))
  for (const [at, stock] of stocks.entries())
    for (const [asked, chance] of demand.entries()) {
      const left = stock - asked
      const need = orderNeed(atPosition(left, s, S))
      goesTo[at]![left + need - s - 1]! += chance
      periodCost[at]! += chance * (h * Math.max(0, left) + p * Math.max(0, -left) + (need > 0 ? K : 0))
    }
  let shares = stocks.map(() => 1 / stocks.length)
  for (let step = 0; step < 4000; step++) {
    const next = stocks.map(() => 0)
    for (const [from, share] of shares.entries())
      for (const [to, chance] of goesTo[from]!.entries()) next[to]! += share * chance
    const moved = next.reduce((sum, share, at) => sum + Math.abs(share - shares[at]!), 0)
    shares = next
    if (moved < 1e-9) break
  }
  return shares.reduce((sum, share, at) => sum + share * periodCost[at]!, 0)
}

describe('how much is missing', () => {
  // Handbook area B/stock-levels, sS-*: Zheng & Federgruen, Operations Research 39 (1991); Snyder & Shen 2nd ed., Ex. 4.7.
  test('ordering by reorder point and order-up-to level costs what the published (s, S) tables say', (context) => {
    const cases = readHandbook(needReference(context, 'handbook.json')).filter((one) => one.id.startsWith('sS-'))
    expect(cases.length).toBeGreaterThanOrEqual(20)
    for (const { id, inputs, expected } of cases) {
      const { s, S, cost } = expected as { s: number; S: number; cost: number }
      const policy = inputs as unknown as PolicyCase
      // The tables print three decimals; the textbook's companion data has all of them.
      expect(Math.abs(policyCost(policy, s, S) - cost), id).toBeLessThan(0.0006)
      // The best pair is at or below s: one piece earlier or later is dearer, so the border stands where it should.
      expect(policyCost(policy, s - 1, S), id).toBeGreaterThan(cost - 0.0006)
      expect(policyCost(policy, s + 1, S), id).toBeGreaterThan(cost - 0.0006)
    }
  })

  // Handbook rq-poisson-snyder-5-8: Snyder & Shen 2nd ed., Example 5.8; order Q = 5 when position falls to r = 3.
  test('the order goes out when position falls to the reorder point, not one piece before', (context) => {
    const one = readHandbook(needReference(context, 'handbook.json')).find((c) => c.id === 'rq-poisson-snyder-5-8')!
    const { r, Q } = one.expected as { r: number; Q: number }
    expect(orderNeed(atPosition(r + 1, r, r + Q))).toBe(0)
    expect(orderNeed(atPosition(r, r, r + Q))).toBe(Q)
    expect(orderNeed(atPosition(r - 1, r, r + Q))).toBe(Q + 1)
  })

  // Position as in the handbook's conventions: on hand less allocated plus on order (Hopp & Spearman, from memory).
  test('what is on order counts as there, and what jobs want counts as gone', () => {
    const level = { partId: 7, reorderPoint: 4, orderUpTo: 12 }
    expect(stockPosition({ onHand: 9, onOrder: 6, wantedByJobs: 2 })).toBe(13)
    expect(orderNeed({ ...level, onHand: 2, onOrder: 0, wantedByJobs: 0 })).toBe(10)
    expect(orderNeed({ ...level, onHand: 2, onOrder: 10, wantedByJobs: 0 })).toBe(0)
    expect(orderNeed({ ...level, onHand: 8, onOrder: 0, wantedByJobs: 3 })).toBe(0)
    expect(orderNeed({ ...level, onHand: 8, onOrder: 0, wantedByJobs: 5 })).toBe(9)
  })

  test('a part without a level is bought only when a job is short of it', () => {
    expect(orderNeed({ ...atPosition(0, null, null), onHand: 5, wantedByJobs: 5 })).toBe(0)
    expect(orderNeed({ ...atPosition(0, null, null), onHand: 5, wantedByJobs: 6 })).toBe(1)
    expect(orderNeed({ ...atPosition(0, null, null), onHand: 5, wantedByJobs: 11, onOrder: 6 })).toBe(0)
  })

  const stock = fc.record({ onHand: fc.nat(5000), onOrder: fc.nat(5000), wantedByJobs: fc.nat(5000) })
  const level = fc.tuple(fc.nat(2000), fc.integer({ min: 1, max: 2000 })).map(([s, more]) => ({
    reorderPoint: s,
    orderUpTo: s + more,
  }))

  test('once the need has come, no job waits and the shelf is above its reorder point', () => {
    fc.assert(
      fc.property(stock, level, (shelf, { reorderPoint, orderUpTo }) => {
        const facts = { partId: 1, ...shelf, reorderPoint, orderUpTo }
        const after = stockPosition({ ...shelf, onHand: shelf.onHand + orderNeed(facts) })
        expect(after).toBeGreaterThan(reorderPoint)
      }),
    )
  })

  test('more on the shelf never makes the need larger', () => {
    fc.assert(
      fc.property(stock, level, fc.nat(50), (shelf, levels, more) => {
        const facts = { partId: 1, ...shelf, ...levels }
        expect(orderNeed({ ...facts, onHand: facts.onHand + more })).toBeLessThanOrEqual(orderNeed(facts))
      }),
    )
  })
})

describe('packs and minimums', () => {
  // common practice, no source: the least number of whole packs that covers the need and the supplier's minimum.
  test.each([
    { need: 7, pack: 5, minimum: 10, quantity: 10 },
    { need: 10, pack: 5, minimum: 10, quantity: 10 },
    { need: 11, pack: 5, minimum: 10, quantity: 15 },
    { need: 1, pack: 4, minimum: 6, quantity: 8 },
    { need: 3, pack: 1, minimum: 1, quantity: 3 },
    { need: 0, pack: 12, minimum: 24, quantity: 0 },
  ])('$need in packs of $pack, at least $minimum, is $quantity', ({ need, pack, minimum, quantity }) => {
    expect(orderRound(need, { pack, minimum })).toBe(quantity)
  })

  test('an order is never below the need, in whole packs, at least the minimum, and not a pack too many', () => {
    const count = fc.integer({ min: 1, max: 1_000_000 })
    fc.assert(
      fc.property(count, count, count, (need, pack, minimum) => {
        const quantity = orderRound(need, { pack, minimum })
        expect(quantity).toBeGreaterThanOrEqual(need)
        expect(quantity).toBeGreaterThanOrEqual(minimum)
        expect(quantity % pack).toBe(0)
        expect(quantity - pack).toBeLessThan(Math.max(need, minimum))
      }),
    )
  })
})

describe('which supplier', () => {
  const offer = (supplierId: number, priceMinor: number, preferred = false): OfferFacts => ({
    supplierId,
    partId: 1,
    pack: 1,
    minimum: 1,
    priceMinor,
    preferred,
  })

  test('the preferred supplier is asked even when another is cheaper', () => {
    expect(offerChoose([offer(2, 310), offer(5, 450, true), offer(9, 290)])?.supplierId).toBe(5)
  })

  test('without a preferred one the cheapest is asked, and between equals the one entered first', () => {
    expect(offerChoose([offer(8, 299), offer(3, 300), offer(6, 299)])?.supplierId).toBe(6)
  })

  test('a part nobody sells has no supplier', () => {
    expect(offerChoose([])).toBeNull()
  })

  test('the order in which offers are read changes nothing', () => {
    const offers = fc.uniqueArray(
      fc.record({ supplierId: fc.integer({ min: 1, max: 40 }), priceMinor: fc.nat(20), preferred: fc.boolean() }),
      { selector: (one) => one.supplierId, minLength: 1 },
    )
    fc.assert(
      fc.property(offers, (read) => {
        const list = read.map((one) => offer(one.supplierId, one.priceMinor, one.preferred))
        expect(offerChoose(list.toReversed())).toEqual(offerChoose(list))
      }),
    )
  })
})

describe('carriage', () => {
  const factors = { carriageMinor: 850, carriagePaidFromMinor: 15_000 }

  // common practice, no source: "carriage paid from" includes the amount named.
  test('goods of exactly the threshold travel free, a penny less pays carriage', () => {
    expect(carriageOn(14_999, factors)).toBe(850)
    expect(carriageOn(15_000, factors)).toBe(0)
  })

  test('a supplier who never pays carriage charges it on any amount', () => {
    expect(carriageOn(900_000, { carriageMinor: 695, carriagePaidFromMinor: null })).toBe(695)
  })

  test('an empty order has no carriage', () => {
    expect(carriageOn(0, factors)).toBe(0)
  })
})

describe('the reason', () => {
  const facts = {
    partId: 1,
    onHand: 2,
    onOrder: 0,
    wantedByJobs: 0,
    reorderPoint: 4,
    orderUpTo: 12,
    lastJob: 214,
    waitingJobs: [],
    show: String,
  }

  test('is said as a storekeeper says it', () => {
    expect(orderReason(facts)).toBe('2 left after job 214, reorder point 4')
    expect(orderReason({ ...facts, onHand: 0, lastJob: null })).toBe('none left, reorder point 4')
  })

  test('names the jobs that wait and what is already coming', () => {
    const waiting = { ...facts, onHand: 1, onOrder: 3, wantedByJobs: 6, reorderPoint: null, waitingJobs: [219, 221] }
    expect(orderReason(waiting)).toBe('1 left after job 214, 6 wanted for jobs 219, 221, 3 on order')
  })

  test('shows quantities in the stock unit', () => {
    const oil = { ...facts, onHand: 750, reorderPoint: 2000, lastJob: null, show: (ml: number) => `${ml} ml` }
    expect(orderReason(oil)).toBe('750 ml left, reorder point 2000 ml')
  })
})
