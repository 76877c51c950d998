import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { durationSays, estimateSays, type PastJob, timeEstimate } from '../../lib/job/time-estimate.ts'
import { randomNormal, randomSeeded } from '../../lib/maths/random.ts'

/** The work in hand, and work of the same size on other parts of the figure. */
const OURS = ['off 14', 'off 5', 'new 5']
const OTHER = ['off 20', 'off 10', 'new 10']
const job = (minutes: number, alike = true, sides = 1): PastJob => ({ minutes, work: alike ? OURS : OTHER, sides })
const estimate = (past: PastJob[], sides = 1, stepMinutes: Record<string, number> = {}) =>
  timeEstimate({ past, sides, work: OURS, stepMinutes: new Map(Object.entries(stepMinutes)) })

describe('how long a job takes', () => {
  test('nothing is made up where nothing is known', () => {
    expect(estimate([])).toBeNull()
    expect(estimate([job(0)])).toBeNull()
    expect(estimateSays(null)).toBe('no past jobs to tell from')
  })

  test('one long job on the same parts is drawn towards what the figure usually takes', () => {
    const figure = [60, 65, 70, 62].map((minutes) => job(minutes, false))
    const one = estimate([...figure, job(240)])!.minutes
    expect(one).toBeGreaterThan(65)
    expect(one).toBeLessThan(160)
    const many = estimate([...figure, ...Array.from({ length: 12 }, () => job(240))])!.minutes
    expect(many).toBeGreaterThan(215)
  })

  test('two sides take twice as long, and a past job at both is split', () => {
    expect(estimate([job(90), job(90)], 2)!.minutes).toBeCloseTo(180)
    expect(estimate([job(180, true, 2)], 1)!.minutes).toBeCloseTo(90)
  })

  test('minutes at the steps stand in until there are jobs, and count as one of them then', () => {
    const written = { 'off 14': 25, 'off 5': 15 }
    expect(estimate([], 1, written)!.minutes).toBeCloseTo(40)
    const both = estimate([job(80), job(80), job(80)], 1, written)!.minutes
    expect(both).toBeGreaterThan(60)
    expect(both).toBeLessThan(80)
    // A step without takes the mean of those that have some.
    expect(estimate([], 1, { 'off 14': 25, 'off 20': 15 })).toMatchObject({ minutes: expect.closeTo(45), jobs: 0 })
  })

  test('the span holds four of five log-normal jobs, and grows narrower with what is known', () => {
    // Log-normal times with median 100 and deviation 0.35: simulated here, 10 to 90 per cent is 80 per cent by definition.
    const random = randomSeeded('job times')
    const draw = () => 100 * Math.exp(randomNormal(random, 0, 0.35))
    let held = 0
    for (let round = 0; round < 600; round++) {
      const { low, high } = estimate(Array.from({ length: 12 }, () => job(draw())))!
      const next = draw()
      if (next >= low && next <= high) held += 1
    }
    expect(held / 600).toBeGreaterThan(0.76)
    expect(held / 600).toBeLessThan(0.9)
    const width = (count: number) => {
      const { low, high } = estimate(Array.from({ length: count }, () => job(100)))!
      return Math.log(high / low)
    }
    expect(width(10)).toBeLessThan(width(2))
  })

  test('stays between the shortest and the longest, and the span holds the middle', () => {
    const jobs = fc.array(
      fc.record({
        minutes: fc.integer({ min: 5, max: 2000 }),
        sides: fc.integer({ min: 1, max: 4 }),
        work: fc.constantFrom(OURS, OTHER),
      }),
      { minLength: 1, maxLength: 30 },
    )
    fc.assert(
      fc.property(jobs, fc.integer({ min: 1, max: 4 }), (past, sides) => {
        const { minutes, low, high } = estimate(past, sides)!
        const each = past.map((one) => (one.minutes / one.sides) * sides)
        expect(minutes).toBeGreaterThanOrEqual(Math.min(...each) - 1e-6)
        expect(minutes).toBeLessThanOrEqual(Math.max(...each) + 1e-6)
        expect(low).toBeLessThan(minutes)
        expect(high).toBeGreaterThan(minutes)
      }),
      { seed: 91 },
    )
  })
})

describe('more work', () => {
  const names = ['off 1', 'off 2', 'off 3', 'off 4', 'off 5', 'off 6', 'new 2', 'new 4', 'new 6']
  const work = fc.subarray(names, { minLength: 1 })
  const past = fc.array(
    fc.record({ minutes: fc.integer({ min: 5, max: 2000 }), sides: fc.integer({ min: 1, max: 3 }), work }),
    { maxLength: 25 },
  )
  const written = fc
    .array(
      fc.tuple(fc.constantFrom(...names.filter((name) => name.startsWith('off'))), fc.integer({ min: 1, max: 90 })),
    )
    .map((rows) => new Map(rows))

  test('never takes less, whatever past jobs and minutes at the steps say', () => {
    fc.assert(
      fc.property(past, written, work, work, fc.integer({ min: 1, max: 3 }), (jobs, stepMinutes, some, more, sides) => {
        const less = timeEstimate({ past: jobs, sides, work: some, stepMinutes })
        const whole = [...new Set([...some, ...more])]
        const all = timeEstimate({ past: jobs, sides, work: whole, stepMinutes })
        expect(all === null).toBe(less === null)
        if (all === null || less === null) return
        expect(all.minutes).toBeGreaterThanOrEqual(less.minutes * (1 - 1e-9))
        expect(less.more).toBeGreaterThan(0)
        const again = timeEstimate({ past: jobs, sides: sides + 1, work: whole, stepMinutes })!
        expect(again.minutes).toBeGreaterThan(all.minutes)
      }),
      { seed: 93, numRuns: 400 },
    )
  })

  test('takes longer where no past job had just this work, and the more so the more past jobs say it grows', () => {
    const parts = (count: number) => Array.from({ length: count }, (_, at) => `off ${at + 1}`)
    const grows = (power: number) => {
      const done = [2, 4, 8, 16, 2, 4, 8, 16].map((count) => ({
        minutes: 20 * count ** power,
        sides: 1,
        work: parts(count),
      }))
      const at = (count: number) => timeEstimate({ past: done, sides: 1, work: parts(count) })!.minutes
      return at(12) / at(6)
    }
    expect(grows(0.1)).toBeGreaterThan(1)
    expect(grows(0.5)).toBeGreaterThan(grows(0.1))
    expect(grows(0.9)).toBeGreaterThan(grows(0.5))
    // Twice the parts at the power of a half: the square root of two, by the definition of a power.
    expect(grows(0.5)).toBeCloseTo(Math.SQRT2, 1)
  })

  test('is never below what a part of it took, and a part never above what the whole took', () => {
    const whole = { minutes: 60, sides: 1, work: ['off 1', 'off 2', 'off 3'] }
    const part = { minutes: 240, sides: 1, work: ['off 1', 'off 2'] }
    const at = (work: string[]) => timeEstimate({ past: [whole, whole, part, part], sides: 1, work })!.minutes
    expect(at(whole.work)).toBeGreaterThanOrEqual(at(part.work))
    expect(at(['off 1'])).toBeLessThanOrEqual(at(part.work))
  })
})

test('times are said as a workshop says them', () => {
  expect([2, 42, 60, 131, 184, 190].map(durationSays)).toEqual(['5 min', '40 min', '1 h', '2 h 10', '3 h', '3 h 15'])
  const says = estimateSays(estimate([job(130), job(130), job(130, false)]))
  expect(says).toMatch(/^about 2 h 10 \(from 3 past jobs, 2 on the same parts\); most take 1 h \d\d to \d h/)
  expect(says).toMatch(/, each further part about \d+ min more$/)
  expect(estimateSays(estimate([], 1, { 'off 14': 12, 'off 5': 8 }))).toMatch(
    /^about 20 min \(no past jobs; minutes at the steps counted\)/,
  )
  expect(estimateSays(estimate([], 1, { 'off 14': 10 }))).toContain('minutes at 1 of 2 steps counted')
  expect(estimateSays(estimate([], 1, { 'off 20': 10 }))).toContain('minutes at other steps counted')
})
