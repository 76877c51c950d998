import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { deflateRawSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { tableRows } from '../../lib/exchange/read.ts'
import { serialDate } from '../../lib/exchange/read-xlsx.ts'
import { xlsxBytes } from '../../lib/exchange/write-xlsx.ts'
import { formatShowsDate } from '../../lib/exchange/xlsx-workbook.ts'
import { bytes, cellsOf, collected, refusalOf, xlsxOf, zipOf } from './files.ts'

const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main'

describe('XLSX', () => {
  it('shared, inline and rich text, numbers, truth values and the last result of a formula are read as a person sees them', async () => {
    const file = await xlsxOf(
      `<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c><c r="D1" t="inlineStr"><is><t>in line</t></is></c></row>
       <row r="3"><c r="A3"><v>1.0000000000000001E-2</v></c><c r="B3" t="b"><v>1</v></c><c r="C3" t="str"><f>A1&amp;"x"</f><v>0012</v></c><c r="D3"><f>0.1+0.2</f><v>0.30000000000000004</v></c></row>`,
      {
        'xl/sharedStrings.xml': `<sst xmlns="${MAIN}"><si><t>one</t></si><si><r><t>ri</t></r><r><t xml:space="preserve">ch &amp; bold</t></r><rPh sb="0" eb="1"><t>no</t></rPh></si></sst>`,
      },
    )
    expect(await cellsOf(file)).toEqual([
      ['one', 'rich & bold', '', 'in line'],
      ['0.01', 'yes', '0012', '0.3'],
    ])
    const rows: number[] = []
    for await (const { row } of tableRows(file, 'list')) rows.push(row)
    expect(rows, 'rows are named as the spreadsheet names them').toEqual([1, 3])
  })

  // Day numbers as ECMA-376 part 1, 18.17.4.1 defines them: 1 January 1900 is 1, and 29 February 1900 counts though it never was.
  it.each([
    [1, false, '1900-01-01'],
    [59, false, '1900-02-28'],
    [61, false, '1900-03-01'],
    [43831, false, '2020-01-01'],
    [43831.5, false, '2020-01-01T12:00'],
    [0, true, '1904-01-01'],
  ])('day %d (from 1904: %s) is %s', (serial, from1904, date) => {
    expect(serialDate(serial, from1904)).toBe(date)
  })

  it.each([
    ['yyyy\\-mm\\-dd', true],
    ['[$-407]d/ mmm/', true],
    ['0.00 "days"', false],
    ['[Red]#,##0', false],
    ['General', false],
    ['hh:mm', true],
  ])('a cell in the format %s shows a date: %s', (code, shows) => {
    expect(formatShowsDate(code)).toBe(shows)
  })

  it('a cell that the spreadsheet made a date of is marked, so that the part number 1-2 is not lost without a word', async () => {
    const file = await xlsxOf('<row r="1"><c r="A1" s="1"><v>43832</v></c><c r="B1" s="0"><v>43832</v></c></row>', {
      'xl/styles.xml': `<styleSheet xmlns="${MAIN}"><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/></cellXfs></styleSheet>`,
    })
    for await (const row of tableRows(file, 'list'))
      expect(row).toMatchObject({ cells: ['2020-01-02', '43832'], dates: [0] })
  })

  it('text stays text: a leading zero, a formula and a sign that XML cannot hold come back as they were', async () => {
    const rows = async function* () {
      yield ['0012', '12.5']
      yield ['=1+1 <&> "x"', '']
      yield ['_x0041_ \u0007 a\r\nb', '0']
    }
    const columns = [
      { name: 'text', numeric: false },
      { name: 'number', numeric: true },
    ]
    expect(await cellsOf(await collected(xlsxBytes('Parts', columns, rows())))).toEqual([
      ['text', 'number'],
      ['0012', '12.5'],
      ['=1+1 <&> "x"'],
      ['_x0041_ \u0007 a\r\nb', '0'],
    ])
  })

  it('another program unpacks what is written here without a complaint', async (context) => {
    const folder = mkdtempSync(join(tmpdir(), 'cotterbook-xlsx-'))
    try {
      writeFileSync(join(folder, 'a.xlsx'), await xlsxOf('<row r="1"><c r="A1"><v>7</v></c></row>'))
      try {
        execFileSync('unzip', ['-v'], { stdio: 'ignore' })
      } catch {
        return context.skip('the program unzip is not on this machine')
      }
      expect(execFileSync('unzip', ['-t', join(folder, 'a.xlsx')], { encoding: 'utf8' })).toContain(
        'No errors detected',
      )
    } finally {
      rmSync(folder, { recursive: true, force: true })
    }
  })
})

/** An archive of one stored or packed entry whose header says what it likes. */
function zipSaying(entry: { name: string; content: Buffer; unpacked: number }): Uint8Array {
  const packed = deflateRawSync(entry.content)
  const name = Buffer.from(entry.name)
  const head = Buffer.alloc(26)
  head.writeUInt16LE(20, 0)
  head.writeUInt16LE(8, 4)
  head.writeUInt32LE(packed.length, 14)
  head.writeUInt32LE(entry.unpacked, 18)
  head.writeUInt16LE(name.length, 22)
  const local = Buffer.concat([Buffer.from('PK\x03\x04', 'latin1'), head, name, packed])
  const central = Buffer.concat([Buffer.from('PK\x01\x02\x14\x00', 'latin1'), head, Buffer.alloc(14), name])
  const end = Buffer.alloc(18)
  end.writeUInt16LE(1, 4)
  end.writeUInt16LE(1, 6)
  end.writeUInt32LE(central.length, 8)
  end.writeUInt32LE(local.length, 12)
  return new Uint8Array(Buffer.concat([local, central, Buffer.from('PK\x05\x06', 'latin1'), end]))
}

describe('archives that mean harm are refused before they are unpacked', () => {
  it('a name that leads out of the archive', async () => {
    for (const name of ['../evil.xml', '/etc/evil.xml', 'a/../../b', 'C:/x', 'a\\b'])
      expect(await refusalOf(await zipOf({ [name]: '<a/>' })), name).toMatch(/damaged/)
  })

  it('a part that unpacks to a thousand times its size', async () => {
    const content = Buffer.alloc(20_000_000)
    expect(await refusalOf(zipSaying({ name: 'xl/workbook.xml', content, unpacked: content.length }))).toMatch(
      /300 times/,
    )
  })

  it('a part that says it is small and is not', async () => {
    const content = Buffer.from(`<workbook>${' '.repeat(100_000)}</workbook>`)
    expect(await refusalOf(zipSaying({ name: 'xl/workbook.xml', content, unpacked: 100 }))).toMatch(/damaged/)
  })

  it('an archive of thousands of files', async () => {
    const parts = Object.fromEntries(Array.from({ length: 2100 }, (_, at) => [`f${at}`, '']))
    expect(await refusalOf(await zipOf(parts))).toMatch(/more than 2000 files/)
  })

  it('XML with a document type, whose entities would multiply', async () => {
    const bomb =
      '<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><worksheet><sheetData><row><c><v>&b;</v></c></row></sheetData></worksheet>'
    expect(await refusalOf(await xlsxOf('', { 'xl/worksheets/sheet1.xml': bomb }))).toMatch(/document type/)
  })

  it('XML nested without end', async () => {
    expect(await refusalOf(await xlsxOf('<a>'.repeat(5000)))).toMatch(/nested/)
  })

  it('an archive that is no spreadsheet, with what it is', async () => {
    expect(await refusalOf(await zipOf({ mimetype: 'application/vnd.oasis.opendocument.spreadsheet' }))).toMatch(
      /OpenDocument/,
    )
    expect(await refusalOf(await zipOf({ 'word/document.xml': '<a/>' }))).toMatch(/text document/)
    expect(await refusalOf(await zipOf({ 'readme.txt': 'x' }))).toMatch(/no spreadsheet/)
    expect(await refusalOf(bytes('PK\x03\x04 and nothing more'))).toMatch(/damaged/)
  })

  it('a cell far out to the right', async () => {
    expect(await refusalOf(await xlsxOf('<row r="1"><c r="XFD1"><v>1</v></c></row>'))).toMatch(/more than 200 columns/)
  })
})
