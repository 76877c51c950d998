import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { askBolt, askGrease, askSplitPin, askWheel, typedNumber } from '../../lib/fastener/ask.ts'
import { bearingSize } from '../../lib/fastener/bearing-size.ts'
import { boltSheet, PROPERTY_CLASSES } from '../../lib/fastener/bolt-sheet.ts'

const bolt = { thread: '', propertyClass: '8.8', statedNm: '', statedState: 'dry', newState: 'anti-seize' } as const

describe('a split pin is asked for by what can be measured', () => {
  test('ISO 1234:1997: a bolt M16 takes a 4, a clevis pin of 20 mm a 5, a hole of 3.3 mm a 3.2', () => {
    expect(askSplitPin({ hole: '', thread: 'M16', clevis: '' }).nominalMm).toBe(4)
    expect(askSplitPin({ hole: '', thread: '16', clevis: '' }).nominalMm).toBe(4)
    expect(askSplitPin({ hole: '', thread: '', clevis: '20' }).nominalMm).toBe(5)
    expect(askSplitPin({ hole: '3,3', thread: '', clevis: '' }).nominalMm).toBe(3.2)
  })
  test('a measured hole rules over the thread', () => {
    expect(askSplitPin({ hole: '3.2', thread: 'M16', clevis: '' }).nominalMm).toBe(3.2)
  })
  test('nothing typed, and what is no measure, is said in words', () => {
    expect(() => askSplitPin({ hole: '', thread: ' ', clevis: '' })).toThrow('fastener/nothing-typed')
    expect(() => askSplitPin({ hole: 'wide', thread: '', clevis: '' })).toThrow('fastener/not-measured')
    expect(() => askSplitPin({ hole: '', thread: 'three eighths', clevis: '' })).toThrow('fastener/no-size')
  })
})

describe('a bolt', () => {
  test('ISO 898-1:2013: M10 class 8.8 has a stress area of 58 mm2 and a proof load of 33.7 kN', () => {
    const { sheet } = askBolt({ ...bolt, thread: 'm10' })
    expect(sheet?.stressAreaMm2).toBeCloseTo(58, 1)
    expect((sheet?.proofLoadN ?? 0) / 33_700).toBeCloseTo(1, 2)
  })
  test('VDI 2230 Part 1: M12 class 8.8 at friction 0.12 takes 84 N m, from memory of its tables', () => {
    expect((boltSheet('M12', '8.8').atYield?.torqueNm ?? 0) / 84).toBeCloseTo(1, 1)
  })
  test('120 N m dry is 72 N m with anti-seize: T x 0.12 / 0.20 (Shigley, Table 8-15)', () => {
    expect(askBolt({ ...bolt, statedNm: '120' }).treated?.torqueNm).toBeCloseTo(72, 9)
  })
  test('of any thread and class the range holds the torque, and paste asks for less than dry', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('M6', 'M8x1', 'M12', 'M20', 'M30', 'M42'),
        fc.constantFrom(...PROPERTY_CLASSES),
        (thread, propertyClass) => {
          const sheet = boltSheet(thread, propertyClass)
          for (const row of [...sheet.states, ...(sheet.atYield ? [sheet.atYield] : [])]) {
            expect(row.torqueNmMin).toBeLessThanOrEqual(row.torqueNm)
            expect(row.torqueNm).toBeLessThanOrEqual(row.torqueNmMax)
          }
          const of = (state: string) => sheet.states.find((row) => row.state === state)!.torqueNm
          expect(of('anti-seize')).toBeLessThan(of('dry'))
          expect(sheet.preloadN).toBeLessThan(sheet.proofLoadN)
        },
      ),
    )
  })
  test('a class that no table lists is refused', () => {
    expect(() => askBolt({ ...bolt, thread: 'M10', propertyClass: '9.9' })).toThrow('fastener/no-size')
  })
})

describe('wheel nuts and bearings', () => {
  test('the stages end at the full torque twice; eight studs and a half are no wheel', () => {
    expect(askWheel({ studs: '6', wheelNm: '300' }).stages?.map((stage) => stage.torqueNm)).toEqual([99, 201, 300, 300])
    expect(askWheel({ studs: '5', wheelNm: '' }).stages).toBeNull()
    expect(() => askWheel({ studs: '8.5', wheelNm: '' })).toThrow('fastener/not-measured')
    expect(() => askWheel({ studs: '', wheelNm: '300' })).toThrow('fastener/nothing-typed')
  })
  test('ISO 15: 6206 is 30 x 62 x 16 (from memory) and takes 5 g, G = 0.005 D B', () => {
    expect(bearingSize('6206-2RS C3')).toEqual({ boreMm: 30, outsideMm: 62, widthMm: 16 })
    expect(bearingSize('6003')).toEqual({ boreMm: 17, outsideMm: 35, widthMm: 10 })
    expect(askGrease({ bearing: '6206', outside: '', width: '' }).grams).toBeCloseTo(4.96, 9)
    expect(askGrease({ bearing: '', outside: '62', width: '16' }).grams).toBeCloseTo(4.96, 9)
  })
  test('a number that the table does not list asks for a measurement', () => {
    for (const bearing of ['6299', '62066', '30206', 'big one'])
      expect(() => askGrease({ bearing, outside: '', width: '' }), bearing).toThrow('fastener/no-size')
    expect(() => askGrease({ bearing: '', outside: '62', width: '' })).toThrow('fastener/nothing-typed')
  })
})

test('a number is read with point or comma, and nothing else passes for one', () => {
  expect(typedNumber(' 12,5 ', 'The hole', 'mm', 0.6, 40)).toBe(12.5)
  for (const bad of ['-3', '1e3', '41', '0', '12,5,1', 'NaN'])
    expect(() => typedNumber(bad, 'The hole', 'mm', 0.6, 40), bad).toThrow('fastener/not-measured')
})
