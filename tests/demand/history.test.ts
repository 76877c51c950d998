import { describe, expect, test } from 'vitest'
import { exposureByMonth, hoursByMonth } from '../../lib/demand/exposure.ts'
import {
  demandHistory,
  type HistoryMovement,
  monthsBetween,
  outlierFence,
  replacedBy,
  yearMarks,
} from '../../lib/demand/history.ts'

/** A ledger in the words of the shelf: "2026-01-05 receive 10", "2026-01-09 issue 2 job 7", "... issue 1 service 8". */
function ledger(...lines: string[]): HistoryMovement[] {
  return lines.map((line, at) => {
    const [day = '', kind = '', quantity = '0', what, who] = line.split(' ')
    const isOut = ['issue', 'scrap', 'transfer-out'].includes(kind)
    const jobId = what === 'job' || what === 'service' ? Number(who) : null
    return {
      id: at + 1,
      day,
      kind: kind as HistoryMovement['kind'],
      quantity: isOut ? -Number(quantity) : Number(quantity),
      ratio: 1,
      reversesId: kind === 'reversal' ? Number(who) : null,
      jobId,
      jobKind: what === 'service' ? 'service' : what === 'job' ? 'repair' : null,
      forWhat: what === 'machine' ? `machine ${who}` : null,
      isFree: true,
    }
  })
}

const brief = (movements: readonly HistoryMovement[], through: string) =>
  demandHistory(movements, through).months.map(({ month, planned, failure, other }) => [month, planned, failure, other])

// What is use and what is not: common practice, no source. Worked by hand.
describe('use of a part by month', () => {
  test('keeps services, repairs and what was taken without a job apart, and has no gap', () => {
    const movements = ledger(
      '2025-11-03 receive 20',
      '2025-11-20 issue 2 job 1',
      '2026-01-04 issue 4 service 2',
      '2026-01-30 issue 1 machine 9',
      '2026-02-11 issue 3 job 3',
    )
    expect(brief(movements, '2026-01')).toEqual([
      ['2025-11', 0, 2, 0],
      ['2025-12', 0, 0, 0],
      ['2026-01', 4, 0, 1],
    ])
  })

  test('counts, moves between bins, scrap and deliveries are no use', () => {
    const movements = ledger(
      '2026-01-03 receive 20',
      '2026-01-04 count-difference -2',
      '2026-01-05 transfer-out 5',
      '2026-01-05 transfer-in 5',
      '2026-01-06 scrap 3',
      '2026-01-07 issue 1 job 1',
    )
    expect(brief(movements, '2026-01')).toEqual([['2026-01', 0, 1, 0]])
  })

  test('what comes back is taken off the job that took it, in the month in which it took it', () => {
    const movements = ledger(
      '2026-01-03 receive 20',
      '2026-01-10 issue 4 job 1',
      '2026-02-01 issue 2 job 2',
      '2026-02-03 return 3 job 1',
    )
    expect(brief(movements, '2026-02')).toEqual([
      ['2026-01', 0, 1, 0],
      ['2026-02', 0, 2, 0],
    ])
  })

  test('what was taken for a machine comes off that machine, and more than was taken is no use turned round', () => {
    const movements = ledger(
      '2026-01-03 receive 20',
      '2026-01-10 issue 4 machine 1',
      '2026-01-12 issue 4 machine 2',
      '2026-01-20 return 9 machine 1',
    )
    expect(brief(movements, '2026-01')).toEqual([['2026-01', 0, 0, 4]])
  })

  test('a movement that was reversed never happened', () => {
    const movements = ledger('2026-01-03 receive 20', '2026-01-10 issue 4 job 1', '2026-02-01 reversal 4 of 2')
    expect(brief(movements, '2026-02')).toEqual([
      ['2026-01', 0, 0, 0],
      ['2026-02', 0, 0, 0],
    ])
  })

  test('one job takes its pair in one go, however often somebody walked to the bin', () => {
    const movements = ledger(
      '2026-01-03 receive 20',
      '2026-01-10 issue 1 job 1',
      '2026-01-10 issue 1 job 1',
      '2026-01-11 issue 3 machine 4',
    )
    expect(demandHistory(movements, '2026-01').takings).toEqual([
      { month: '2026-01', kind: 'failure', quantity: 2 },
      { month: '2026-01', kind: 'other', quantity: 3 },
    ])
  })

  test('a month in which the shelf ran out is marked, and the one in which it stayed so', () => {
    const movements = ledger(
      '2026-01-03 receive 2',
      '2026-02-10 issue 2 job 1',
      '2026-04-02 receive 5',
      '2026-05-01 issue 5 job 2',
      '2026-05-01 receive 1',
    )
    const censored = demandHistory(movements, '2026-06').months.filter((one) => one.isCensored)
    // April began empty; on 1 May the shelf was filled again before the day was over.
    expect(censored.map((one) => one.month)).toEqual(['2026-02', '2026-03', '2026-04'])
  })

  test('what lies in quarantine is not there to take', () => {
    const [first, ...rest] = ledger('2026-01-03 receive 2', '2026-02-10 issue 1 job 1')
    const { months } = demandHistory([{ ...first!, isFree: false }, ...rest], '2026-02')
    expect(months.map((one) => one.isCensored)).toEqual([true, true])
  })

  test('a month far above the others is marked and still counted', () => {
    const usual = [3, 2, 4, 3, 2, 3].map((quantity, at) => `2026-0${at + 1}-05 issue ${quantity} job ${at}`)
    const { months } = demandHistory(ledger('2026-01-01 receive 99', ...usual, '2026-07-05 issue 40 job 9'), '2026-07')
    expect(months.filter((one) => one.isOutlier)).toMatchObject([{ month: '2026-07', failure: 40 }])
  })

  test('a part that never moved has no months', () => {
    expect(demandHistory([], '2026-07')).toEqual({ months: [], takings: [] })
  })

  test('months run over the turn of a year', () => {
    expect(monthsBetween('2025-11', '2026-02')).toEqual(['2025-11', '2025-12', '2026-01', '2026-02'])
    expect(monthsBetween('2026-03', '2026-02')).toEqual([])
  })
})

// Tukey, Exploratory Data Analysis (1977): outer fence, quartiles on straight lines between the values; from memory.
describe('the fence beyond which a month is far out', () => {
  test('three times the distance of the quartiles above the third', () => {
    // 1 2 3 4 5 6 7 8 9: quartiles 3 and 7, median 5: 7 + 3 * max(4, 5).
    expect(outlierFence([9, 8, 7, 6, 5, 4, 3, 2, 1])).toBe(22)
    // 2 2 10 10 18 18: quartiles 4 and 16, median 10.
    expect(outlierFence([2, 0, 2, 10, 10, 18, 18])).toBe(16 + 3 * 12)
  })

  test('months that are all alike do not make one piece more an outlier; of few, what is ten times the next is one', () => {
    expect(outlierFence([1, 1, 1, 1, 1, 1])).toBe(4)
    expect(outlierFence([1, 1, 1, 40, 1, 0, 0])).toBe(10)
    expect(outlierFence([0, 2, 0, 50])).toBe(20)
    expect(outlierFence([0, 50, 0])).toBe(Infinity)
    expect(outlierFence([0, 0])).toBe(Infinity)
  })
})

describe('a part that replaces others', () => {
  const link = (oldPartId: number, newPartId: number, ratio = 1) => ({
    oldPartId,
    newPartId,
    ratio,
    interchange: 'one-way' as const,
  })

  test('has their use too, in its own pieces along the chain', () => {
    const links = [link(1, 2, 2), link(2, 3, 3), link(9, 8)]
    expect(replacedBy(3, links)).toEqual([
      { partId: 3, ratio: 1 },
      { partId: 1, ratio: 6 },
      { partId: 2, ratio: 3 },
    ])
    expect(replacedBy(2, links)).toEqual([
      { partId: 2, ratio: 1 },
      { partId: 1, ratio: 2 },
    ])
    expect(replacedBy(1, links)).toEqual([{ partId: 1, ratio: 1 }])
  })

  test('one old piece that two new ones replace counts as two', () => {
    const [received, issued] = ledger('2026-01-03 receive 5', '2026-01-09 issue 1 job 1')
    const { months } = demandHistory([received!, { ...issued!, ratio: 2 }], '2026-01')
    expect(months[0]?.failure).toBe(2)
  })
})

describe('hours that the machines ran', () => {
  const read = (day: string, hours: number, reason: string | null = null) => ({
    at: new Date(`${day}T00:00:00Z`),
    hourTenths: hours * 10,
    reason,
  })

  test('lie on straight lines between two readings of the meter', () => {
    // 31 days of January, 28 of February: 59 hours in 59 days are 31 and 28.
    const machine = { year: 2020, readings: [read('2026-01-01', 100), read('2026-03-01', 159)] }
    const [january, february] = hoursByMonth(machine, ['2026-01', '2026-02'])
    expect(january).toBeCloseTo(31, 9)
    expect(february).toBeCloseTo(28, 9)
  })

  test('go on after the last reading as in the year before it, and before the first no further than the meter showed', () => {
    const machine = { year: 2010, readings: [read('2026-01-01', 40), read('2026-03-01', 99)] }
    const [november, december, march] = hoursByMonth(machine, ['2025-11', '2025-12', '2026-03'])
    expect(march).toBeCloseTo(31, 9)
    expect(december).toBeCloseTo(31, 9)
    // 40 hours were on the meter on 1 January: 9 of them are left for November.
    expect(november).toBeCloseTo(9, 9)
  })

  test('a new meter begins again, and the hours of both count', () => {
    const readings = [read('2026-01-01', 900), read('2026-02-01', 931), read('2026-03-01', 28, 'meter replaced')]
    expect(hoursByMonth({ year: 2020, readings }, ['2026-01', '2026-02'])[1]).toBeCloseTo(28, 9)
  })

  test('a machine with one reading has run evenly since its year; one without any says nothing', () => {
    const days = (Date.UTC(2026, 0, 1) - Date.UTC(2024, 0, 1)) / 86_400_000
    const one = hoursByMonth({ year: 2024, readings: [read('2026-01-01', days)] }, ['2025-06', '2023-06'])
    expect(one[0]).toBeCloseTo(30, 9)
    expect(one[1]).toBe(0)
    expect(hoursByMonth({ year: 2024, readings: [] }, ['2025-06'])).toEqual([0])
  })

  test('count once for each piece that is fitted, over all machines', () => {
    const readings = [read('2026-01-01', 100), read('2026-02-01', 131)]
    const fleet = [
      { fitted: 4, year: 2020, readings },
      { fitted: 1, year: 2020, readings },
    ]
    expect(exposureByMonth(fleet, ['2026-01'])[0]).toBeCloseTo(5 * 31, 9)
  })
})

describe('years of a picture of months', () => {
  test('stand at the first month of each, and a year of a month or two before the next is not named', () => {
    expect(yearMarks(monthsBetween('2025-08', '2026-10'))).toEqual([
      { at: 0, year: '2025' },
      { at: 5, year: '2026' },
    ])
    expect(yearMarks(monthsBetween('2025-11', '2026-10'))).toEqual([{ at: 2, year: '2026' }])
    expect(yearMarks(monthsBetween('2026-10', '2026-10'))).toEqual([{ at: 0, year: '2026' }])
    expect(yearMarks([])).toEqual([])
  })
})
