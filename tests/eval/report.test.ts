import { describe, expect, it } from 'vitest'
import type { Group } from './page-case.ts'
import { readingOf } from './reader.ts'
import { barsMissed, type Judged, sumOf } from './report.ts'
import { pageScore } from './score.ts'
import type { PageTruth } from './truth.ts'

/** A page of a hundred numbers of which so many were read, and so many of those leader ends. */
function judged(group: Group, read: number, tips: number, seconds = 1, peakMb = 300): Judged {
  const truth: PageTruth = {
    width: 3000,
    height: 4000,
    rows: [],
    callouts: Array.from({ length: 100 }, (_, at) => ({
      item: String(at),
      x: at * 20,
      y: at * 30,
      tips: [{ x: 2900, y: 3900 }],
    })),
  }
  const callouts = truth.callouts
    .slice(0, read)
    .map((callout, at) => ({ ...callout, tips: at < tips ? callout.tips : [] }))
  const score = pageScore(truth, { width: 3000, height: 4000, kind: 'parts-page', callouts, rows: [] })
  return { page: { name: 'x', group, about: '' }, half: 'develop', score, seconds, cpuSeconds: null, peakMb, fault: '' }
}
const missed = (one: Judged, warm = true) => barsMissed([sumOf(one.page.group, 'develop', [one])], warm)

describe('bars', () => {
  it('95 of 100 on clean pages pass, 94 do not; of the leader ends 85 and 84', () => {
    expect(missed(judged('clean', 95, 85))).toEqual([])
    expect(missed(judged('clean', 94, 85))).toEqual([expect.stringContaining('recall 94.0')])
    expect(missed(judged('own', 95, 84))).toEqual([expect.stringContaining('leader ends 84.0')])
  })

  it('85 of 100 on worn copies pass, 84 do not, and their leader ends are only told', () => {
    expect(missed(judged('degraded', 85, 0))).toEqual([])
    expect(missed(judged('demo-degraded', 84, 84))).toEqual([expect.stringContaining('recall 84.0')])
  })

  it('the slowest page may take 3 s once warm, and a gigabyte is the most', () => {
    expect(missed(judged('clean', 100, 100, 3, 1024))).toEqual([])
    expect(missed(judged('clean', 100, 100, 3.1))).toEqual([expect.stringContaining('slowest page')])
    expect(missed(judged('clean', 100, 100, 3.1), false)).toEqual([])
    expect(missed(judged('clean', 100, 100, 1, 1025))).toEqual([expect.stringContaining('peak memory')])
  })

  it('a reader that finds nothing misses the bar', () => {
    expect(missed(judged('clean', 0, 0)).join()).toContain('recall 0.0')
  })
})

describe('what a reader prints', () => {
  it('one tip without a list is a leader, and a tip on the number itself is none', () => {
    const printed = {
      width: 100,
      height: 200,
      callouts: [
        { item: '1', x: 10, y: 20, tipX: 30, tipY: 40, confidence: 1 },
        { item: '2', x: 50, y: 60, tipX: 50, tipY: 60, confidence: 1 },
      ],
      rows: [{ item: '1', partNumber: 'QB1', description: 'Key', quantity: null, confidence: 1 }],
    }
    const read = readingOf(printed)
    expect(read.callouts.map(({ tips }) => tips)).toEqual([[{ x: 30, y: 40 }], []])
    expect(read.kind).toBe('parts-page')
    expect(read.rows[0]).toMatchObject({ quantity: null, quantityNote: '' })
  })

  it('what is no reading is refused', () => {
    expect(() => readingOf({ width: 100 })).toThrow()
  })
})
