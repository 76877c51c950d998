import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { serialBreakCovers, serialBreakSays, serialCompare } from '../../lib/catalogue/serial-break.ts'

fc.configureGlobal({ seed: 20260105 })

const number = fc.integer({ min: 0, max: 10_000_000 })
const prefix = fc.constantFrom('', 'TB', 'qb', 'T-')

// How parts lists print effectivity: both ends belong to the break. Common practice, no source.
const OLD_SEAL = { from: null, to: '1499' }
const NEW_SEAL = { from: '1500', to: null }

describe('a serial break', () => {
  test.each([
    ['1499', 'applies', 'not'],
    ['1500', 'not', 'applies'],
    ['01499', 'applies', 'not'],
    ['1', 'applies', 'not'],
    ['99999', 'not', 'applies'],
  ])('machine %s: the old seal %s, the new one %s', (serial, old, fresh) => {
    expect(serialBreakCovers(OLD_SEAL, serial)).toBe(old)
    expect(serialBreakCovers(NEW_SEAL, serial)).toBe(fresh)
  })

  test.each([
    ['TB899', 'not'],
    ['TB900', 'applies'],
    ['TB0900', 'applies'],
    ['TB1500', 'applies'],
    ['TB2000', 'applies'],
    ['TB2001', 'not'],
    ['tb 950', 'applies'],
    ['TB-950', 'applies'],
  ])('from TB0900 to TB2000, machine %s: %s', (serial, answer) => {
    expect(serialBreakCovers({ from: 'TB0900', to: 'TB2000' }, serial)).toBe(answer)
  })

  test('with leading zeros the borders stand where the numbers do: 0899 before, 0900 in', () => {
    expect(serialBreakCovers({ from: '0900', to: null }, '0899')).toBe('not')
    expect(serialBreakCovers({ from: '0900', to: null }, '0900')).toBe('applies')
    expect(serialBreakCovers({ from: '900', to: null }, '0900')).toBe('applies')
  })

  test.each([null, '', '   '])('a machine with serial number %j on file cannot be told', (serial) => {
    expect(serialBreakCovers(OLD_SEAL, serial)).toBe('unknown')
    expect(serialBreakCovers(NEW_SEAL, serial)).toBe('unknown')
  })

  test.each(['QB1600', 'TB16A', '1600', '—'])(
    'serial %s is of another kind than break TB1500: it cannot be told',
    (serial) => {
      expect(serialBreakCovers({ from: 'TB1500', to: null }, serial)).toBe('unknown')
    },
  )

  test('a line without a break applies to every machine, one without serial number too', () => {
    fc.assert(
      fc.property(fc.option(fc.string()), (serial) => {
        expect(serialBreakCovers({ from: null, to: null }, serial)).toBe('applies')
      }),
    )
  })

  test('two lines on both sides of one break never both apply, and one of them always does', () => {
    fc.assert(
      fc.property(prefix, number, number, (letters, border, serial) => {
        const before = serialBreakCovers({ from: null, to: `${letters}${border}` }, `${letters}${serial}`)
        const after = serialBreakCovers({ from: `${letters}${border + 1}`, to: null }, `${letters}${serial}`)
        expect([before, after].sort()).toEqual(['applies', 'not'])
        expect(before === 'applies').toBe(serial <= border)
      }),
    )
  })

  test('serial numbers compare as their numbers do, however many zeros are printed before them', () => {
    fc.assert(
      fc.property(prefix, number, number, fc.integer({ min: 0, max: 6 }), (letters, a, b, zeros) => {
        const order = serialCompare(`${letters}${'0'.repeat(zeros)}${a}`, `${letters}${b}`)
        expect(order).toBe(Math.sign(a - b))
      }),
    )
  })

  test('twenty digits are compared exactly, beyond the range of exact doubles', () => {
    expect(serialCompare('90071992547409930001', '90071992547409930002')).toBe(-1)
  })

  test('is printed as the list prints it', () => {
    expect(serialBreakSays(OLD_SEAL)).toBe('S/N up to 1499')
    expect(serialBreakSays(NEW_SEAL)).toBe('S/N from 1500')
    expect(serialBreakSays({ from: '1500', to: '1999' })).toBe('S/N 1500 to 1999')
    expect(serialBreakSays({ from: null, to: null })).toBe('')
  })
})
