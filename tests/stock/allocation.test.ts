import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { allocationShare, type Claim, type Precedence, precedenceOrder } from '../../lib/stock/allocation.ts'

fc.configureGlobal({ seed: 20260105 })

const claim: fc.Arbitrary<Claim> = fc.record({
  needId: fc.integer({ min: 1, max: 999 }),
  stillWanted: fc.integer({ min: 0, max: 9 }),
  allocated: fc.integer({ min: 0, max: 9 }),
})
const claims = fc.array(claim, { maxLength: 8 })
const onHand = fc.integer({ min: 0, max: 30 })
const sum = (values: readonly number[]) => values.reduce((all, one) => all + one, 0)

describe('sharing the shelf among jobs', () => {
  test('never promises more than is on hand, nor more than a job still wants, nor less than nothing', () => {
    fc.assert(
      fc.property(onHand, claims, (there, all) => {
        const shares = allocationShare(there, all)
        expect(sum(shares)).toBeLessThanOrEqual(there)
        for (const [at, share] of shares.entries()) {
          expect(share).toBeGreaterThanOrEqual(0)
          expect(share).toBeLessThanOrEqual(all[at]!.stillWanted)
        }
      }),
    )
  })

  test('leaves nothing free while a job still wants some', () => {
    fc.assert(
      fc.property(onHand, claims, (there, all) => {
        expect(sum(allocationShare(there, all))).toBe(Math.min(there, sum(all.map((one) => one.stillWanted))))
      }),
    )
  })

  test('shared again without anything having moved, it stays as it is', () => {
    fc.assert(
      fc.property(onHand, claims, (there, all) => {
        const once = allocationShare(there, all)
        expect(
          allocationShare(
            there,
            all.map((one, at) => ({ ...one, allocated: once[at]! })),
          ),
        ).toEqual(once)
      }),
    )
  })

  test('an older job does not take away what a later one was promised, as long as the shelf holds it', () => {
    fc.assert(
      fc.property(onHand, claims, (there, all) => {
        const kept = all.map((one) => Math.min(one.allocated, one.stillWanted))
        if (sum(kept) > there) return
        for (const [at, share] of allocationShare(there, all).entries()) expect(share).toBeGreaterThanOrEqual(kept[at]!)
      }),
    )
  })

  test('more on the shelf never takes from anybody', () => {
    fc.assert(
      fc.property(onHand, fc.integer({ min: 0, max: 10 }), claims, (there, more, all) => {
        const before = allocationShare(there, all)
        for (const [at, share] of allocationShare(there + more, all).entries())
          expect(share).toBeGreaterThanOrEqual(before[at]!)
      }),
    )
  })

  test('what is free goes to the oldest job first', () => {
    const wants = (stillWanted: number, allocated = 0): Claim => ({ needId: stillWanted, stillWanted, allocated })
    expect(allocationShare(5, [wants(4), wants(3), wants(2)])).toEqual([4, 1, 0])
    expect(allocationShare(5, [wants(4), wants(3, 3), wants(2)])).toEqual([2, 3, 0])
    expect(allocationShare(2, [wants(4, 1), wants(3, 3), wants(2, 2)])).toEqual([1, 1, 0])
  })
})

describe('which job is served first', () => {
  const job: fc.Arbitrary<Precedence> = fc.record({
    priority: fc.integer({ min: 1, max: 3 }),
    needOn: fc.option(fc.constantFrom('2026-12-01', '2026-12-09', '2027-01-15')),
    jobId: fc.integer({ min: 1, max: 9999 }),
  })

  test('what matters first goes before an earlier day, an earlier day before a later and before none, the older job before the newer', () => {
    const order = (a: Partial<Precedence>, b: Partial<Precedence>) =>
      precedenceOrder({ priority: 2, needOn: null, jobId: 1, ...a }, { priority: 2, needOn: null, jobId: 2, ...b })
    expect(order({ priority: 1, needOn: '2027-01-15' }, { needOn: '2026-12-01' })).toBeLessThan(0)
    expect(order({ needOn: '2026-12-01' }, { needOn: '2026-12-09' })).toBeLessThan(0)
    expect(order({ needOn: '2026-12-01', jobId: 3 }, {})).toBeLessThan(0)
    expect(order({}, { needOn: '2026-12-01' })).toBeGreaterThan(0)
    expect(order({}, {})).toBeLessThan(0)
  })

  test('it is one order: the same two jobs never stand both ways, and a third between them changes nothing', () => {
    fc.assert(
      fc.property(job, job, job, (a, b, c) => {
        expect(Math.sign(precedenceOrder(a, b))).toBe(-Math.sign(precedenceOrder(b, a)) || 0)
        if (precedenceOrder(a, b) <= 0 && precedenceOrder(b, c) <= 0)
          expect(precedenceOrder(a, c)).toBeLessThanOrEqual(0)
      }),
    )
  })
})
