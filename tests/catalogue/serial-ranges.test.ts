import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { serialBreaksCover, serialBreaksSay } from '../../lib/catalogue/serial-break.ts'
import { serialRangesParse } from '../../lib/catalogue/serial-ranges.ts'

fc.configureGlobal({ seed: 20260105 })

const range = (from: string | null, to: string | null) => ({ from, to })

// How serial number columns are printed: common practice, no source.
describe('the serial number column of a parts list', () => {
  test.each([
    ['A100-A250, B001-', [range('A100', 'A250'), range('B001', null)]],
    ['A100-250', [range('A100', 'A250')]],
    ['up to 1499', [range(null, '1499')]],
    ['-1499', [range(null, '1499')]],
    ['1500-', [range('1500', null)]],
    ['S/N 1500 and on', [range('1500', null)]],
    ['from 1500', [range('1500', null)]],
    ['from 1500 to 1999', [range('1500', '1999')]],
    ['T-0100 to T-0250', [range('T-0100', 'T-0250')]],
    ['T-0100 - T-0250; T-0300', [range('T-0100', 'T-0250'), range('T-0300', 'T-0300')]],
    ['T-0950', [range('T-0950', 'T-0950')]],
    ['T-100-T-250', [range('T-100', 'T-250')]],
    ['74100 – 74309', [range('74100', '74309')]],
  ])('“%s” is read as its ranges', (text, ranges) => {
    expect(serialRangesParse(text)).toEqual(ranges)
  })

  test.each([
    ['', 'no serial number'],
    ['A250-A100', 'runs backwards'],
    ['A100 to B200', 'not of one kind'],
    ['late machines', 'no serial number'],
    ['from spring', 'no digit'],
    ['1 to 2 to 3', 'more than two ends'],
  ])('“%s” is refused in words', (text, words) => {
    expect(serialRangesParse(text)).toContain(words)
  })

  test.each([
    ['A099', 'not'],
    ['A100', 'applies'],
    ['a0250', 'applies'],
    ['A251', 'not'],
    ['B001', 'applies'],
    ['B900', 'applies'],
    ['C001', 'unknown'],
    [null, 'unknown'],
  ])('A100 to A250 and from B001, machine %s: %s', (serial, answer) => {
    expect(serialBreaksCover([range('A100', 'A250'), range('B001', null)], serial)).toBe(answer)
  })

  test('what is printed is read back as the same ranges, whatever the numbers', () => {
    const ends = fc.tuple(fc.constantFrom('', 'TB', 'QA'), fc.nat(99_999), fc.nat(99_999), fc.constantFrom(0, 1, 2, 3))
    const ranges = fc.array(
      ends.map(([letters, a, b, open]) => {
        const [low, high] = [`${letters}${Math.min(a, b)}`, `${letters}${Math.max(a, b)}`]
        return open === 0 ? range(low, null) : open === 1 ? range(null, high) : range(low, high)
      }),
      { minLength: 1, maxLength: 4 },
    )
    fc.assert(
      fc.property(ranges, (wanted) => {
        expect(serialRangesParse(serialBreaksSay(wanted).replace(/ only/g, ''))).toEqual(wanted)
      }),
    )
  })
})
