import { readFileSync } from 'node:fs'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { pageInk } from '../../../lib/figure/reader/page-ink.ts'
import { pageRules } from '../../../lib/figure/reader/page-lines.ts'
import { tablesRead } from '../../../lib/figure/reader/table.ts'
import { ruledCells } from '../../../lib/figure/reader/table-grid.ts'
import { recogniserOpen } from '../../../lib/reading/recogniser.ts'
import { needReference } from '../../support/reference.ts'

interface TruthRow {
  item: string
  description?: string
  part_number?: string
  quantity?: string
}

/** Real drawings (CC BY-SA 4.0 or MIT; each folder names its source), their lists read by hand. One of each make. */
const FIGURES = [
  'bcn3d-plus-overview',
  'bcn3dr-extruder-step-1',
  'cubefactory-extruder-unit',
  'injection-electronics-box',
  'sheetpress-assembly',
]
const plain = (text: string) => text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '')

describe('parts lists of real drawings', () => {
  it('19 rows in 20 are right: item, part number, name and quantity as printed, case and spaces aside', {
    timeout: 240_000,
  }, async (context) => {
    const root = needReference(context, 'figures')
    const { recognise, close } = recogniserOpen()
    let [right, all] = [0, 0]
    const wrong: string[] = []
    for (const figure of FIGURES) {
      const { data, info } = await sharp(`${root}/${figure}/page.png`)
        .toColourspace('b-w')
        .raw()
        .toBuffer({ resolveWithObject: true })
      const page = { width: info.width, height: info.height, data: new Uint8Array(data) }
      const tolerance = Math.max(4, Math.round(Math.max(page.width, page.height) / 600))
      const rules = pageRules(page)
      const cells = ruledCells(rules, tolerance)
      const tables = await tablesRead({ page, runs: [], ink: pageInk(page), rules, cells, tolerance }, recognise)
      const read = tables.flatMap((table) => table.rows)
      const truth = JSON.parse(readFileSync(`${root}/${figure}/truth.json`, 'utf8')) as {
        parts_list: { rows: TruthRow[] }
      }
      for (const row of truth.parts_list.rows) {
        all++
        const same = read.some(
          (one) =>
            one.item === row.item &&
            (row.quantity === undefined || one.quantity === Number(row.quantity)) &&
            (row.description === undefined || plain(one.description) === plain(row.description)) &&
            (row.part_number === undefined || plain(one.partNumber) === plain(row.part_number)),
        )
        if (same) right++
        else wrong.push(`${figure} ${row.item}`)
      }
    }
    await close()
    expect(all).toBe(59)
    expect(right / all, wrong.join(', ')).toBeGreaterThanOrEqual(0.95)
  })
})
