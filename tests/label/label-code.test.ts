import fc from 'fast-check'
import { expect, test } from 'vitest'
import { check97, check97Holds, LABEL_KINDS, labelCode, labelCodeRead } from '../../lib/label/label-code.ts'
import { scannedRead } from '../../lib/label/scanned.ts'

const kind = fc.constantFrom(...LABEL_KINDS)
const id = fc.integer({ min: 1, max: 9_999_999_999 })

test('the check digits are those of ISO/IEC 7064', () => {
  // The account number of the example in ISO 13616, whose check digits 82 are MOD 97-10 over the rest with GB behind it; from memory.
  expect(check97('WEST12345698765432GB')).toBe('82')
  expect(check97Holds('WEST12345698765432GB82')).toBe(true)
  // ISO/IEC 7064, 794 has the check digits 44: the example of the standard, from memory.
  expect(check97('794')).toBe('44')
})

test('a label says what it is stuck to, in capitals and digits, also through a keyboard with its capitals turned', () => {
  fc.assert(
    fc.property(kind, id, (one, row) => {
      const text = labelCode(one, row)
      expect(text).toMatch(/^[A-Z0-9]{5,14}$/)
      expect(labelCodeRead(text)).toEqual({ kind: one, id: row })
      expect(labelCodeRead(text.toLowerCase())).toEqual({ kind: one, id: row })
      expect(scannedRead(`]Q1${text}\r`, 2026)).toEqual({ is: 'label', kind: one, id: row })
    }),
  )
})

test('a wrong or swapped digit never leads to another bin', () => {
  fc.assert(
    fc.property(kind, id, fc.nat(11), fc.integer({ min: 1, max: 9 }), (one, row, place, more) => {
      const text = labelCode(one, row)
      const at = 2 + (place % (text.length - 2))
      const wrong = text.slice(0, at) + String((Number(text[at]) + more) % 10) + text.slice(at + 1)
      expect(['spoiled', null]).toContain(labelCodeRead(wrong))
      if (at + 1 < text.length && text[at] !== text[at + 1]) {
        const swapped = text.slice(0, at) + text[at + 1] + text[at] + text.slice(at + 2)
        expect(['spoiled', null]).toContain(labelCodeRead(swapped))
      }
    }),
  )
})

test('a part number stays a part number', () => {
  for (const text of ['DM60-1437', 'CB', 'CBX12', '12-4471', 'CM0145'])
    expect(scannedRead(text, 2026)).toEqual({ is: 'text', text, spoiled: false })
})

test('a label with a wrong digit is told apart from a number nobody knows', () => {
  const good = labelCode('machine', 14)
  const bad = `${good.slice(0, -1)}${(Number(good.at(-1)) + 1) % 10}`
  expect(scannedRead(bad, 2026)).toEqual({ is: 'text', text: bad, spoiled: true })
})

test('a code of the maker is read by its symbol, or by its check digit where the scanner leaves the symbol out', () => {
  // GTIN 09506000134352: example number of the GS1 General Specifications, from memory.
  expect(scannedRead(']C10109506000134352', 2026)).toMatchObject({ is: 'gs1', elements: [{ ai: '01' }] })
  expect(scannedRead('010950600013435210AB', 2026)).toMatchObject({
    is: 'gs1',
    elements: [{ ai: '01' }, { value: 'AB' }],
  })
  expect(scannedRead('(241)DM60-14', 2026)).toMatchObject({ is: 'gs1', elements: [{ ai: '241', value: 'DM60-14' }] })
  expect(scannedRead(']E09506000134352', 2026)).toEqual({ is: 'gtin', gtin: '09506000134352' })
  expect(scannedRead('9506000134352', 2026)).toEqual({ is: 'gtin', gtin: '09506000134352' })
  // Eight digits without their symbol may be a part number; with it they are the short form of 001234000057.
  expect(scannedRead('00123457', 2026)).toMatchObject({ is: 'text' })
  expect(scannedRead(']E000123457', 2026)).toEqual({ is: 'gtin', gtin: '00001234000057' })
  expect(scannedRead(']C10109506000134359', 2026)).toMatchObject({
    is: 'broken',
    why: expect.stringContaining('check digit'),
  })
})

test('an empty code and a long text say so', () => {
  expect(scannedRead('\r\n', 2026)).toMatchObject({ is: 'broken', why: expect.stringContaining('Nothing was read') })
  expect(scannedRead('x'.repeat(301), 2026)).toMatchObject({ is: 'broken', why: expect.stringContaining('long text') })
})
