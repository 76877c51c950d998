import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { abcClasses, abcMatrix } from '../../lib/stock/abc.ts'

fc.configureGlobal({ seed: 20260211 })

const LIMITS = { a: 80, b: 95 }
const classed = (uses: number[], limits = LIMITS) => [
  ...abcClasses(
    uses.map((useMinor, at) => ({ partId: at + 1, useMinor })),
    limits,
  ).entries(),
]
const letters = (uses: number[], limits = LIMITS) =>
  classed(uses, limits)
    .sort(([one], [other]) => one - other)
    .map(([, letter]) => letter)
    .join('')

describe('classes by value of use', () => {
  // A table of ten articles as textbooks of inventory control work it by hand (Pareto classification; values from memory, not of
  // one book): yearly use 5000, 2500, 1000, 500, 400, 200, 150, 120, 80, 50 of 10,000 in all.
  test('ten articles of 10,000: those before 8,000 are A, before 9,500 B, the rest C', () => {
    expect(letters([5000, 2500, 1000, 500, 400, 200, 150, 120, 80, 50])).toBe('AAABBBCCCC')
  })

  test('the part that crosses a limit belongs to the class above it, one that begins at the limit to the one below', () => {
    expect(letters([79, 2, 15, 4])).toBe('ACAB')
    expect(letters([80, 16, 4])).toBe('ABC')
  })

  test('the limits are those of the workshop', () => {
    expect(letters([50, 30, 20], { a: 50, b: 80 })).toBe('ABC')
    expect(letters([50, 30, 20], { a: 51, b: 80 })).toBe('AAC')
  })

  test('what was not used, or came back more than it went out, is C, and where nothing was used all is', () => {
    expect(letters([100, 0, -40])).toBe('ACC')
    expect(letters([0, 0])).toBe('CC')
  })

  test('no part of a lower class was used for more than one of a higher', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -50, max: 5000 }), { maxLength: 40 }), (uses) => {
        const by = new Map<string, number[]>()
        for (const [partId, letter] of classed(uses)) by.set(letter, [...(by.get(letter) ?? []), uses[partId - 1]!])
        const least = (letter: string) => Math.min(...(by.get(letter) ?? [Number.POSITIVE_INFINITY]))
        const most = (letter: string) => Math.max(...(by.get(letter) ?? [Number.NEGATIVE_INFINITY]))
        expect(least('A')).toBeGreaterThanOrEqual(most('B'))
        expect(Math.min(least('A'), least('B'))).toBeGreaterThanOrEqual(most('C'))
        // A is the shortest list of the dearest that reaches its share of the whole.
        const whole = uses.reduce((sum, use) => sum + Math.max(0, use), 0)
        const a = by.get('A') ?? []
        const sum = a.reduce((total, use) => total + use, 0)
        if (whole > 0) expect(sum * 100).toBeGreaterThanOrEqual(80 * whole)
        if (a.length > 0) expect((sum - Math.min(...a)) * 100).toBeLessThan(80 * whole)
      }),
    )
  })
})

test('the matrix counts each part once, under its class and what stands still without it', () => {
  const parts = [
    { partId: 11, useMinor: 900, criticality: 'vital' as const },
    { partId: 12, useMinor: 60, criticality: 'vital' as const },
    { partId: 13, useMinor: 30, criticality: 'desirable' as const },
    { partId: 14, useMinor: -5, criticality: 'essential' as const },
  ]
  const matrix = abcMatrix(parts, abcClasses(parts, { a: 80, b: 95 }))
  expect(matrix.vital.A).toEqual({ parts: 1, useMinor: 900 })
  expect(matrix.vital.B).toEqual({ parts: 1, useMinor: 60 })
  expect(matrix.desirable.C).toEqual({ parts: 1, useMinor: 30 })
  expect(matrix.essential.C).toEqual({ parts: 1, useMinor: 0 })
  expect(matrix.essential.A.parts + matrix.desirable.A.parts).toBe(0)
})
