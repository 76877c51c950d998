import { describe, expect, it } from 'vitest'
import { planRead } from '../../lib/readiness/plan-check.ts'
import { planRead as orderPlanRead } from '../../lib/replenish/plan-read.ts'

const PLAN = { currency: 'GBP', today: '2026-11-02', season: { from: '2026-11-16', until: '2027-03-12' } }
const ORDER = { format: 'cotterbook-order-plan', currency: 'GBP', today: '2026-11-02' }

describe('what is wrong with a file that somebody wrote by hand', () => {
  it('is said of a plan of work in words, with the place and what stands there', () => {
    const { faults } = planRead({
      ...PLAN,
      suppliers: [{ id: 'S', leadDays: 'ten', colour: 'red' }],
      machines: [{ id: 'M' }],
      jobs: [{ id: 'J', machine: 'M', date: '2026-31-12', lines: [] }],
    })
    const words = faults.map(({ where, says }) => `${where}: ${says}`)
    expect(words).toContain('job 1 (J), date: must be a date such as 2026-11-16, not "2026-31-12"')
    expect(words).toContain('supplier 1 (S), leadDays: must be a number, not "ten"')
    expect(words).toContain('supplier 1 (S): has colour, which a plan does not know')
    expect(words.join()).not.toMatch(/invalid|expected|received/i)
  })

  it('is said of an order plan in the same words, and a missing lead time as missing', () => {
    const { faults } = orderPlanRead({
      ...ORDER,
      parts: [{ id: 'P' }],
      suppliers: [{ id: 'S' }],
      offers: [{ supplier: 'S', part: 'P', prices: [{ from: 1, priceMinor: -5 }] }],
    })
    const words = faults.map(({ why }) => why)
    expect(words).toContain('leadDays: is missing')
    expect(words).toContain('prices.0.priceMinor: too small, it must be at least 0')
    const other = orderPlanRead({ ...PLAN }).faults.map(({ at, why }) => `${at}: ${why}`)
    expect(other).toContain('format: must be cotterbook-order-plan')
    expect(other).toContain('the file: has season, which a problem file does not know')
  })
})
