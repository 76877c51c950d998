import bwipjs from 'bwip-js/node'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { code128Values, code128Widths } from '../../lib/label/code-128.ts'

const printable = fc
  .array(
    fc.oneof(
      fc.constantFrom(...'0123456789'),
      fc.integer({ min: 32, max: 126 }).map((code) => String.fromCharCode(code)),
    ),
    {
      minLength: 1,
      maxLength: 40,
    },
  )
  .map((signs) => signs.join(''))

/** Reads symbol values back into the text, by sets B and C alone. */
function textOf(values: readonly number[]): string {
  let isC = values[0] === 105
  let text = ''
  for (const value of values.slice(1, -2)) {
    if (value === (isC ? 100 : 99)) isC = !isC
    else text += isC ? String(value).padStart(2, '0') : String.fromCharCode(value + 32)
  }
  return text
}

test('digits go two a symbol where that is shorter, and letters between them come back', () => {
  // Start C, 12, 34, 56, check, stop. ISO/IEC 15417 annex E: an even run of digits is written in C.
  expect(code128Values('123456').slice(0, 4)).toEqual([105, 12, 34, 56])
  expect(code128Values('A1')).toHaveLength(5)
  fc.assert(
    fc.property(printable, (text) => {
      expect(textOf(code128Values(text))).toBe(text)
    }),
  )
})

test('no symbol is longer than the one that the drawing library makes', () => {
  fc.assert(
    fc.property(printable, (text) => {
      const [drawn] = bwipjs.raw({ bcid: 'code128', text }) as unknown as { sbs: number[] }[]
      expect(code128Widths(text).length).toBeLessThanOrEqual(drawn!.sbs.length)
    }),
    { numRuns: 50 },
  )
})

test('every symbol is eleven modules wide, the stop thirteen, and bars are even', () => {
  fc.assert(
    fc.property(printable, (text) => {
      const widths = code128Widths(text)
      const symbols = code128Values(text).length
      expect(widths.reduce((sum, one) => sum + one, 0)).toBe(symbols * 11 + 2)
      for (let at = 0; at < symbols - 1; at++) {
        const [bar1, , bar2, , bar3] = widths.slice(at * 6, at * 6 + 6)
        // The self-check of ISO/IEC 15417, 4.2: the bars of a symbol together are an even number of modules.
        expect((bar1! + bar2! + bar3!) % 2).toBe(0)
      }
    }),
  )
})

test('a sign that the sets cannot write is refused, not drawn as another', () => {
  expect(() => code128Values('Ø')).toThrow(RangeError)
  expect(() => code128Values('')).toThrow(RangeError)
})
