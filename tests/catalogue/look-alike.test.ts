import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { lookAlikes } from '../../lib/catalogue/look-alike.ts'

const key = fc.string({
  unit: fc.constantFrom('0', 'o', '1', 'i', 'l', '5', 's', 'x', '7'),
  minLength: 1,
  maxLength: 8,
})

// Signs that are taken for one another: common practice, no source.
describe('numbers that look like what was typed', () => {
  test.each([
    ['dm6013o', 'dm60130'],
    ['5p540', 'sp540'],
    ['v82120', 'vb2120'],
    ['620z7', '62027'],
    ['al7', 'a17'],
  ])('%s may be %s', (typed, meant) => {
    expect(lookAlikes(typed)).toContain(meant)
  })

  test('fewest changed signs come first, and what was typed is not among them', () => {
    expect(lookAlikes('a0b7')).toEqual(['aob7', 'a087', 'ao87'])
  })

  test('a word without a digit is left alone', () => {
    expect(lookAlikes('bolt')).toEqual([])
  })

  test('taken for another and back again is the number itself, and there are never more than two hundred', () => {
    fc.assert(
      fc.property(key, (typed) => {
        const found = lookAlikes(typed)
        expect(found.length).toBeLessThanOrEqual(200)
        expect(new Set(found).size).toBe(found.length)
        expect(found).not.toContain(typed)
        for (const other of found.slice(0, 5))
          if (/\d/.test(other) && found.length < 200) expect(lookAlikes(other)).toContain(typed)
      }),
      { seed: 75 },
    )
  })
})
