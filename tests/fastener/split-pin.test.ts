import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import castle from '../../lib/fastener/castle-nut.json'
import { castleNutSplitPin } from '../../lib/fastener/castle-nut.ts'
import clevis from '../../lib/fastener/clevis-pin.json'
import { clevisPinSize } from '../../lib/fastener/clevis-pin.ts'
import {
  SPLIT_PIN_SIZES,
  splitPinForBolt,
  splitPinForClevis,
  splitPinForHole,
  splitPinForJoint,
  splitPinLength,
  splitPinSize,
  splitPinText,
} from '../../lib/fastener/split-pin.ts'

describe('split pins (ISO 1234:1997)', () => {
  test('a 6.3 mm hole takes a 6.3, and a hair less takes a 5', () => {
    expect(splitPinForHole(6.3).nominalMm).toBe(6.3)
    expect(splitPinForHole(6.29).nominalMm).toBe(5)
  })

  // ISO 1234: bolts over 14 up to and including 20 take a 4; clevis pins over 17 up to 23 take a 5.
  test('the upper limit belongs to the smaller pin, for bolts and for clevis pins', () => {
    expect([splitPinForBolt(20).nominalMm, splitPinForBolt(20.01).nominalMm]).toEqual([4, 5])
    expect([splitPinForClevis(23).nominalMm, splitPinForClevis(23.01).nominalMm]).toEqual([5, 6.3])
    expect(splitPinForBolt(500).nominalMm).toBe(20)
  })

  test('a clevis pin never takes a thinner split pin than a bolt of its diameter', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 250, noNaN: true }), (mm) => {
        expect(splitPinForClevis(mm).nominalMm).toBeGreaterThanOrEqual(splitPinForBolt(mm).nominalMm)
      }),
      { seed: 51 },
    )
  })

  test('every body is thinner than its hole and every head is wider than it', () => {
    for (const size of SPLIT_PIN_SIZES) {
      expect(size.bodyMmMin).toBeLessThan(size.bodyMmMax)
      expect(size.bodyMmMax).toBeLessThan(size.nominalMm)
      expect(size.headMmMin).toBeGreaterThan(size.nominalMm)
      expect(size.headMmMin).toBeLessThan(size.headMmMax)
    }
  })

  test('castle nuts of DIN 935 and clevis pins of ISO 2341 take the split pin that ISO 1234 gives their diameter', () => {
    for (const nut of castle.sizes) {
      expect(nut.splitPinMm, `M${nut.threadMm}`).toBe(splitPinForBolt(nut.threadMm).nominalMm)
      expect(splitPinLength(nut.splitPinMm, nut.splitPinLengthMm), `M${nut.threadMm}`).toBe(nut.splitPinLengthMm)
      expect(nut.slotMmMin, `M${nut.threadMm}`).toBeGreaterThanOrEqual(nut.splitPinMm)
    }
    for (const pin of clevis.sizes)
      expect(pin.splitPinHoleMm, `${pin.pinMm}`).toBe(splitPinForClevis(pin.pinMm).nominalMm)
  })

  test('lengths go up to the next standard one and stop at the longest of the size', () => {
    expect([splitPinLength(4, 28), splitPinLength(4, 28.1), splitPinLength(4, 5), splitPinLength(4, 81)]).toEqual([
      28,
      32,
      18,
      null,
    ])
  })

  test('a measured hole rules over the thread; the length is that of the castle nut', () => {
    expect(splitPinForJoint({ thread: 'M16x1.5' })).toMatchObject({ nominalMm: 4, lengthMm: 28 })
    expect(splitPinForJoint({ thread: 'M16', holeMm: 3.3 })).toMatchObject({
      nominalMm: 3.2,
      lengthMm: 28,
      from: 'hole of 3.3 mm',
    })
    expect(splitPinForJoint({ clevisPinMm: 16 })).toMatchObject({ nominalMm: 4, lengthMm: 25 })
    expect(splitPinForJoint({ holeMm: 5 })).toMatchObject({ nominalMm: 5, lengthMm: null })
    expect(splitPinForJoint({})).toBeNull()
  })

  test('it is asked for by size x length', () => {
    expect(splitPinText({ nominalMm: 4, lengthMm: 28 })).toBe('split pin 4 x 28, ISO 1234')
    expect(splitPinText({ nominalMm: 5, lengthMm: null })).toBe('split pin 5 mm, length to suit, ISO 1234')
  })

  test('sizes outside the standard are refused, not guessed', () => {
    for (const run of [
      () => splitPinForHole(0.5),
      () => splitPinForBolt(0),
      () => splitPinForClevis(Number.NaN),
      () => splitPinSize(3),
      () => clevisPinSize(11),
    ]) {
      expect(run).toThrow(/fastener\/no-size/)
    }
    expect(castleNutSplitPin(11)).toBeNull()
  })
})
