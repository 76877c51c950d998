import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { figureFileCheck } from '../../lib/figure/figure-file.ts'
import { attachingWords, orderedLine, orderedQuantity, partsListByItem } from '../../lib/figure/order-item.ts'
import type { FigureFileInput, PartsListLineFile } from '../../lib/figure/schema.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { hub } from '../exchange/hub-figure.ts'

fc.configureGlobal({ seed: 20260105 })

type Line = FigureFileInput['lines'][number]
const line = (item: string, more: Partial<Line> = {}): Line => ({
  item,
  description: `Part ${item}`,
  quantity: 1,
  ...more,
})
const read = (lines: Line[]) => {
  try {
    const { warnings } = figureFileCheck(hub({ lines, callouts: [], stripOrder: [] }).file)
    return { faults: [] as readonly string[], warnings: warnings.filter((one) => !one.includes('no callout')) }
  } catch (error) {
    if (!isRefusal(error)) throw error
    return { faults: error.faults, warnings: [] as string[] }
  }
}

describe('not sold separately', () => {
  const shoe = { item: '3', description: 'Brake shoe' }
  const lining = { item: '4', description: 'Lining', orderItem: '3' }
  const rivet = { item: '5', description: 'Rivet', orderItem: '4' }

  test('the line to order is the item the book names, through as many steps as it takes', () => {
    expect(orderedLine([shoe, lining, rivet], rivet)).toBe(shoe)
    expect(orderedLine([shoe, lining, rivet], shoe)).toBe(shoe)
    expect(orderedLine([lining], lining)).toBeNull()
  })

  test('of a handed item the one of the same side is ordered', () => {
    const handed = (side: 'LH' | 'RH', item: string, orderItem?: string) => ({ item, side, orderItem })
    const right = handed('RH', '3')
    expect(orderedLine([handed('LH', '3'), right], handed('RH', '4', '3'))).toBe(right)
  })

  test('the way to what is ordered ends for every list, circles included', () => {
    const items = fc.integer({ min: 1, max: 6 }).map(String)
    const lines = fc.array(fc.record({ item: items, orderItem: fc.option(items, { nil: undefined }) }), {
      minLength: 1,
      maxLength: 12,
    })
    fc.assert(
      fc.property(lines, (list) => {
        const end = orderedLine(list, list[0]!)
        expect(end === null || end.orderItem === undefined).toBe(true)
      }),
    )
  })

  test.each([
    [2, 4, 1, 1],
    [5, 4, 1, 2],
    [2, 2, 2, 2],
    [1, 6, 1, 1],
  ])('%d wanted of %d an assembly, ordered in an assembly of %d: %d', (wanted, own, other, answer) => {
    expect(orderedQuantity(wanted, own, other)).toBe(answer)
  })

  test('a figure file whose line leads nowhere, to itself or in a circle is refused by row', () => {
    expect(read([line('3'), line('4', { orderItem: '9' })]).faults).toEqual([
      'line 2 (item 4), orderItem: the list has no item 9',
    ])
    expect(read([line('4', { orderItem: '4' })]).faults[0]).toContain('not ordered as itself')
    expect(read([line('4', { orderItem: '5' }), line('5', { orderItem: '4' })]).faults).toHaveLength(2)
    expect(read([line('3'), line('4', { orderItem: '3' })])).toEqual({ faults: [], warnings: [] })
  })
})

describe('serial breaks of a figure file', () => {
  test('a gap and an overlap are warnings: the book is brought in all the same', () => {
    const lines = [
      line('10', { partNumber: 'Q-1', serials: 'A100-A250' }),
      line('10', { partNumber: 'Q-2', serials: 'A260-, B001-' }),
      line('11', { partNumber: 'Q-3', serialTo: '1510' }),
      line('11', { partNumber: 'Q-4', serialFrom: '1500' }),
    ]
    expect(read(lines)).toEqual({
      faults: [],
      warnings: [
        'item 10: no line for S/N A251 to A259, between Q-1 and Q-2',
        'item 11: Q-3 and Q-4 both apply to S/N 1500 to 1510',
      ],
    })
  })

  test('ranges that cannot be read, and ranges given twice, are refused by row', () => {
    expect(read([line('1', { serials: 'late ones' })]).faults[0]).toContain('line 1 (item 1), serials: ')
    expect(read([line('1', { serials: '1-9', serialTo: '9' })]).faults[0]).toContain('serialFrom or serialTo as well')
  })
})

describe('a parts list on the screen', () => {
  const of = (item: string, attaches?: string): Pick<PartsListLineFile, 'item' | 'attaches'> =>
    attaches === undefined ? { item } : { item, attaches }
  const items = (lines: { item: string }[]) => lines.map((one) => one.item)

  // Common practice, no source.
  test('goes by number, so that 13 stands between 12 and 14 whatever it holds', () => {
    const book = [of('1'), of('14', '1'), of('12'), of('12A', '12'), of('13', '1'), of('2')]
    expect(items(partsListByItem(book))).toEqual(['1', '2', '12', '12A', '13', '14'])
  })

  test('keeps the order of the book among several lines of one item: the old part before the new', () => {
    const old = { ...of('3'), serialBreak: 'up to 1499' }
    const fresh = { ...of('3'), serialBreak: 'from 1500' }
    expect(partsListByItem([of('4'), old, fresh])).toEqual([old, fresh, of('4')])
  })

  test('says of a bolt what it holds, and of the cover what holds it', () => {
    const book = [of('7'), of('9', '7'), of('8', '7'), of('9', '7'), of('10', '9')]
    expect(attachingWords(book, book[0]!)).toEqual(['held by items 8, 9'])
    expect(attachingWords(book, book[1]!)).toEqual(['holds item 7', 'held by item 10'])
    expect(attachingWords(book, of('11'))).toEqual([])
  })

  test('every line stays, once', () => {
    const lines = fc.array(
      fc.integer({ min: 1, max: 20 }).map((item) => of(String(item))),
      { maxLength: 12 },
    )
    fc.assert(
      fc.property(lines, (list) => {
        const ordered = partsListByItem(list)
        expect(ordered).toHaveLength(list.length)
        expect(new Set(ordered)).toEqual(new Set(list))
      }),
    )
  })
})
