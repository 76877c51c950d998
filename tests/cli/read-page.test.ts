import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, describe, expect, it } from 'vitest'
import { madePdf, partsPage, text } from '../reading/made-pdf.ts'

const COMMAND = fileURLToPath(new URL('../../lib/cli/cotterbook.mjs', import.meta.url))
const folder = mkdtempSync(join(tmpdir(), 'cotterbook-read-page-'))
const list = join(folder, 'list.pdf')
writeFileSync(list, madePdf({ pages: [partsPage(), text(100, 300, 'A page of text')] }))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

function command(...words: string[]) {
  const done = spawnSync(process.execPath, [COMMAND, 'read-page', ...words], { encoding: 'utf8', cwd: tmpdir() })
  return { status: done.status, out: done.stdout, err: done.stderr }
}

describe('cotterbook read-page', { timeout: 120_000 }, () => {
  it('prints callouts and rows of a page as JSON, from any folder and without a database', () => {
    const done = command(list, '--json')
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

  it('answers 0 for a page that is no parts page, 1 for one that is not there, 2 for words that are no page', () => {
    const other = command(list, '--page', '2')
    expect([other.status, other.out]).toEqual([0, expect.stringContaining('No parts page.')])
    const beyond = command(list, '--page', '9')
    expect([beyond.status, beyond.out]).toEqual([1, ''])
    expect(beyond.err).toContain('list.pdf has no page 9; it has 2.\nNext: ')
    expect(command(list, '--page', 'two').status).toBe(2)
  })
})
