import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { deliverySplit } from '../../lib/buying/delivery.ts'
import { OrderReceiveForm } from '../../lib/buying/schema.ts'
import { formAsRead } from './form-as-read.ts'

fc.configureGlobal({ seed: 20261127 })
const came = (facts: Partial<Parameters<typeof deliverySplit>[0]>) =>
  deliverySplit({ due: 10, good: 0, damaged: 0, restGivenUp: false, wrong: '', ...facts })

// common practice, no source: what came damaged came; what was not ordered is no part of the order.
describe('what came of an order line', () => {
  test('all of it and sound leaves nothing to remember', () => {
    expect(came({ good: 10 })).toMatchObject({ goodDue: 10, over: 0, cancel: 0, records: [] })
  })

  test('nine sound and two damaged of ten: two and eight against the line, one over, both remembered', () => {
    expect(came({ good: 9, damaged: 2 })).toEqual({
      damagedDue: 2,
      damagedOver: 0,
      goodDue: 8,
      goodOver: 1,
      over: 1,
      cancel: 0,
      records: [
        { kind: 'over', quantity: 1 },
        { kind: 'damaged', quantity: 2 },
      ],
    })
  })

  test('some of it is a part delivery while the rest is due, and short once the rest is given up', () => {
    expect(came({ good: 7 }).records).toEqual([{ kind: 'part', quantity: 7 }])
    const short = came({ good: 7, restGivenUp: true })
    expect(short.cancel).toBe(3)
    expect(short.records).toEqual([{ kind: 'short', quantity: 3 }])
  })

  test('another part in its place leaves all of it due', () => {
    expect(came({ wrong: 'left-hand shoes' })).toMatchObject({
      goodDue: 0,
      cancel: 0,
      records: [{ kind: 'wrong-part', quantity: 0 }],
    })
  })

  test('a line never receives more than is due, nothing that came is forgotten, and each piece is booked once', () => {
    const few = fc.integer({ min: 0, max: 12 })
    fc.assert(
      fc.property(few, few, few, fc.boolean(), (due, good, damaged, restGivenUp) => {
        const split = deliverySplit({ due, good, damaged, restGivenUp, wrong: '' })
        expect(split.goodDue + split.goodOver).toBe(good)
        expect(split.damagedDue + split.damagedOver).toBe(damaged)
        const against = split.goodDue + split.damagedDue
        expect(against).toBe(Math.min(due, good + damaged))
        expect(split.over).toBe(Math.max(0, good + damaged - due))
        expect(against + split.cancel).toBeLessThanOrEqual(due)
        if (restGivenUp) expect(against + split.cancel).toBe(due)
        for (const { quantity } of split.records) expect(quantity).toBeGreaterThan(0)
      }),
    )
  })
})

describe('the form of a delivery', () => {
  test('counts in packs where one is chosen: three boxes of 50 are 150, and half a box is none', () => {
    const fields: [string, string][] = [
      ['orderId', '9'],
      ['receive.21.each', '3'],
      ['pack.21', '50'],
      ['bin.21', '5'],
    ]
    expect(formAsRead(OrderReceiveForm, fields).lines).toEqual([{ lineId: 21, binId: 5, quantity: 150 }])
    fields[1] = ['receive.21.each', '2.5']
    expect(() => formAsRead(OrderReceiveForm, fields)).toThrow(
      expect.objectContaining({ fields: { 'receive.21.each': 'enter a whole number of packs' } }),
    )
  })

  test('keeps what was not as ordered, also on a line of which nothing came', () => {
    const { lines } = formAsRead(OrderReceiveForm, [
      ['orderId', '9'],
      ['receive.21.litre', ''],
      ['wrong.21.litre', 'hydraulic oil'],
      ['receive.22.each', '4'],
      ['bin.22', '5'],
      ['damaged.22.each', '1'],
      ['damagedBin.22', '7'],
      ['damage.22', 'crushed'],
      ['over.22.each', 'on'],
      ['receive.23.each', '0'],
      ['rest.23.each', 'on'],
    ])
    expect(lines).toHaveLength(3)
    expect(lines).toContainEqual({ lineId: 21, binId: 0, quantity: 0, wrong: 'hydraulic oil' })
    expect(lines).toContainEqual({
      lineId: 22,
      binId: 5,
      quantity: 4,
      damaged: 1,
      damage: 'crushed',
      damagedBinId: 7,
      keepOver: true,
    })
    expect(lines).toContainEqual({ lineId: 23, binId: 0, quantity: 0, restGivenUp: true })
  })
})
