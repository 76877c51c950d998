import type { PageReading, ReadCallout, ReadRow } from '../../lib/figure/reader/schema.ts'

const callout = (item: string, x: number, y: number, more: Partial<ReadCallout> = {}): ReadCallout => ({
  item,
  x,
  y,
  tipX: x + 40,
  tipY: y + 25,
  tips: [{ x: x + 40, y: y + 25 }],
  confidence: 0.97,
  doubts: [],
  ...more,
})

const row = (item: string, partNumber: string, description: string, quantity: number | null): ReadRow => ({
  item,
  partNumber,
  description,
  quantity,
  quantityNote: '',
  confidence: 0.95,
  doubts: [],
  box: [100, 800, 900, 830],
})

/** A hub page as a reader leaves it: 1 twice, 2 hard to read, 9 without a row, 3 without a number. */
export function hubPage(change: Partial<PageReading> = {}): PageReading {
  return {
    width: 1000,
    height: 1400,
    kind: 'parts-page',
    why: '',
    skewDegrees: 0.4,
    callouts: [
      callout('1', 120, 120),
      callout('2', 310, 140, { confidence: 0.4, doubts: ['hard-to-read'] }),
      callout('1', 320, 320, { doubts: ['more-than-once'] }),
      callout('9', 880, 600, { doubts: ['no-row'] }),
    ],
    rows: [
      row('1', 'TP-1101', 'Split pin', 2),
      row('2', 'TP-1102', 'Castle nut', 1),
      { ...row('3', 'TP-1103', 'Hub cap', 1), doubts: ['no-callout'] },
    ],
    figures: [{ box: [80, 90, 920, 700], callouts: [0, 1, 2, 3] }],
    ...change,
  }
}
