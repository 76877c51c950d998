import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { exchangeImport } from '../../lib/db/exchange.ts'
import { exchangeExport } from '../../lib/db/exchange-export.ts'
import { tableBody, tableCheck } from '../../lib/exchange/check.ts'
import { KIND_NAMES } from '../../lib/exchange/columns.ts'
import { tableRows } from '../../lib/exchange/read.ts'
import type { TableFormat } from '../../lib/exchange/table.ts'
import { FORMATS, type RowOut, tableBytes } from '../../lib/exchange/write.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { bytes, collected } from './files.ts'

useWorkshop()

const formats = Object.keys(FORMATS) as TableFormat[]
const wilf = 'person-wilf'
const bring = (kind: (typeof KIND_NAMES)[number], file: Uint8Array, name = 'list') =>
  exchangeImport(asWriter(wilf), { kind, bytes: file, file: name })

/** Text as people write it and as spreadsheets break it: leading zeros, formula signs, quotes, marks, line breaks. */
const words = fc
  .oneof(
    fc.string({ unit: 'grapheme', minLength: 1, maxLength: 30 }),
    fc.constantFrom(
      '0012',
      '=1+1',
      "'=x",
      '-5',
      '@home',
      '"quoted"',
      'a;b,c\td',
      'two\nlines',
      '1-2',
      '12,5',
      '_x0041_',
      '1E5',
      'TRUE',
      'Böhm 直径',
    ),
  )
  .map((text) => text.replace(/\p{Cc}(?<![\n\t])/gu, '').trim())
  .filter((text) => text !== '' && text.isWellFormed() && !/[\uFFFD-\uFFFF]/.test(text))
const money = fc.nat(9_999_999).map((minor) => (minor / 100).toFixed(2))
const parts = fc.array(
  fc.record(
    { description: words, cost: fc.option(money, { nil: '' }), grade: words, number: words },
    { requiredKeys: ['description', 'cost', 'grade', 'number'] },
  ),
  { minLength: 1, maxLength: 6 },
)

describe('there and back', () => {
  it.each(formats)('whatever is written as %s is read as the same text, cell by cell', async (format) => {
    await fc.assert(
      fc.asyncProperty(parts, async (list) => {
        const rows: RowOut[] = list.map((part, at) => ({ ...part, maker: 'Oakmoor', number: `${at} ${part.number}` }))
        const file = await collected(
          tableBytes(
            'parts',
            format,
            (async function* () {
              yield* rows
            })(),
          ),
        )
        const back: Record<string, string>[] = []
        for await (const { header, row } of tableBody(tableRows(file, 'list'), 'list'))
          back.push(Object.fromEntries(header.flatMap((name, at) => (row.cells[at] ? [[name, row.cells[at]]] : []))))
        const plain = (cell: string) => (format === 'xlsx' ? cell.replace(/\r\n?/g, '\n') : cell)
        // A number comes back as a number: 12.50 is 12.5.
        const wanted = rows.map((row) =>
          Object.fromEntries(
            Object.entries(row)
              .filter(([, cell]) => cell !== '')
              .map(([name, cell]) => [name, plain(name === 'cost' && format !== 'csv' ? String(Number(cell)) : cell)]),
          ),
        )
        expect(back).toEqual(wanted)
      }),
      { numRuns: 150, seed: 4114 },
    )
  })

  it.each(formats)('parts brought in as %s and taken out again are the parts that were brought', async (format) => {
    let turn = 0
    await fc.assert(
      fc.asyncProperty(parts, async (list) => {
        turn += 1
        const maker = `Maker ${format} ${turn}`
        const rows = list.map((part, at): RowOut => ({ ...part, maker, number: `N${at}-0` }))
        await bring(
          'parts',
          await collected(
            tableBytes(
              'parts',
              format,
              (async function* () {
                yield* rows
              })(),
            ),
          ),
        )
        const out = JSON.parse(new TextDecoder().decode(await collected(exchangeExport('parts', 'json')))) as Record<
          string,
          unknown
        >[]
        const mine = out.filter((row) => row.maker === maker)
        expect(mine.map(({ number, description, grade, cost }) => ({ number, description, grade, cost }))).toEqual(
          rows.map(({ number, description, grade, cost }) => ({
            number,
            description,
            grade,
            cost: cost === '' ? null : Number(cost),
          })),
        )
      }),
      { numRuns: 12, seed: 4115 },
    )
  })

  it('everything taken out in any format and brought in again is found as it was', async () => {
    await aPerson('Wilf')
    await bring(
      'parts',
      bytes(
        'maker,number,description,unit,reorder_point,order_up_to,bore_mm\nTarn,RT-1,Seal,each,2,6,25.4\nTarn,RT-2,Oil,litre,0.25,1,\nTarn,RT-3,Old seal,each,,,\nTarn,RT-4,Seal kit,each,,,\n',
      ),
    )
    await bring(
      'parts-lists',
      bytes(
        'model_maker,model,figure,item,maker,number,description,quantity,attaches\nTarn,X9,9-1,1,Tarn,RT-1,Seal,1,\nTarn,X9,9-1,2,Tarn,RT-2,Oil,0.125,1\nTarn,X9,9-1,2,Tarn,RT-2,Oil,0.125,1\n',
      ),
    )
    await bring('supersessions', bytes('old_number,new_number,ratio\nRT-3,RT-1,2\n'))
    await bring('kits', bytes('kit,content,quantity\nRT-4,RT-2,0.5\n'))
    await bring(
      'alternatives',
      bytes('number,alternative,reason,approved_by,approved_on\nRT-1,RT-4,same size,Wilf,2026-02-03\n'),
    )
    await bring('stock', bytes('store,bin,number,quantity\nBarn,A-1,RT-1,5\nVan,V-1,RT-2,1.25\n'))
    await bring(
      'suppliers',
      bytes(
        'supplier,lead_time_days,carriage_paid_from,number,price,preferred\nHarl,4,75,RT-1,2.10,yes\nPenwarne,9,,,,\n',
      ),
    )
    await bring(
      'prices',
      bytes(
        'supplier,list,valid_from,number,from_quantity,price\nHarl,Winter,2026-10-01,RT-1,1,2.05\nHarl,Winter,2026-10-01,RT-1,20,1.95\nHarl,Winter,2026-10-01,RT-2,0.5,3\n',
      ),
    )
    await bring('machines', bytes('model_maker,model,fleet_number,name,hours\nTarn,X9,RT-9,Nine,77.7\n'))
    const movements = await database().movement.count()
    for (const kind of KIND_NAMES) {
      for (const format of formats) {
        const file = await collected(exchangeExport(kind, format))
        const { counts, rows } = await bring(kind, file, `${kind}.${format}`)
        expect({ kind, format, ...counts }).toEqual({ kind, format, new: 0, changed: 0, same: rows })
        expect(rows).toBeGreaterThan(0)
      }
    }
    expect(await database().movement.count()).toBe(movements)
  })

  it('an export of nothing is a header, and bringing it in says that there is no row', async () => {
    const none = (async function* (): AsyncGenerator<RowOut> {})()
    const file = await collected(tableBytes('parts', 'csv', none))
    await expect(tableCheck('parts', () => tableRows(file, 'list'), {}, 'list')).rejects.toThrow(
      'no row below the header',
    )
  })
})
