import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type BudgetLine, budgetRows, leftSays } from '../../lib/cost-centre/budget.ts'
import { lineShares, sharesWhole } from '../../lib/cost-centre/share.ts'

const weights = fc.array(fc.oneof(fc.nat({ max: 50 }), fc.double({ min: 0, max: 9, noNaN: true })), {
  minLength: 1,
  maxLength: 7,
})
const need = fc
  .tuple(fc.nat({ max: 9 }), fc.double({ min: 0, max: 6, noNaN: true }))
  .map(([certain, more]) => ({ certain, mean: certain + more }))
const minor = fc.oneof(fc.nat({ max: 99 }), fc.nat({ max: 900_000_000 }))

describe('an amount shared by weights', () => {
  it('gives seats as the method of largest remainders does', () => {
    // The Alabama paradox as it is usually shown: weights 6, 6, 2 get 4, 4, 2 of 10 seats and 5, 5, 1 of 11.
    // Source: Balinski and Young, Fair Representation, 2nd edition, on the method of Hamilton (values from memory), by hand.
    expect(sharesWhole(10, [6, 6, 2])).toEqual([4, 4, 2])
    expect(sharesWhole(11, [6, 6, 2])).toEqual([5, 5, 1])
    expect(sharesWhole(100, [1, 1, 1])).toEqual([34, 33, 33])
    expect(sharesWhole(7, [0, 0, 0])).toEqual([0, 0, 7])
  })

  it('adds up to the penny, is nowhere negative and nowhere a penny off its quota', () => {
    fc.assert(
      fc.property(minor, weights, (amount, by) => {
        const shares = sharesWhole(amount, by)
        expect(shares.reduce((sum, share) => sum + share, 0)).toBe(amount)
        const sum = by.reduce((all, one) => all + one, 0)
        for (const [at, share] of shares.entries()) {
          expect(share).toBeGreaterThanOrEqual(0)
          if (sum > 0 && by[at] === 0) expect(share).toBe(0)
          if (sum > 1e-6) expect(Math.abs(share - (amount * by[at]!) / sum)).toBeLessThanOrEqual(1 + 1e-6)
        }
      }),
    )
  })
})

describe('a line that several cost centres need', () => {
  it('goes by what is needed in any case first, and beyond that by what is expected', () => {
    const needs = [
      { certain: 4, mean: 4 },
      { certain: 2, mean: 6 },
    ]
    // Six pieces are certain, 4 to 2; the four beyond them are all for the second: 4 and 6 of 10.
    expect(lineShares({ quantity: 10, amountMinor: 2_000 }, needs)).toEqual([800, 1_200])
    expect(lineShares({ quantity: 3, amountMinor: 2_000 }, needs)).toEqual([1_333, 667])
    // Nothing is expected beyond what is certain: packs that are too large are shared as that is.
    expect(
      lineShares({ quantity: 9, amountMinor: 900 }, [
        { certain: 1, mean: 1 },
        { certain: 2, mean: 2 },
      ]),
    ).toEqual([300, 600])
    // Nobody needs it: it stays with the last, where nobody is known.
    expect(
      lineShares({ quantity: 1, amountMinor: 55 }, [
        { certain: 0, mean: 0 },
        { certain: 0, mean: 0 },
      ]),
    ).toEqual([0, 55])
  })

  it('adds up for every line and every column, and who needs more in any case never pays less', () => {
    const line = fc.record({
      partId: fc.integer({ min: 0, max: 3 }),
      quantity: fc.integer({ min: 1, max: 30 }),
      planned: minor,
      drafts: fc.nat({ max: 99 }),
      onOrder: minor,
      received: minor,
    })
    fc.assert(
      fc.property(
        fc.array(line, { maxLength: 8 }),
        fc.array(fc.array(need, { minLength: 3, maxLength: 3 }), { minLength: 4, maxLength: 4 }),
        fc.option(fc.nat({ max: 5_000_000 })),
        (lines: BudgetLine[], needs, budget) => {
          const budgets = new Map(budget === null ? [] : [[7, budget]])
          const rows = budgetRows([7, 9, null], lines, ({ partId }) => needs[partId]!, budgets)
          for (const kind of ['planned', 'drafts', 'onOrder', 'received'] as const) {
            expect(rows.reduce((sum, row) => sum + row[kind], 0)).toBe(lines.reduce((sum, one) => sum + one[kind], 0))
            for (const row of rows) expect(row[kind]).toBeGreaterThanOrEqual(0)
          }
          const [first] = rows
          expect(first!.leftMinor).toBe(
            budget === null ? null : budget - first!.planned - first!.drafts - first!.onOrder - first!.received,
          )
          expect(rows.slice(1).map(({ leftMinor }) => leftMinor)).toEqual([null, null])
        },
      ),
    )
    fc.assert(
      fc.property(need, need, fc.integer({ min: 1, max: 30 }), minor, (a, b, quantity, amountMinor) => {
        const more = { certain: a.certain + 1, mean: a.mean + 1 }
        const [before] = lineShares({ quantity, amountMinor }, [a, b])
        const [after] = lineShares({ quantity, amountMinor }, [more, b])
        // A need in any case may come before a larger expected one, so only what is all certain is compared.
        if (a.mean === a.certain && b.mean === b.certain && a.certain + b.certain > 0)
          expect(after!).toBeGreaterThanOrEqual(before! - 1)
      }),
    )
  })

  it('says in words what is left, and that a budget is overdrawn', () => {
    expect([null, 0, 12_050, -3_000].map((leftMinor) => leftSays({ leftMinor }, 'GBP'))).toEqual([
      'no budget',
      'all of it is bound',
      '£120.50 left',
      '£30.00 over its budget',
    ])
  })
})
