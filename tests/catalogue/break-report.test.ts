import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type BreakLine, breakReport, breakReportSays } from '../../lib/catalogue/break-report.ts'
import { type SerialBreak, serialBreaksCover } from '../../lib/catalogue/serial-break.ts'

fc.configureGlobal({ seed: 20260105 })

const line = (
  partNumber: string,
  breaks: [string | null, string | null][],
  more: Partial<BreakLine> = {},
): BreakLine => ({
  item: '10',
  partNumber,
  breaks: breaks.map(([from, to]) => ({ from, to })),
  ...more,
})

// That breaks of one item should neither leave a machine without a part nor give it two: common practice, no source.
describe('serial breaks of one item', () => {
  test('that meet exactly have nothing to report', () => {
    expect(breakReport([line('OLD', [[null, 'TB1499']]), line('NEW', [['TB1500', null]])])).toEqual({
      gaps: [],
      overlaps: [],
    })
  })

  test('a gap is named with its first and last serial number, in the width the plate has', () => {
    const report = breakReport([line('OLD', [[null, 'A0250']]), line('NEW', [['A0300', null]])])
    expect(breakReportSays(report)).toEqual(['item 10: no line for S/N A0251 to A0299, between OLD and NEW'])
  })

  test('an overlap is named with the serial numbers that have two parts', () => {
    const report = breakReport([line('OLD', [[null, '1510']]), line('NEW', [['1500', null]])])
    expect(breakReportSays(report)).toEqual(['item 10: OLD and NEW both apply to S/N 1500 to 1510'])
  })

  test('a line without a break beside one with a break applies twice', () => {
    const report = breakReport([line('ALL', []), line('NEW', [['1500', null]])])
    expect(breakReportSays(report)).toEqual(['item 10: ALL and NEW both apply to S/N from 1500'])
  })

  test('left and right of one item do not overlap; a fault of both sides is told once', () => {
    expect(
      breakReport([line('L', [[null, '99']], { side: 'LH' }), line('R', [[null, '99']], { side: 'RH' })]).overlaps,
    ).toEqual([])
    const both = breakReport([
      line('A', [[null, '99']]),
      line('B', [['90', null]]),
      line('L', [['5000', '6000']], { side: 'LH', item: '11' }),
    ])
    expect(both.overlaps).toHaveLength(1)
    const gap = breakReport([line('A', [[null, '99']]), line('L', [['200', null]], { side: 'LH' })])
    expect(gap.gaps).toMatchObject([{ side: 'LH', from: '100', to: '199' }])
  })

  test('ranges of different series are not compared, and an item of one line is not reported', () => {
    expect(breakReport([line('A', [['A100', 'A250']]), line('B', [['B001', null]])])).toEqual({
      gaps: [],
      overlaps: [],
    })
    expect(
      breakReport([
        line('A', [
          ['A100', 'A150'],
          ['A200', null],
        ]),
      ]),
    ).toEqual({ gaps: [], overlaps: [] })
  })

  test('a line of several ranges is filled by another one', () => {
    const ranges: [string, string | null][] = [
      ['A100', 'A250'],
      ['A300', null],
    ]
    expect(breakReport([line('A', ranges), line('B', [['A251', 'A299']])])).toEqual({ gaps: [], overlaps: [] })
    expect(breakReport([line('A', ranges), line('B', [['A251', 'A290']])]).gaps).toMatchObject([
      { from: 'A291', to: 'A299', between: ['B', 'A'] },
    ])
  })

  test('the report agrees with asking every machine one by one', () => {
    const [low, high] = [0, 30]
    const oneRange = fc
      .tuple(fc.integer({ min: low, max: high }), fc.integer({ min: low, max: high }), fc.nat(4))
      .map(([a, b, open]): SerialBreak => {
        const [from, to] = [`TB${Math.min(a, b)}`, `TB${Math.max(a, b)}`]
        return open === 0 ? { from: null, to } : open === 1 ? { from, to: null } : { from, to }
      })
    const lines = fc.array(fc.array(oneRange, { minLength: 1, maxLength: 3 }), { minLength: 2, maxLength: 4 })
    const inside = (gap: { from: string | null; to: string | null }, serial: number) =>
      (gap.from === null || serial >= Number(gap.from.slice(2))) &&
      (gap.to === null || serial <= Number(gap.to.slice(2)))
    fc.assert(
      fc.property(lines, (ranges) => {
        const list = ranges.map((breaks, at): BreakLine => ({ item: '1', partNumber: `P${at}`, breaks }))
        const { gaps, overlaps } = breakReport(list)
        const counts = Array.from(
          { length: high - low + 1 },
          (_, at) => list.filter((one) => serialBreaksCover(one.breaks, `TB${low + at}`) === 'applies').length,
        )
        const covered = counts.flatMap((count, at) => (count > 0 ? [low + at] : []))
        for (const [at, count] of counts.entries()) {
          const serial = low + at
          expect(overlaps.some((both) => inside(both, serial))).toBe(count >= 2)
          const between = covered.some((other) => other < serial) && covered.some((other) => other > serial)
          expect(gaps.some((gap) => inside(gap, serial))).toBe(count === 0 && between)
        }
      }),
      { numRuns: 500 },
    )
  })
})
