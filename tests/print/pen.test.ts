import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { fontSigns } from '../../lib/print/font-signs.ts'
import { linesOf, MISSING_SIGN, signsShown } from '../../lib/print/pen.ts'

const folder = join(dirname(createRequire(import.meta.url).resolve('pdfjs-dist/package.json')), 'standard_fonts')

describe('lines', () => {
  const wide = (text: string) => text.length
  test('are broken between words, and a word that is wider by itself is broken inside', () => {
    expect(linesOf('Split pin for the castle nut', 9, wide)).toEqual(['Split pin', 'for the', 'castle', 'nut'])
    expect(linesOf('a DM60130-4711-XL b', 6, wide)).toEqual(['a', 'DM6013', '0-4711', '-XL b'])
    expect(linesOf('', 6, wide)).toEqual([''])
  })
  test('lose nothing, and none is wider than the column', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 80 }), fc.integer({ min: 1, max: 20 }), (text, width) => {
        const lines = linesOf(text, width, wide)
        expect(lines.join('').replace(/\s/g, '')).toBe(text.replace(/\s/g, ''))
        for (const line of lines) expect(wide(line)).toBeLessThanOrEqual(width)
      }),
    )
  })
})

describe('signs', () => {
  test.each(['LiberationSans-Regular.ttf', 'LiberationSans-Bold.ttf'])('%s has those of a workshop', (file) => {
    const has = fontSigns(readFileSync(join(folder, file)))
    for (const sign of 'Aé½µμ°×±≤Ø£€ø–’“Ωßłčñ□') expect([sign, has(sign.codePointAt(0)!)]).toEqual([sign, true])
    // Han and an emoji: WGL4, the set that these fonts were made for, has neither.
    for (const sign of '漢🔧') expect([sign, has(sign.codePointAt(0)!)]).toEqual([sign, false])
  })
  test('that the letters lack are shown as missing, never left out', () => {
    const has = (sign: number) => sign < 0x250
    expect(signsShown('pin 漢🔧 4', has)).toBe(`pin ${MISSING_SIGN}${MISSING_SIGN} 4`)
    // e and a combining acute are one sign; a tab and a zero-width joiner are no sign at all.
    expect(signsShown('cafe\u0301\t5\u200dmm', has)).toBe('café 5 mm')
  })
})
