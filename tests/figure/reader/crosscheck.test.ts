import { describe, expect, it } from 'vitest'
import { crossChecked } from '../../../lib/figure/reader/crosscheck.ts'
import type { ReadCallout, ReadRow } from '../../../lib/figure/reader/schema.ts'

function callout(item: string, more: Partial<ReadCallout> = {}): ReadCallout {
  return { item, x: 10, y: 10, tipX: 50, tipY: 50, tips: [{ x: 50, y: 50 }], confidence: 0.97, doubts: [], ...more }
}

function row(item: string): ReadRow {
  return {
    item,
    partNumber: 'QB-1',
    description: 'Pin',
    quantity: 1,
    quantityNote: '',
    confidence: 0.97,
    doubts: [],
    box: null,
  }
}

const doubtsOf = (list: readonly { item: string; doubts: string[] }[]) =>
  list.map(({ item, doubts }) => [item, ...doubts])

describe('drawing and parts list check each other', () => {
  it('what stands in both, once, with a leader and plain to read, is not marked', () => {
    const { callouts, rows } = crossChecked(
      [callout('1'), callout('2'), callout('12A')],
      [row('1'), row('2'), row('12A')],
    )
    expect([...callouts, ...rows].flatMap((one) => one.doubts)).toEqual([])
  })

  it('an item without row, a row without callout and an item shown twice are marked, and all are kept', () => {
    const checked = crossChecked(
      [callout('1'), callout('7'), callout('2'), callout('2')],
      [row('1'), row('2'), row('3')],
    )
    expect(doubtsOf(checked.callouts)).toEqual([
      ['1'],
      ['7', 'no-row'],
      ['2', 'more-than-once'],
      ['2', 'more-than-once'],
    ])
    expect(doubtsOf(checked.rows)).toEqual([['1'], ['2'], ['3', 'no-callout']])
  })

  it('a number hard to read or without leader is marked', () => {
    const checked = crossChecked([callout('1', { confidence: 0.6 }), callout('2', { tips: [] })], [])
    expect(doubtsOf(checked.callouts)).toEqual([
      ['1', 'hard-to-read'],
      ['2', 'no-leader'],
    ])
  })

  it('only a number in no row, without leader and hardly legible is left out, and never when the list is too short to judge', () => {
    const dirt = callout('149', { tips: [], confidence: 0.4 })
    expect(crossChecked([callout('1'), dirt], [row('1'), row('2'), row('3')]).callouts.map((one) => one.item)).toEqual([
      '1',
    ])
    expect(crossChecked([callout('1'), dirt], [row('1')]).callouts).toHaveLength(2)
    expect(crossChecked([{ ...dirt, confidence: 0.6 }], [row('1'), row('2'), row('3')]).callouts).toHaveLength(1)
  })

  it('a page with a list and no drawing does not mark every row, and nothing passed in is changed', () => {
    const rows = [row('1'), row('2'), row('3')]
    expect(crossChecked([], rows).rows.flatMap((one) => one.doubts)).toEqual([])
    const callouts = [callout('9')]
    crossChecked(callouts, rows)
    expect(callouts[0]!.doubts).toEqual([])
  })
})
