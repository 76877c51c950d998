import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  APART_PIXELS,
  type Callout,
  calloutAt,
  calloutMiddle,
  calloutOpening,
  calloutRooms,
  calloutTyped,
} from '../../lib/figure/callout.ts'

fc.configureGlobal({ seed: 20260105 })

const callout = (item: string, x: number, y: number, ...tips: [number, number][]): Callout => ({
  item,
  x,
  y,
  tips: tips.map(([tipX, tipY]) => ({ x: tipX, y: tipY })),
})

const coordinate = fc.integer({ min: 0, max: 1000 })
const spots = fc.uniqueArray(fc.tuple(coordinate, coordinate), { maxLength: 25, selector: ([x, y]) => `${x},${y}` })
const bare = spots.map((all) => all.map(([x, y], at) => callout(String(at + 1), x, y)))

describe('a tap on the drawing', () => {
  const page = [callout('7', 100, 100, [300, 100]), callout('12', 120, 260, [310, 130]), callout('12A', 700, 90)]

  test.each([
    ['on the number', 104, 98, '7'],
    ['on the part where its leader ends', 308, 126, '12'],
    ['beside the leader line', 200, 103, '7'],
    ['on a number without leader', 698, 97, '12A'],
    ['in the empty corner', 900, 800, null],
  ])('%s', (_, x, y, item) => {
    expect(calloutAt(page, { x, y }, 20)?.item ?? null).toBe(item)
  })

  test('goes to the part, not to a foreign leader that passes over it', () => {
    // Leader of 3 passes 4 beside the tip of 9; the finger is 6 from the tip of 9 and 3.5 from the line of 3.
    const crossing = [callout('3', 0, 0, [200, 0]), callout('9', 100, 90, [100, 9])]
    expect(calloutAt(crossing, { x: 100, y: 3.5 }, 15)?.item).toBe('9')
    expect(calloutAt(crossing, { x: 100, y: 2 }, 15)?.item).toBe('3')
  })

  test('means the nearest number within a finger’s width, and none beyond it', () => {
    fc.assert(
      fc.property(bare, coordinate, coordinate, fc.integer({ min: 1, max: 200 }), (all, x, y, margin) => {
        const found = calloutAt(all, { x, y }, margin)
        const nearest = Math.min(Infinity, ...all.map((one) => Math.hypot(one.x - x, one.y - y)))
        if (nearest >= margin) expect(found).toBeNull()
        else expect(Math.hypot(found!.x - x, found!.y - y)).toBe(nearest)
      }),
    )
  })

  test('on the number itself always finds it, however many leaders cross', () => {
    fc.assert(
      fc.property(spots, spots, (numbers, ends) => {
        const all = numbers.map(([x, y], at) => callout(String(at), x, y, ...ends.slice(at, at + 2)))
        for (const one of all) {
          const found = calloutAt(all, one, 1)!
          // A leader of another may run exactly through the number; then both are as near.
          expect(calloutAt([one], one, 1)).toBe(one)
          expect(calloutAt([found], one, 1)).toBe(found)
        }
      }),
    )
  })
})

describe('the room around printed numbers', () => {
  test('is the distance to the nearest other one', () => {
    fc.assert(
      fc.property(bare, (all) => {
        const rooms = calloutRooms(all)
        for (const [at, room] of rooms.entries()) {
          const others = all.filter((_, other) => other !== at)
          const distances = others.map((other) => Math.hypot(other.x - all[at]!.x, other.y - all[at]!.y))
          for (const distance of distances) expect(room).toBeLessThanOrEqual(distance)
          if (distances.length > 0) expect(distances).toContain(room)
        }
      }),
    )
  })

  test('is without end for a single number', () => {
    expect(calloutRooms([callout('1', 5, 6)])).toEqual([Infinity])
  })
})

describe('the scale a drawing opens at', () => {
  const page = { width: 1000, height: 1000 }

  // WCAG 2.2, success criterion 2.5.8 (target size, minimum): 24 CSS pixels.
  test('sets nine numbers in ten far enough apart for a thumb', () => {
    expect(APART_PIXELS.thumb).toBeGreaterThanOrEqual(24)
    fc.assert(
      fc.property(bare, (all) => {
        const { scale } = calloutOpening(all, page)
        if (all.length < 2) {
          expect(scale).toBe(0)
          return
        }
        const close = calloutRooms(all).filter((room) => room * scale * APART_PIXELS.thumb < 24)
        expect(close.length).toBeLessThanOrEqual(all.length / 10)
      }),
    )
  })

  test('is not spoilt by two numbers printed on top of each other, and aims at the crowd', () => {
    const row = Array.from({ length: 20 }, (_, at) => callout(String(at + 1), 700 + at * 10, 400))
    const all = [...row, callout('21', 50, 50), callout('22', 50, 50)]
    expect(calloutOpening(all, page)).toEqual({ scale: 0.1, at: { x: 790, y: 400 } })
  })

  test('a callout is brought into view by the middle of its leader, or by itself when it has none', () => {
    expect(calloutMiddle(callout('1', 100, 100, [300, 200]))).toEqual({ x: 200, y: 150 })
    expect(calloutMiddle(callout('1', 100, 100))).toEqual({ x: 100, y: 100 })
  })
})

describe('an item typed on the keyboard', () => {
  const items = ['1', '2', '12', '12A', '20']

  test.each([
    ['1', '1', true],
    ['2', '2', true],
    ['12', '12', true],
    ['12a', '12A', false],
    ['20', '20', false],
    ['3', null, false],
    ['121', null, false],
  ])('"%s" names %s; could a longer one be meant: %s', (typed, item, more) => {
    expect(calloutTyped(items, typed)).toEqual({ item, more })
  })

  test('every item is reached by typing it, and every digit on the way leaves it open', () => {
    for (const item of items) {
      expect(calloutTyped(items, item).item).toBe(item)
      for (let digits = 1; digits < item.length; digits++)
        expect(calloutTyped(items, item.slice(0, digits)).more).toBe(true)
    }
  })
})
