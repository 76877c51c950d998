import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { nameKey, partNumberKey } from '../../lib/catalogue/part-number.ts'

fc.configureGlobal({ seed: 20260105 })

const anyText = fc.string({ unit: 'binary', maxLength: 24 })
const separators = fc.constantFrom(' ', '-', '.', '/', '_', '\u00a0', '\u2011', '\u2013', '\u3000', '\u200b', '\t')

describe('the key of a part number', () => {
  test.each([
    ['AB-12 3', 'AB123'],
    ['ab123', 'AB123'],
    ['A.B/12_3', 'AB123'],
    // U+2011 no-break hyphen and U+00A0 no-break space, as spreadsheets paste them
    ['AB\u201112\u00a03', 'AB123'],
    // Unicode Standard Annex 15: full-width forms are compatibility equivalents of the plain ones
    ['ＡＢ－１２３', 'AB123'],
    ['M10×1', 'm10x1'],
    ['Groß 5', 'GROSS5'],
    ['GROẞ 5', 'gross5'],
    ['Bö-7', 'BO7'],
    // composed and decomposed o with diaeresis
    ['Bo\u0308-7', 'B\u00f67'],
    ['½ BSP', '12bsp'],
    ['ΑΣ 4', 'ασ4'],
  ])('"%s" and "%s" are the same number', (a, b) => {
    expect(partNumberKey(a)).toBe(partNumberKey(b))
  })

  test.each([
    ['AB123', 'AB132'],
    ['AB123', 'AB1230'],
    ['0815', '815'],
    ['O12', '012'],
    ['ДЕ5', 'DE5'],
  ])('"%s" and "%s" are two numbers', (a, b) => {
    expect(partNumberKey(a)).not.toBe(partNumberKey(b))
  })

  test('of a key is the key itself', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        expect(partNumberKey(partNumberKey(text))).toBe(partNumberKey(text))
      }),
      { numRuns: 2000 },
    )
  })

  test('does not change with separators and spaces, wherever they stand', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...'aBzΑΣςß×漢Й09'), { maxLength: 12 }), separators, (letters, between) => {
        expect(partNumberKey(letters.join(between))).toBe(partNumberKey(letters.join('')))
      }),
      { numRuns: 1000 },
    )
  })

  test('does not change between composed, decomposed and compatibility forms', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        for (const form of ['NFC', 'NFD', 'NFKC', 'NFKD'])
          expect(partNumberKey(text.normalize(form))).toBe(partNumberKey(text))
      }),
      { numRuns: 1000 },
    )
  })

  test('holds letters and digits only', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        expect(partNumberKey(text)).toMatch(/^[\p{L}\p{N}]*$/u)
      }),
    )
  })
})

describe('the key of a name', () => {
  test('keeps words apart: "Van 1" is not "Van1"', () => {
    expect(nameKey('Van 1')).not.toBe(nameKey('Van1'))
  })

  test.each([
    ['  Long   Barn ', 'long barn'],
    ['LONG\u00a0BARN', 'long barn'],
    ['Weißdorn', 'WEISSDORN'],
    ['Zoë Pärn', 'zoe parn'],
  ])('"%s" and "%s" are the same name', (a, b) => {
    expect(nameKey(a)).toBe(nameKey(b))
  })

  test('of a key is the key itself', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        expect(nameKey(nameKey(text))).toBe(nameKey(text))
      }),
      { numRuns: 2000 },
    )
  })
})
