import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { tableCheck } from '../../lib/exchange/check.ts'
import { decimalSignsIn, decimalsNormal, decimalsUnsure } from '../../lib/exchange/decimals.ts'
import { tableRows } from '../../lib/exchange/read.ts'
import { formulaUnguard } from '../../lib/exchange/read-csv.ts'
import { csvLines, formulaGuard } from '../../lib/exchange/write-csv.ts'
import { bytes, cellsOf, refusalOf, utf16 } from './files.ts'

const TEXT = 'maker;number;cost\r\nBöhm;Ä-1;12,50\r\n'
const CELLS = [
  ['maker', 'number', 'cost'],
  ['Böhm', 'Ä-1', '12,50'],
]

describe('CSV', () => {
  it.each([
    ['UTF-8', bytes(TEXT)],
    ['UTF-8 with its mark', bytes(`\ufeff${TEXT}`)],
    ['UTF-16, little end first', utf16(TEXT, 'le')],
    ['UTF-16, big end first', utf16(TEXT, 'be')],
    ['UTF-16 without its mark', utf16(TEXT, 'le', false)],
    ['UTF-16, big end first, without its mark', utf16(TEXT, 'be', false)],
    // Windows-1252 and Latin-1 agree on ö and Ä.
    ['Windows-1252', new Uint8Array(Buffer.from(TEXT, 'latin1'))],
  ])('%s is read alike', async (_, file) => {
    expect(await cellsOf(file)).toEqual(CELLS)
  })

  it('0x80 is the euro sign in Windows-1252 (WHATWG Encoding, index windows-1252)', async () => {
    expect((await cellsOf(new Uint8Array([0x61, 0x0a, 0x80, 0xe9])))[1]).toEqual(['€é'])
  })

  it.each([
    ['semicolon, with decimal commas', 'a;b\n1,5;2,5\n3,5;4,5\n', ['1,5', '2,5']],
    ['comma, with quoted decimal commas', 'a,b\n"1,5","2,5"\n', ['1,5', '2,5']],
    ['tab', 'a\tb\n1,5\tx;y\n', ['1,5', 'x;y']],
    ['bar', 'a|b\n1,5|2\n', ['1,5', '2']],
    ['what the first line says', 'sep=,\r\na;x,b\r\n1;2,3\r\n', ['1;2', '3']],
  ])('cells are told apart by %s', async (_, text, row) => {
    expect((await cellsOf(bytes(text)))[1]).toEqual(row)
  })

  it('cells hold quotation marks, separators and line breaks (RFC 4180, section 2)', async () => {
    const text = 'a,b\r\n"says ""no""","one\r\ntwo, three"\r\nlast,row\r\n'
    expect(await cellsOf(bytes(text))).toEqual([
      ['a', 'b'],
      ['says "no"', 'one\r\ntwo, three'],
      ['last', 'row'],
    ])
    const rows: number[] = []
    for await (const { row } of tableRows(bytes(text), 'list')) rows.push(row)
    expect(rows, 'a row is named by the line it begins on').toEqual([1, 2, 4])
  })

  it.each([
    ['a,b\n1,2\n3,"4\n5,6\n', /row \d.*never closed/],
    ['a,b\n1,2\n3,"4"x\n', /row 3.*middle of a cell/],
    ['a,b\n1,2\n3,4"x\n', /row 3.*middle of a cell/],
  ])('a stray quotation mark in %j is refused with its line', async (text, words) => {
    expect(await refusalOf(bytes(text))).toMatch(words)
  })

  it.each([
    ['a web page', '<!DOCTYPE html><html><table><tr><td>a</td></tr></table></html>', /web page/],
    ['a web page of a spreadsheet program', '\ufeff  <html xmlns:x="urn"><body>', /web page/],
    ['XML', '<?xml version="1.0"?><dmodule/>', /XML/],
    ['a PDF', '%PDF-1.7\n', /PDF/],
    ['nothing', '', /empty/],
  ])('%s called a list is refused with what to do', async (_, text, words) => {
    expect(await refusalOf(bytes(text))).toMatch(words)
  })

  it('a spreadsheet of the old kind is refused with what to do', async () => {
    expect(await refusalOf(new Uint8Array([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1]))).toMatch(/save it as XLSX or CSV/)
  })
})

describe('a text that a spreadsheet would run', () => {
  // The signs are those of the OWASP page on CSV injection, from memory.
  it.each(['=1+1', '+4930', '-12', '@SUM(A1)', '\tx', '\rx', "'=x", "''@"])(
    '%j is made harmless and comes back',
    (text) => {
      expect(formulaGuard(text)).toBe(`'${text}`)
      expect(formulaUnguard(formulaGuard(text))).toBe(text)
    },
  )

  it.each(['plain', "'tis", "'", '', 'a=b', '12'])('%j is left as it is', (text) => {
    expect(formulaGuard(text)).toBe(text)
    expect(formulaUnguard(text)).toBe(text)
  })

  it('in a file: written with an apostrophe, read without', async () => {
    const text = csvLines([['a'], [formulaGuard('=HYPERLINK("x")')]])
    expect(text).toContain(`"'=HYPERLINK(""x"")"`)
    expect((await cellsOf(bytes(text)))[1]).toEqual(['=HYPERLINK("x")'])
  })
})

describe('decimal signs', () => {
  const signs = (...numbers: string[]) => {
    const found = { point: false, comma: false }
    for (const number of numbers) decimalSignsIn(number, found)
    return found
  }

  it('a comma before three digits is not guessed: fifteen hundred or one and a half', () => {
    expect(decimalsNormal('1,500', signs('1,500', '2'))).toBeNull()
    expect(decimalsNormal('1,500', signs('1,500', '2.50'))).toBeNull()
    expect(decimalsNormal('1,500', signs('1,500', '2,5'))).toBe('1.500')
  })

  it('a point before three digits is a decimal point, unless the file writes decimals with a comma', () => {
    expect(decimalsNormal('1.500', signs('1.500'))).toBe('1.500')
    expect(decimalsNormal('1.500', signs('1.500', '2,5'))).toBeNull()
  })

  it('a number that is not in doubt is the same number whatever the rest of the file is (2,000 seeded cells)', () => {
    const digits = fc.string({ unit: fc.constantFrom(...'0123456789'), minLength: 1, maxLength: 4 })
    const sign = fc.constantFrom(',', '.', ' ', "'", '')
    const cell = fc.tuple(digits, sign, digits, sign, digits).map((pieces) => pieces.join(''))
    const every = [signs(), signs('2.5'), signs('2,5'), signs('2.5', '2,5')]
    fc.assert(
      fc.property(cell, (written) => {
        const read = new Set(every.map((found) => decimalsNormal(written, found)))
        if (!decimalsUnsure(written)) expect([...read]).toHaveLength(1)
      }),
      { numRuns: 2000, seed: 4125 },
    )
    expect(decimalsUnsure('1.500') && decimalsUnsure('1,500')).toBe(true)
  })

  it('the last row may show what the first one means', async () => {
    const check = (last: string) => {
      const file = bytes(`store;bin;number;quantity\nBarn;A;N-1;1,500\nBarn;A;N-2;7\nBarn;A;N-3;${last}\n`)
      return tableCheck('stock', () => tableRows(file, 'list'), {}, 'list')
    }
    const shown = await check('2,5')
    expect(shown.rows.map(({ values }) => values.quantity)).toEqual(['1.500', '7', '2.5'])
    const dark = await check('2')
    expect([dark.count, dark.rows.length]).toEqual([3, 2])
    expect(dark.refusals).toEqual([
      { row: 2, column: 'quantity', reason: expect.stringContaining('may be thousands or decimals') },
    ])
  })

  it.each([
    ['1,234.50', '1234.50'],
    ['1.234,50', '1234.50'],
    ['1 234,50', '1234.50'],
    ['1,234,567', '1234567'],
    ['12,5', '12.5'],
    ['12.0', '12'],
    ['12', '12'],
    ['about 3', 'about 3'],
    ['-3', '-3'],
  ])('%s is %s whatever else is in the file', (written, read) => {
    expect(decimalsNormal(written, signs())).toBe(read)
  })
})
