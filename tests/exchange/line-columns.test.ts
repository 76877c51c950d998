import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { SerialBreak } from '../../lib/catalogue/serial-break.ts'
import { serialRangesParse, serialRangesPrint } from '../../lib/catalogue/serial-ranges.ts'
import { database } from '../../lib/db/client.ts'
import { exchangeImport } from '../../lib/db/exchange.ts'
import { exchangeExport } from '../../lib/db/exchange-export.ts'
import type { Kind } from '../../lib/exchange/columns.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { bytes, collected } from './files.ts'

useWorkshop()

const bring = (kind: Kind, text: string) =>
  exchangeImport(asWriter('person-wilf'), { kind, bytes: bytes(text), file: 'list.csv' })
const taken = async (kind: Kind) => new TextDecoder().decode(await collected(exchangeExport(kind, 'csv')))
async function faults(kind: Kind, text: string): Promise<readonly string[]> {
  try {
    await bring(kind, text)
  } catch (error) {
    if (isRefusal(error)) return error.faults
    throw error
  }
  return []
}

const HEAD = 'model_maker,model,figure,item,number,description,quantity,serials,serial_from,serial_to,order_item\n'
const list = (...rows: string[]) => HEAD + rows.map((row) => `Tarn,S1,1-1,${row}\n`).join('')

const prefix = fc.constantFrom('', 'A', 'TB', 'T-', 'AB-1-', '7-', 'TO', 'S/')
const ranges = fc.array(
  fc
    .tuple(prefix, fc.nat(9999), fc.nat(500), fc.constantFrom('between', 'from', 'to', 'one'))
    .map(([letters, first, more, shape]): SerialBreak => {
      const [from, to] = [`${letters}${first}`, `${letters}${first + more}`]
      if (shape === 'from') return { from, to: null }
      if (shape === 'to') return { from: null, to }
      return { from, to: shape === 'one' ? from : to }
    }),
  { minLength: 1, maxLength: 4 },
)

describe('serial ranges of a parts list', () => {
  it('are printed as the trade prints them', () => {
    // Notation: common practice, no source.
    expect(
      serialRangesPrint([
        { from: 'A100', to: 'A250' },
        { from: 'B001', to: null },
      ]),
    ).toBe('A100-A250, B001-')
  })

  it('are read from what is printed as they were', () => {
    fc.assert(
      fc.property(ranges, (some) => {
        expect(serialRangesParse(serialRangesPrint(some))).toEqual(some)
      }),
      { numRuns: 500, seed: 4116 },
    )
  })

  it('several ranges are one line, one range is from and to; taken out and brought in again nothing changes', async () => {
    await bring(
      'parts-lists',
      list('1,R-1,Arm,1,"A100-A250, B001-",,,', '2,R-2,Bush,2,,100,200,1', '3,R-3,Pin,1,A1-A9,,,', '4,R-4,Nut,1,,,,'),
    )
    const lines = await database().partsListLine.findMany({ orderBy: { sort: 'asc' } })
    expect(lines).toMatchObject([
      {
        serialFrom: null,
        serialTo: null,
        serialRanges: '[{"from":"A100","to":"A250"},{"from":"B001","to":null}]',
      },
      { serialFrom: '100', serialTo: '200', serialRanges: null, orderItem: '1' },
      { serialFrom: 'A1', serialTo: 'A9', serialRanges: null },
      { serialFrom: null, serialTo: null, serialRanges: null, orderItem: null },
    ])
    const out = await taken('parts-lists')
    expect(out).toContain('"A100-A250, B001-"')
    expect((await bring('parts-lists', out)).counts).toEqual({ new: 0, changed: 0, same: 4 })
    expect(await taken('parts-lists')).toBe(out)
    expect(await database().partsListLine.findMany({ orderBy: { sort: 'asc' } })).toEqual(lines)
  })

  describe('in a file without their column, as older exports are', () => {
    const OLD = 'model_maker,model,figure,item,number,description,quantity,serial_from,serial_to\n'
    const old = (...rows: string[]) => OLD + rows.map((row) => `Tarn,S4,1-1,${row}\n`).join('')
    const linesOf = (item: string) =>
      database().partsListLine.findMany({
        where: { item, figure: { models: { some: { number: '1-1', model: { name: 'S4' } } } } },
      })

    it('stay with the one line that can be meant, and no line is added beside it', async () => {
      await bring(
        'parts-lists',
        list('1,O-1,Arm,1,"A100-A250, B001-",,,', '2,O-2,Bush,2,,,,').replaceAll(',S1,', ',S4,'),
      )
      expect((await bring('parts-lists', old('1,O-1,Arm,1,,', '2,O-2,Bush,2,,'))).counts).toEqual({
        new: 0,
        changed: 0,
        same: 2,
      })
      expect((await bring('parts-lists', old('1,O-1,"Arm, long",1,,'))).counts).toMatchObject({ new: 0, changed: 1 })
      expect(await linesOf('1')).toMatchObject([
        { description: 'Arm, long', serialRanges: '[{"from":"A100","to":"A250"},{"from":"B001","to":null}]' },
      ])
    })

    it('of several lines are refused with what to do, and so is the one line named twice', async () => {
      await bring(
        'parts-lists',
        list('3,O-3,Pin,1,"A1-A9, B1-B9",,,', '3,O-3,Pin,2,"C1-C9, D1-",,,', '4,O-4,Nut,1,"A1-A9, B1-",,,').replaceAll(
          ',S1,',
          ',S4,',
        ),
      )
      expect(await faults('parts-lists', old('3,O-3,Pin,1,,', '4,O-4,Nut,1,,', '4,O-4,Nut,1,,'))).toEqual([
        'row 2, serials: the file has no serials, and 2 lines of item 3 differ only by them; take the list out anew, or add the column serials',
        'row 4, serials: the file names item 4 twice without serials; the list has it once',
      ])
      expect(await linesOf('3')).toHaveLength(2)
    })

    it('do not keep a line with one range, or another side, from coming in', async () => {
      expect((await bring('parts-lists', old('4,O-4,Nut,1,E1,E9'))).counts).toMatchObject({ new: 1 })
    })
  })

  it('that cannot be read, or stand beside a from or to, are told by row and column', async () => {
    expect(await faults('parts-lists', list('1,R-1,Arm,1,A250-A100,,,', '2,R-2,Bush,2,A1-A9,A1,,'))).toEqual([
      expect.stringMatching(/^row 2, serials: /),
      'row 3, serials: the row has serial_from or serial_to as well; keep one of the two',
    ])
  })
})

describe('what is not sold separately', () => {
  it('must lead to an item of the list that is sold', async () => {
    expect(
      await faults(
        'parts-lists',
        list('1,Q-1,Arm,1,,,,9', '2,Q-2,Bush,2,,,,2', '3,Q-3,Pin,1,,,,4', '4,Q-4,Nut,1,,,,3').replaceAll(
          ',S1,',
          ',S3,',
        ),
      ),
    ).toEqual([
      'row 2, order_item: the list of the figure has no item 9',
      'row 3, order_item: an item is not ordered as itself',
      'row 4, order_item: it leads back to itself, so nothing on its way can be ordered',
      'row 5, order_item: it leads back to itself, so nothing on its way can be ordered',
    ])
  })
})

describe('a line that a newer edition dropped', () => {
  it('is not taken out, and a row like it makes a new line', async () => {
    const row = 'Tarn,S2,1-1,1,R-9,Old arm,1,,,,\n'
    await bring('parts-lists', HEAD + row)
    const { id } = await database().partsListLine.findFirstOrThrow({ where: { description: 'Old arm' } })
    await database().partsListLine.update({ where: { id }, data: { retiredAt: new Date(0) } })
    expect(await taken('parts-lists')).not.toContain('Old arm')
    expect((await bring('parts-lists', HEAD + row)).counts).toEqual({ new: 1, changed: 0, same: 0 })
    const both = await database().partsListLine.findMany({ where: { description: 'Old arm' }, orderBy: { id: 'asc' } })
    expect(both.map((line) => line.retiredAt === null)).toEqual([false, true])
  })
})

describe('a part that is no longer made', () => {
  it('has the day and what was said, both or neither', async () => {
    const head = 'maker,number,description,discontinued_on,discontinued_note\n'
    await bring('parts', `${head}Oakmoor,D-1,Cover,2026-03-01,"The maker, by letter"\nOakmoor,D-2,Lid,,\n`)
    const part = await database().part.findFirstOrThrow({ where: { number: 'D-1' } })
    expect(part).toMatchObject({ discontinuedOn: '2026-03-01', discontinuedNote: 'The maker, by letter' })
    const out = await taken('parts')
    expect((await bring('parts', out)).counts).toMatchObject({ new: 0, changed: 0 })
    expect(await taken('parts')).toBe(out)
    expect(
      await faults(
        'parts',
        `${head}Oakmoor,D-2,Lid,2026-03-01,\nOakmoor,D-3,Cap,,gone\nOakmoor,D-4,Cup,2026-02-30,x\n`,
      ),
    ).toEqual([
      'row 2, discontinued_note: is empty; say who says that the part is no longer made',
      'row 3, discontinued_on: is empty; say since when it is no longer made',
      'row 4, discontinued_on: "2026-02-30" is no date; write it as 2026-11-25',
    ])
  })
})
