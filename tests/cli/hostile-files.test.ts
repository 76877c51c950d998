import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { crc32 } from 'node:zlib'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { bytes, utf16, xlsxOf, zipOf } from '../exchange/files.ts'
import { madePdf, partsPage, text } from '../reading/made-pdf.ts'
import { commandHere, commandInstalled } from '../support/command.ts'
import { useWorkshop } from '../support/database.ts'

/** What people bring by mistake or with intent, given to the command as they would: what happened and what to do next are said. */
const workshop = useWorkshop()

/** The command with these words, run here; what it said and how it ended. */
async function cotterbook(words: readonly string[], name: string, content: Uint8Array) {
  const path = join(workshop.folder, name)
  writeFileSync(path, content)
  return commandHere([...words, path])
}

const LIST = 'maker;number;description;cost\r\nBöhm;HB-1;Achsschenkel, 12½″;12,50\r\nBöhm;HB-2;Gummi;1,5\r\n'
const HEAD = 'maker,number,description\n'

describe('cotterbook import', { timeout: 60_000 }, () => {
  it('as it is installed, brings a good list in with 0 and refuses a bad one with 1, in the same words', () => {
    const run = (name: string, list: string) => {
      const path = join(workshop.folder, name)
      writeFileSync(path, list)
      return commandInstalled(['import', 'parts', path, '--json'])
    }
    const good = run('good.csv', `${HEAD}Tarn,HG-1,Bush\n`)
    expect([good.status, good.err]).toEqual([0, ''])
    expect(JSON.parse(good.out)).toMatchObject({ rows: 1, counts: { new: 1 } })
    const bad = run('bad.csv', `${HEAD}Tarn,HG-2,\n`)
    expect([bad.status, bad.out]).toEqual([1, ''])
    expect(JSON.parse(bad.err)).toMatchObject({ code: 'exchange/refused' })
  })

  it.each([
    ['a spreadsheet that unpacks to a thousand times its size', 'bomb.xlsx', /bomb\.xlsx.*300 times its size/],
    ['an archive that is called a spreadsheet', 'zip.xlsx', /zip\.xlsx.*an archive, but no spreadsheet/],
    ['a list with a quotation mark inside a cell', 'inch.csv', /inch\.csv.*3.*quotation mark/s],
    ['a list with a quotation mark that is never closed', 'open.csv', /open\.csv.*quotation mark/s],
  ])('%s is refused with what to do, and nothing is kept of it', async (_, name, says) => {
    const files: Record<string, Uint8Array> = {
      'bomb.xlsx': await xlsxOf('', { 'xl/worksheets/sheet1.xml': ' '.repeat(20_000_000) }),
      'zip.xlsx': await zipOf({ 'readme.txt': 'x' }),
      'inch.csv': bytes(`${HEAD}Oakmoor,HQ-1,Tube\nOakmoor,HQ-2,"12" tyre"\n`),
      'open.csv': bytes(`${HEAD}Oakmoor,HQ-1,"Tube\nOakmoor,HQ-2,Tyre\n`),
    }
    const done = await cotterbook(['import', 'parts'], name, files[name]!)
    expect([done.status, done.out]).toEqual([1, ''])
    expect(done.err).toMatch(says)
    expect(done.err).toMatch(/\nNext: [A-Z]/)
    expect(await database().part.count({ where: { maker: 'Oakmoor' } })).toBe(0)
  })

  it.each([
    ['UTF-16 with its mark', 'Böhm', utf16(LIST, 'le')],
    ['UTF-16 the other way round', 'Böhm O', utf16(LIST.replaceAll('Böhm', 'Böhm O'), 'be')],
    // In Windows-1252 the letters of this list are those of Latin-1; the double prime is in neither.
    ['Windows-1252', 'Böhm W', Buffer.from(LIST.replaceAll('Böhm', 'Böhm W').replaceAll('″', ''), 'latin1')],
  ])('a list in %s with decimal commas comes in as it was meant', async (_, maker, content) => {
    const done = await cotterbook(['import', 'parts'], `${maker}.csv`, content)
    expect([done.status, done.err]).toEqual([0, ''])
    expect(await database().part.findMany({ where: { maker }, orderBy: { id: 'asc' } })).toMatchObject([
      { number: 'HB-1', description: expect.stringContaining('Achsschenkel, 12½'), costMinor: 1250 },
      { number: 'HB-2', costMinor: 150 },
    ])
  })
})

describe('cotterbook read-page', { timeout: 60_000 }, () => {
  it('an archive that is called a picture, a scan of 200 megapixels and a locked PDF are refused with what to do', async () => {
    const archive = await cotterbook(['read-page'], 'page.png', await zipOf({ 'readme.txt': 'x' }))
    expect([archive.status, archive.out]).toEqual([1, ''])
    expect(archive.err).toMatch(/page\.png holds no page that can be read: it is a ZIP archive\.\nNext: [A-Z]/)

    // The head of a real PNG that promises 20,000 x 10,000 pixels, its check sum put right.
    const poster = await sharp({ create: { width: 8, height: 8, channels: 3, background: '#fff' } })
      .png()
      .toBuffer()
    poster.writeUInt32BE(20_000, 16)
    poster.writeUInt32BE(10_000, 20)
    poster.writeUInt32BE(crc32(poster.subarray(12, 29)), 29)
    const large = await cotterbook(['read-page'], 'poster.png', poster)
    expect([large.status, large.out]).toEqual([1, ''])
    expect(large.err).toMatch(/poster\.png.*200 megapixels; at most 50 are read\.\nNext: [A-Z]/)

    const key = '12345678901234567890123456789012'
    const trailer = `/ID [<00><00>] /Encrypt << /Filter /Standard /V 1 /R 2 /O (${key}) /U (${key}) /P -44 >>`
    const locked = await cotterbook(['read-page'], 'locked.pdf', madePdf({ pages: [partsPage()], trailer }))
    expect([locked.status, locked.out]).toEqual([1, ''])
    expect(locked.err).toMatch(/locked\.pdf.*password.*\nNext: [A-Z]/)
  })

  it('the last page of a book of five hundred is read, and there is no page behind it', async () => {
    const sheets = Array.from({ length: 499 }, (_, at) => text(300, 300, `sheet ${at + 1}`))
    const book = madePdf({ pages: [...sheets, partsPage()] })
    const last = await cotterbook(['read-page', '--page', '500', '--json'], 'book.pdf', book)
    expect(last.status, last.err).toBe(0)
    const read = JSON.parse(last.out) as { kind: string; rows: unknown[] }
    expect([read.kind, read.rows.length]).toEqual(['parts-page', 4])
    const beyond = await cotterbook(['read-page', '--page', '501'], 'book.pdf', book)
    expect([beyond.status, beyond.out]).toEqual([1, ''])
    expect(beyond.err).toContain('book.pdf has no page 501; it has 500.\nNext: ')
  })
})
