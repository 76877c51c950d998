import fc from 'fast-check'
import { expect, test } from 'vitest'
import { cssString, pageFootStyle } from '../../lib/print/page-foot.ts'

/** What a style sheet makes of a string token: CSS Syntax Module Level 3, section 4.3.7, "consume an escaped code point". */
function cssRead(token: string): string {
  return token
    .slice(1, -1)
    .replace(/\\([0-9a-f]{1,6}) ?/g, (_, code: string) => String.fromCodePoint(Number.parseInt(code, 16)))
}

test('a foot says what was meant, whatever signs the machine’s name has', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme' }), (name) => {
      const token = cssString(name)
      expect(cssRead(token)).toBe(name)
      // Nothing but letters, digits, spaces and escapes: no sign can end the string, the style or the page's markup.
      expect(token.slice(1, -1)).toMatch(/^[A-Za-z0-9 \\]*$/)
    }),
  )
})

test('each page says machine, job, day of printing and which page of how many', () => {
  const style = pageFootStyle('W-02 Tipping trailer, job 9', '3 Nov 2026')
  expect(style).toContain('@bottom-left { content: "W\\2d 02 Tipping trailer\\2c  job 9"')
  expect(style).toContain('"printed 3 Nov 2026\\2c  page " counter(page) " of " counter(pages)')
})
