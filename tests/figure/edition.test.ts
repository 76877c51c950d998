import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type EditionLine,
  type EditionRow,
  editionDiff,
  editionItems,
  editionMoved,
  editionStripOrder,
} from '../../lib/figure/edition.ts'

const line = (lineId: number, item: string, partNumber: string, quantity = 1): EditionLine => ({
  lineId,
  item,
  partNumber,
  description: `part ${partNumber}`,
  quantity,
})
const row = (item: string, partNumber: string | undefined, quantity = 1): EditionRow => ({
  item,
  ...(partNumber === undefined ? {} : { partNumber }),
  description: 'as printed',
  quantity,
})

const BEFORE = [line(11, '1', 'TP-100'), line(12, '2', 'TP-200', 4), line(13, '3', 'TP-300'), line(14, '4', 'TP-400')]

describe('a newer page of a figure', () => {
  it('that prints the same list changes nothing', () => {
    const same = BEFORE.map(({ item, partNumber, quantity }) => row(item, partNumber, quantity))
    expect(editionDiff(BEFORE, same)).toEqual({
      kept: [11, 12, 13, 14].map((lineId, at) => ({ lineId, row: at })),
      numberChanged: [],
      added: [],
      removed: [],
      quantityChanged: [],
      renumbered: [],
    })
  })

  it('a part number spelled with other dashes and case is the same part', () => {
    expect(editionDiff([line(11, '1', 'TP-100')], [row('1', 'tp 100')]).kept).toHaveLength(1)
  })

  it('names what was added, removed, changed in quantity and given another number', () => {
    const diff = editionDiff(BEFORE, [
      row('1', 'TP-100'),
      row('2', 'TP-200', 6),
      row('3', 'TP-301'),
      row('5', 'TP-500'),
    ])
    expect(diff.added).toEqual([3])
    expect(diff.removed).toEqual([14])
    expect(diff.quantityChanged).toEqual([{ lineId: 12, row: 1, item: '2', from: 4, to: 6 }])
    expect(diff.numberChanged).toEqual([{ lineId: 13, row: 2, item: '3', from: 'TP-300', to: 'TP-301' }])
  })

  it('a row put in shifts the items below it: they are renumbered, not changed', () => {
    const diff = editionDiff(BEFORE, [
      row('1', 'TP-100'),
      row('2', 'TP-150'),
      row('3', 'TP-200', 4),
      row('4', 'TP-300'),
      row('5', 'TP-400'),
    ])
    expect(diff.added).toEqual([1])
    expect(diff.numberChanged).toEqual([])
    expect(diff.renumbered.map(({ from, to }) => `${from} to ${to}`)).toEqual(['2 to 3', '3 to 4', '4 to 5'])
  })

  it('two lines of one item, split by serial number, are each matched by their part', () => {
    const split = [line(21, '7', 'OLD-1'), line(22, '7', 'NEW-1')]
    expect(editionDiff(split, [row('7', 'NEW-1')])).toMatchObject({ kept: [{ lineId: 22, row: 0 }], removed: [21] })
  })

  it('a row without a number keeps the part its item had', () => {
    expect(editionDiff([line(11, '1', '4-02-1')], [row('1', undefined)])).toMatchObject({
      kept: [{ lineId: 11, row: 0 }],
      numberChanged: [],
    })
  })

  it('every line and every row is accounted for once', () => {
    const item = fc.constantFrom('1', '2', '3', '4A')
    const number = fc.constantFrom('TP-1', 'TP-2', 'TP-3')
    const rows = fc.array(
      fc.record({ item, number: fc.option(number, { nil: undefined }), quantity: fc.integer({ min: 1, max: 9 }) }),
    )
    fc.assert(
      fc.property(rows, rows, (old, now) => {
        const before = old.map((one, at) => line(at + 1, one.item, one.number ?? 'TP-9', one.quantity))
        const after = now.map((one) => row(one.item, one.number, one.quantity))
        const { kept, numberChanged, added, removed } = editionDiff(before, after)
        const pairs = [...kept, ...numberChanged]
        const lines = [...pairs.map((pair) => pair.lineId), ...removed]
        const places = [...pairs.map((pair) => pair.row), ...added]
        expect(lines.toSorted((a, b) => a - b)).toEqual(before.map((one) => one.lineId))
        expect(places.toSorted((a, b) => a - b)).toEqual(after.map((_, at) => at))
      }),
    )
  })

  it('going there and back finds what was added as removed and what was removed as added', () => {
    const after = [row('1', 'TP-100'), row('2', 'TP-200', 4), row('6', 'TP-600')]
    const there = editionDiff(BEFORE, after)
    const back = editionDiff(
      after.map((one, at) => line(at + 1, one.item, one.partNumber!, one.quantity)),
      BEFORE.map(({ item, partNumber, quantity }) => row(item, partNumber, quantity)),
    )
    expect(back.added).toHaveLength(there.removed.length)
    expect(back.removed).toHaveLength(there.added.length)
  })
})

describe('the strip order in a newer edition', () => {
  it('follows items that were renumbered and names the steps of items that are gone', () => {
    const after = [row('1', 'TP-100'), row('3', 'TP-200', 4), row('4', 'TP-300')]
    const items = editionItems(editionDiff(BEFORE, after), BEFORE, after)
    expect(
      editionStripOrder(
        [
          { first: '1', then: '2' },
          { first: '2', then: '3' },
          { first: '3', then: '4' },
        ],
        items,
      ),
    ).toEqual({
      kept: [
        { first: '1', then: '3' },
        { first: '3', then: '4' },
      ],
      dropped: [{ first: '3', then: '4' }],
    })
  })

  it('goes on across an item that is gone: what came off before it still comes off before what came after', () => {
    const after = [row('1', 'TP-100'), row('4', 'TP-400')]
    const items = editionItems(editionDiff(BEFORE, after), BEFORE, after)
    const edges = [
      { first: '1', then: '2' },
      { first: '2', then: '3' },
      { first: '3', then: '4' },
    ]
    expect(editionStripOrder(edges, items)).toEqual({ kept: [{ first: '1', then: '4' }], dropped: edges })
  })

  it('stays whole when only part numbers change', () => {
    const after = BEFORE.map((one) => row(one.item, `${one.partNumber}A`, one.quantity))
    const items = editionItems(editionDiff(BEFORE, after), BEFORE, after)
    const edges = [{ first: '1', then: '2' }]
    expect(editionStripOrder(edges, items)).toEqual({ kept: edges, dropped: [] })
  })
})

describe('numbers that stand elsewhere on the drawing', () => {
  const at = (item: string, x: number, y: number) => ({ item, x, y })
  const drawing = [at('1', 100, 100), at('2', 500, 120), at('3', 900, 400), at('4', 300, 700), at('5', 700, 650)]

  it('a scan that is larger and cut otherwise moves none', () => {
    const scan = drawing.map(({ item, x, y }) => at(item, x * 1.7 + 35, y * 1.7 + 80))
    expect(editionMoved(drawing, scan)).toEqual([])
  })

  it('a number set elsewhere is named', () => {
    const scan = drawing.map(({ item, x, y }) => at(item, x + 12 + (item === '4' ? 300 : 0), y - 9))
    expect(editionMoved(drawing, scan)).toEqual(['4'])
  })

  it('three numbers say nothing of how the drawing was shifted', () => {
    expect(editionMoved(drawing.slice(0, 3), [at('1', 9, 9), at('2', 1, 500), at('3', 2, 3)])).toEqual([])
  })
})
