import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { durationSays, estimateSays, type PastJob, timeEstimate } from '../../lib/job/time-estimate.ts'
import { randomNormal, randomSeeded } from '../../lib/maths/random.ts'

const job = (minutes: number, alike = true, sides = 1): PastJob => ({ minutes, alike, sides })
const estimate = (past: PastJob[], sides = 1, stepMinutes: number | null = null) =>
  timeEstimate({ past, sides, stepMinutes })

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
    expect(estimate([], 1, 40)!.minutes).toBeCloseTo(40)
    const both = estimate([job(80), job(80), job(80)], 1, 40)!.minutes
    expect(both).toBeGreaterThan(60)
    expect(both).toBeLessThan(80)
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
        alike: fc.boolean(),
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

test('times are said as a workshop says them', () => {
  expect([2, 42, 60, 131, 184, 190].map(durationSays)).toEqual(['5 min', '40 min', '1 h', '2 h 10', '3 h', '3 h 15'])
  const says = estimateSays(estimate([job(130), job(130), job(130, false)]))
  expect(says).toMatch(/^about 2 h 10 \(from 3 past jobs, 2 on the same parts\); most take 1 h \d\d to \d h/)
  expect(estimateSays(estimate([], 1, 20))).toMatch(/^about 20 min \(no past jobs; minutes at the steps counted\)/)
})
