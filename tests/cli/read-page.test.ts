import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { madePdf, partsPage, text } from '../reading/made-pdf.ts'
import { commandHere, commandInstalled } from '../support/command.ts'

const folder = mkdtempSync(join(tmpdir(), 'cotterbook-read-page-'))
const list = join(folder, 'list.pdf')
writeFileSync(list, madePdf({ pages: [partsPage(), text(100, 300, 'A page of text')] }))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const command = (...words: string[]) => commandHere(['read-page', ...words])

describe('cotterbook read-page', { timeout: 120_000 }, () => {
  it('prints callouts and rows of a page as JSON, from any folder and without a database', () => {
    const done = commandInstalled(['read-page', list, '--json'])
    expect(done.status, done.err).toBe(0)
    const read = JSON.parse(done.out) as { kind: string; width: number; rows: { item: string; quantity: number }[] }
    expect(read).toMatchObject({ kind: 'parts-page', width: 2339, height: 1653 })
    expect(read.rows.map((row) => [row.item, row.quantity])).toEqual([
      ['1', 1],
      ['2', 2],
      ['3', 1],
      ['4', 1],
    ])
  })

  it('answers 0 for a page that is no parts page, 1 for one that is not there, 2 for words that are no page', async () => {
    const other = await command(list, '--page', '2')
    expect([other.status, other.out]).toEqual([0, expect.stringContaining('No parts page.')])
    const beyond = await command(list, '--page', '9')
    expect([beyond.status, beyond.out]).toEqual([1, ''])
    expect(beyond.err).toContain('list.pdf has no page 9; it has 2.\nNext: ')
    expect((await command(list, '--page', 'two')).status).toBe(2)
  })
})
