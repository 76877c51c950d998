import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { serialPair } from '../../lib/catalogue/serial-pair.ts'

fc.configureGlobal({ seed: 20260105 })

describe('two serial numbers side by side', () => {
  test.each([
    [null, '1499', 'first'],
    ['1500', null, 'second'],
    [null, null, 'both'],
    ['1200', '1600', 'both'],
    ['1300', '1500', 'neither'],
    ['1601', null, 'neither'],
    // Both ends of a break belong to it.
    [null, '1200', 'first'],
    ['1600', null, 'second'],
  ] as const)('a line from %s up to %s is on %s of the machines 1200 and 1600', (from, to, expected) => {
    expect(serialPair([{ from, to }], '1200', '1600')).toBe(expected)
  })

  test('a number of another make-up, or none, cannot be set against the break', () => {
    expect(serialPair([{ from: '1500', to: null }], 'TB1600', '1600')).toBe('unknown')
    expect(serialPair([{ from: '1500', to: null }], '1600', null)).toBe('unknown')
    expect(serialPair([{ from: null, to: null }], null, null)).toBe('both')
  })

  test('changing the machines round changes first and second round, and nothing else', () => {
    const serial = fc.option(fc.integer({ min: 1, max: 3000 }).map(String))
    const round = { first: 'second', second: 'first', both: 'both', neither: 'neither', unknown: 'unknown' } as const
    fc.assert(
      fc.property(serial, serial, serial, serial, (from, to, one, other) => {
        expect(serialPair([{ from, to }], other, one)).toBe(round[serialPair([{ from, to }], one, other)])
      }),
    )
  })
})
