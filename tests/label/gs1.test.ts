import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { gs1CheckDigit, gs1CheckHolds, gtin14, upceExpand } from '../../lib/label/gs1-check.ts'
import { GROUP_SEPARATOR as GS, gs1Date, gs1Read } from '../../lib/label/gs1-element.ts'

const digits = (length: number) =>
  fc.array(fc.integer({ min: 0, max: 9 }), { minLength: length, maxLength: length }).map((all) => all.join(''))

describe('check digits', () => {
  test('a wrong digit anywhere shows', () => {
    fc.assert(
      fc.property(digits(13), fc.nat(12), fc.integer({ min: 1, max: 9 }), (payload, at, more) => {
        const code = payload + gs1CheckDigit(payload)
        expect(gs1CheckHolds(code)).toBe(true)
        const wrong = String((Number(code[at]) + more) % 10)
        expect(gs1CheckHolds(code.slice(0, at) + wrong + code.slice(at + 1))).toBe(false)
      }),
    )
  })
  test('a GTIN is the same with zeros before it', () => {
    // 4006381333931: worked example of the check digit, GS1 General Specifications, section 7.9.
    expect(gtin14('4006381333931')).toBe('04006381333931')
    expect(gtin14('04006381333931')).toBe('04006381333931')
    expect(gtin14('4006381333932')).toBeNull()
    expect(gtin14('406381333')).toBeNull()
  })
  test('the last digit of a short code says where its zeros go', () => {
    fc.assert(
      fc.property(digits(6), (six) => {
        const found = [...'0123456789'].map((check) => upceExpand(`0${six}${check}`)).filter((one) => one !== null)
        expect(found).toHaveLength(1)
        expect(found[0]).toHaveLength(12)
      }),
    )
    // By the zero suppression rules of the GS1 General Specifications, section 5.2.2.4: one of each rule, payload from memory.
    for (const [six, eleven] of [
      ['123450', '01200000345'],
      ['123451', '01210000345'],
      ['123453', '01230000045'],
      ['123454', '01234000005'],
      ['123459', '01234500009'],
    ] as const)
      expect(upceExpand(`0${six}${gs1CheckDigit(eleven)}`)).toBe(eleven + gs1CheckDigit(eleven))
  })
})

describe('element strings', () => {
  // GTIN 09506000134352 is the example number of the GS1 General Specifications, from memory.
  const GTIN = '09506000134352'
  test('elements of fixed length need no separator, others end at it', () => {
    expect(gs1Read(`01${GTIN}1728020010AB-7${GS}21X9${GS}30 4`.replace(' ', ''), 2026)).toEqual({
      elements: [
        { ai: '01', says: 'GTIN', value: GTIN },
        { ai: '17', says: 'expires on', value: '2028-02-29' },
        { ai: '10', says: 'batch', value: 'AB-7' },
        { ai: '21', says: 'serial number', value: 'X9' },
        { ai: '30', says: 'count of pieces', value: '4' },
      ],
    })
  })
  test('what is printed under the symbol reads like the symbol', () => {
    expect(gs1Read(`(01)${GTIN}(240)DM60-14(37)12`, 2026)).toEqual(gs1Read(`01${GTIN}240DM60-14${GS}3712`, 2026))
    expect(gs1Read('(241)K 7(10)5', 2026)).toEqual({ fault: expect.stringContaining('sign that is not allowed') })
  })
  test('a measure has its decimal point where its identifier says', () => {
    const read = gs1Read('3103001250', 2026)
    expect(read).toEqual({ elements: [{ ai: '3103', says: 'net weight, kg', value: '1.250' }] })
  })
  test.each([
    ['', 'nothing was read'],
    [`01${GTIN.slice(0, -1)}9`, 'check digit of the GTIN (01) is wrong'],
    ['010950600', 'GTIN (01) has 14 signs, not 7'],
    ['17260231', 'expires on (17) is no date'],
    ['7001234', '7001 is no application identifier'],
    [`10${'A'.repeat(21)}`, 'batch (10) has at most 20 signs'],
    [`10${GS}21A`, 'batch (10) is empty'],
    ['37AB', 'digits only'],
    [`10A${GS}10B`, 'is there twice: A and B'],
    ['00376104250021234567', 'check digit of the serial shipping container code'],
  ])('%j is refused: %s', (text, fault) => {
    expect(gs1Read(text, 2026)).toEqual({ fault: expect.stringContaining(fault) })
  })
  test('whatever elements are put together come apart again', () => {
    const value = fc.stringMatching(/^[A-Z0-9./-]{1,20}$/)
    const element = fc.tuple(fc.constantFrom('10', '21', '22', '243'), value)
    fc.assert(
      fc.property(fc.uniqueArray(element, { minLength: 1, maxLength: 4, selector: ([ai]) => ai }), (all) => {
        const read = gs1Read(all.map(([ai, text]) => `${ai}${text}`).join(GS), 2026)
        expect('elements' in read && read.elements.map(({ ai, value }) => [ai, value])).toEqual(all)
      }),
    )
  })
  test('no text makes it fall over', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 60 }), (text) => {
        const read = gs1Read(text, 2026)
        expect('fault' in read ? read.fault : read.elements.length).toBeTruthy()
      }),
    )
  })
})

describe('dates', () => {
  // GS1 General Specifications, section 7.12: 51 or more ahead is the century before, 50 or more behind the next one.
  test.each([
    ['770101', 2026, '1977-01-01'],
    ['760101', 2026, '2076-01-01'],
    ['260101', 2026, '2026-01-01'],
    ['490615', 2099, '2149-06-15'],
    ['500615', 2099, '2050-06-15'],
  ])('%s in %i is %s', (text, year, day) => {
    expect(gs1Date(text, year)).toBe(day)
  })
  test('day 00 is the last of the month, leap years counted', () => {
    expect(gs1Date('240200', 2026)).toBe('2024-02-29')
    expect(gs1Date('270200', 2026)).toBe('2027-02-28')
    expect(gs1Date('271300', 2026)).toBeNull()
    expect(gs1Date('270431', 2026)).toBeNull()
  })
})
