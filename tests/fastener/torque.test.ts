import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { greaseGrams, greaseOunces } from '../../lib/fastener/grease.ts'
import { lockingNutDue, lockingNutLimits } from '../../lib/fastener/locking-nut.ts'
import { propertyClassStrength } from '../../lib/fastener/property-class.ts'
import { threadParse, threadPitchDiameterMm, threadRootDiameterMm } from '../../lib/fastener/thread.ts'
import { boltTightening } from '../../lib/fastener/tightening.ts'
import { nutFactor, torqueForTreatment, torqueSettingNm, torqueWithExtensionNm } from '../../lib/fastener/torque.ts'
import { wheelNutSequence, wheelNutStages } from '../../lib/fastener/wheel-nut-sequence.ts'

describe('threads and torque', () => {
  // ISO 724: M16 has d2 14.701 and d3 13.546 (ISO 898-1 root), from memory.
  test('M16 means pitch 2; M16x1.5 is fine; pitch and root diameter are those of ISO 724', () => {
    expect(threadParse('M16')).toEqual({ diameterMm: 16, pitchMm: 2, coarse: true })
    expect(threadParse('m16 x 1.5')).toEqual({ diameterMm: 16, pitchMm: 1.5, coarse: false })
    expect(threadPitchDiameterMm(threadParse('M16'))).toBeCloseTo(14.701, 3)
    expect(threadRootDiameterMm(threadParse('M16'))).toBeCloseTo(13.546, 3)
    for (const text of ['16', 'M', 'M11', 'M6x6', 'G1/2'])
      expect(() => threadParse(text), text).toThrow(/fastener\/no-size/)
  })

  test('8.8 is stronger over 16 mm, and an unknown class is refused', () => {
    expect([propertyClassStrength('8.8', 16).proofMPa, propertyClassStrength('8.8', 18).proofMPa]).toEqual([580, 600])
    expect(() => propertyClassStrength('9.9', 10)).toThrow(/fastener\/no-size/)
  })

  test('120 N m dry is about 72 with anti-seize, somewhere between 53 and 107', () => {
    const treated = torqueForTreatment(120, 'dry', 'anti-seize')
    expect(treated.torqueNm).toBeCloseTo(72, 6)
    expect(Math.round(treated.torqueNmMin)).toBe(53)
    expect(Math.round(treated.torqueNmMax)).toBe(107)
    expect(torqueForTreatment(85, 'oiled', 'oiled')).toMatchObject({ torqueNm: 85, torqueNmMin: 85, torqueNmMax: 85 })
  })

  test('treating and cleaning again gives the first torque back, and grease never asks for more than dry', () => {
    const states = fc.constantFrom('dry', 'oiled', 'anti-seize', 'thread-lock') as fc.Arbitrary<
      'dry' | 'oiled' | 'anti-seize' | 'thread-lock'
    >
    fc.assert(
      fc.property(fc.double({ min: 1, max: 2000, noNaN: true }), states, states, (nm, from, to) => {
        const there = torqueForTreatment(nm, from, to)
        expect(torqueForTreatment(there.torqueNm, to, from).torqueNm).toBeCloseTo(nm, 6)
        expect(there.torqueNmMin).toBeLessThanOrEqual(there.torqueNm)
        expect(there.torqueNmMax).toBeGreaterThanOrEqual(there.torqueNm)
        expect(torqueForTreatment(nm, 'dry', to).torqueNm).toBeLessThanOrEqual(nm)
      }),
      { seed: 61 },
    )
    expect(nutFactor('thread-lock').source).toContain('common practice')
  })

  test('an extension on the wrench is set back by the same share it adds', () => {
    expect(torqueWithExtensionNm(torqueSettingNm(90, 400, 540), 400, 540)).toBeCloseTo(90, 9)
    expect(torqueSettingNm(90, 400, 540)).toBeLessThan(90)
  })

  test('more friction leaves less preload for more torque; a head nobody tabulated is refused', () => {
    const bolt = (friction: number) =>
      boltTightening({
        propertyClass: '8.8',
        thread: threadParse('M12'),
        frictionThread: friction,
        frictionHead: friction,
      })
    expect(bolt(0.14).preloadN).toBeLessThan(bolt(0.1).preloadN)
    expect(bolt(0.14).torqueNm).toBeGreaterThan(bolt(0.1).torqueNm)
    expect(() =>
      boltTightening({ propertyClass: '8.8', thread: threadParse('M64'), frictionThread: 0.1, frictionHead: 0.1 }),
    ).toThrow(/no-size/)
  })
})

describe('grease, wheel nuts, locking nuts', () => {
  // 1 oz = 28.349523125 g, 1 in = 25.4 mm, both exact.
  test('grams and ounces of grease agree within a per cent', () => {
    expect((greaseOunces(80 / 25.4, 18 / 25.4) * 28.349523125) / greaseGrams(80, 18)).toBeCloseTo(1, 2)
  })

  test('each stud is tightened once; from five studs on, never one beside the last', () => {
    for (let studs = 2; studs <= 40; studs++) {
      const sequence = wheelNutSequence(studs)
      expect([...sequence].sort((a, b) => a - b)).toEqual(Array.from({ length: studs }, (_, i) => i + 1))
      if (studs < 5) continue
      for (let i = 1; i < studs; i++) {
        const gap = Math.abs(sequence[i]! - sequence[i - 1]!)
        expect(Math.min(gap, studs - gap), `${studs} studs: ${sequence.join(' ')}`).toBeGreaterThan(1)
      }
    }
    expect(() => wheelNutSequence(1)).toThrow(RangeError)
  })

  test('with an even number of studs the second is the one across', () => {
    for (const studs of [4, 6, 8, 10, 12]) expect(wheelNutSequence(studs).slice(0, 2)).toEqual([1, 1 + studs / 2])
  })

  test('wheel nuts go a third, two thirds, full, and once round at full', () => {
    expect(wheelNutStages(210).map((stage) => stage.torqueNm)).toEqual([69, 141, 210, 210])
  })

  test('a prevailing torque nut on a brake is due after one removal, elsewhere by feel', () => {
    expect([
      lockingNutDue(0, true),
      lockingNutDue(1, true),
      lockingNutDue(1, true, 2),
      lockingNutDue(7, false),
    ]).toEqual([false, true, false, null])
    expect(lockingNutLimits('plastic-insert').celsiusMax).toBeLessThan(lockingNutLimits('all-metal').celsiusMax)
  })
})
