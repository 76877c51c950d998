import { describe, expect, test } from 'vitest'
import { columnNamed, headerFaults, seriesRead } from '../../lib/demand/series-file.ts'

const records = (...rows: string[]) =>
  rows.map((text, at) => {
    const [id, period, quantity, partClass, exposure, price] = text.split(',')
    const cells = { id, period, quantity, class: partClass, exposure, price }
    return { row: at + 2, cells: Object.fromEntries(Object.entries(cells).map(([name, cell]) => [name, cell ?? ''])) }
  })

describe('a file of past demand', () => {
  test('a month without a row is a month without demand, from the first row of the part to the last of the file', () => {
    const { parts, faults } = seriesRead(records('bolt,2025-11,2,,,1.5', 'bolt,2026-02,1', 'belt,2026-01,4,belts'))
    expect(faults).toEqual([])
    expect(parts).toEqual([
      { id: 'bolt', quantities: [2, 0, 0, 1], price: 1.5 },
      { id: 'belt', quantities: [4, 0], price: null, partClass: 'belts' },
    ])
  })

  test('where exposure is given a month without a row ran as the one before', () => {
    const { parts } = seriesRead(records('seal,1,0,,120', 'seal,3,1,,90'))
    expect(parts[0]).toMatchObject({ quantities: [0, 0, 1], exposure: [120, 120, 90] })
  })

  test('every bad cell is named with row, column and reason', () => {
    const { faults } = seriesRead(
      records(
        'a,2026-01,3,,10,5',
        'a,2026-01,2,,10',
        'a,2026-13,x,,10',
        ',2026-02,1',
        'a,7,1,,10',
        'a,2026-04,-1,,10',
        'a,2026-05,1',
        'a,2026-06,1,,ten',
        'a,2026-07,1,,10,6',
        'b,2026-01,1,,,0',
      ),
    )
    expect(faults.map(({ row, column, reason }) => `${row} ${column} ${reason}`)).toEqual([
      '3 period a has this period twice',
      '4 period "2026-13" is neither a month such as 2026-03 nor a whole number of at most 7 digits',
      '4 quantity "x" is no number from 0',
      '5 id is empty',
      '6 period months and numbers are mixed in this file',
      '7 quantity "-1" is no number from 0',
      '8 exposure is empty here, and given in other rows of a',
      '9 exposure "ten" is no number from 0',
      '10 price a has 5 in row 2 and 6 here',
      '11 price "0" is no price above 0',
    ])
  })

  test('a number that cannot be read is told by what is wrong with it', () => {
    const fault = (quantity: string) =>
      seriesRead([{ row: 2, cells: { id: 'a', period: '1', quantity } }]).faults[0]?.reason
    expect(['1,5', '1,000', ',5'].map(fault)).toEqual(
      ['"1,5"', '"1,000"', '",5"'].map(
        (shown) => `${shown} has a comma: write decimals with a point, as 1.5, and thousands without a sign`,
      ),
    )
    expect(fault('.5')).toBe('".5" lacks a digit before or after its decimal point: write 0.5, or 5')
    expect(fault('5.')).toBe('"5." lacks a digit before or after its decimal point: write 0.5, or 5')
    expect(fault('1234567890123')).toBe('"1234567890123" has more than 12 digits before the decimal point')
    expect(fault('0.3333333333')).toBe('"0.3333333333" has more than 9 digits after the decimal point')
    expect(['123456789012.5', '0.333333333', '0'].map(fault)).toEqual([undefined, undefined, undefined])
    const { faults } = seriesRead(records('a,1,1,,.5,5.'))
    expect(faults.map(({ column }) => column)).toEqual(['exposure', 'price'])
    for (const { reason } of faults) expect(reason).toContain('decimal point')
  })

  test('six digits of a year and a month are months, so that January follows December', () => {
    const { parts, periods, faults } = seriesRead(records('a,202411,1', 'a,202412,2', 'a,202501,1', 'a,202503,3'))
    expect(faults).toEqual([])
    expect(parts[0]?.quantities).toEqual([1, 2, 1, 0, 3])
    expect(periods).toEqual({ kind: 'yyyymm', first: '2024-11', last: '2025-03' })
    const numbers = seriesRead(records('a,9,1', 'a,11,2'))
    expect(numbers.parts[0]?.quantities).toEqual([1, 0, 2])
    expect(numbers.periods).toEqual({ kind: 'number', first: '9', last: '11' })
  })

  test('six digits that may be a year and a week are refused, and so are months beside numbers', () => {
    const faults = (...rows: string[]) =>
      seriesRead(records(...rows)).faults.map(({ row, reason }) => `${row} ${reason}`)
    expect(faults('a,202412,1', 'a,202413,1', 'a,202500,1')).toEqual(
      ['3 "202413"', '4 "202500"'].map(
        (shown) =>
          `${shown} looks like a year with a month or a week, and is no month: write months as 2026-03, other periods as 1, 2, 3`,
      ),
    )
    expect(faults('a,202412,1', 'a,3,1')).toEqual(['3 months and numbers are mixed in this file'])
    expect(faults('a,2024-11,1', 'a,202412,1')).toEqual([
      '3 months are written in two ways in this file: write all of them as 2026-03',
    ])
    expect(faults('a,20241101,1')[0]).toContain('whole number of at most 7 digits')
  })

  test('a slip of the pen in the year makes no history of a thousand years', () => {
    const { parts, faults } = seriesRead(records('a,1026-01,1', 'a,2026-01,1'))
    expect(parts).toEqual([])
    expect(faults).toEqual([{ row: 2, column: 'period', reason: 'a would have 12001 periods' }])
  })
})

test('price and cost name the same column, once, however the header is spelled', () => {
  expect(['Price', ' cost', 'Lead time'].map(columnNamed)).toEqual(['price', 'price', 'lead_time'])
  expect(headerFaults(['id', 'period', 'price', 'price'], ['id', 'period', 'quantity'])).toEqual([
    { row: 1, column: 'quantity', reason: 'is not in the header' },
    { row: 1, column: 'price', reason: 'is in the header twice' },
  ])
})
