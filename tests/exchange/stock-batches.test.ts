import { beforeAll, describe, expect, it } from 'vitest'
import { batchClassSet, batchPartSet } from '../../lib/db/batch.ts'
import { partBatches } from '../../lib/db/batch-read.ts'
import { database } from '../../lib/db/client.ts'
import { exchangeImport, exchangeRehearse } from '../../lib/db/exchange.ts'
import { countSheetRows } from '../../lib/db/exchange-counts.ts'
import { exchangeExport } from '../../lib/db/exchange-export.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { shelfChecks } from '../../lib/db/verify-shelf.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { bytes, cellsOf, collected } from './files.ts'

useWorkshop()
const ina = 'person-ina'
beforeAll(async () => {
  await aPerson('Ina')
  await batchClassSet(asWriter(ina), { partClass: 'sealant', asksBatch: true, asksUseBy: true })
})

const input = (file: Uint8Array | string, name = 'list.csv') => ({
  kind: 'stock' as const,
  bytes: typeof file === 'string' ? bytes(file) : file,
  file: name,
})
const bring = (file: Uint8Array | string, name?: string) => exchangeImport(asWriter(ina), input(file, name))
async function refusals(text: string): Promise<string[]> {
  const { refusals: list } = await exchangeRehearse(asWriter(ina), input(text))
  return list.map(({ row, column, reason }) => `${row} ${column}: ${reason}`)
}
async function lies(partId: number): Promise<[batch: string, useBy: string | null, quantity: number][]> {
  return (await partBatches(partId)).lines.map((line) => [line.code, line.expiresOn, line.quantity])
}
async function soundShelf() {
  expect((await shelfChecks()).filter((check) => !check.ok)).toEqual([])
}
let next = 0
/** A sealant with two batches in a bin of the barn. */
async function sealant() {
  next += 1
  const [number, bin] = [`SB-${next}`, `D-${next}`]
  const [partId, binId] = [await aPart({ number, partClass: 'sealant' }), await aBin(bin, 'Barn')]
  await stockReceive(asWriter(ina), { partId, binId, quantity: 4, batch: 'L23', useBy: '2027-03-31' })
  await stockReceive(asWriter(ina), { partId, binId, quantity: 6, batch: 'L24', useBy: '2027-09-30' })
  return { partId, binId, number, bin }
}
const HEAD = 'store,bin,number,batch,use_by,quantity'

describe('a stock list with batches', () => {
  it('counts each batch by itself, and leaves those that it does not name as they are', async () => {
    const { partId, bin, number } = await sealant()
    const text = `${HEAD}\nBarn,${bin},${number},l-23,,3\nBarn,${bin},${number},L25,2027-12-31,2\n`
    expect(await bring(text)).toMatchObject({ counts: { new: 1, changed: 1, same: 0 } })
    expect(await lies(partId)).toEqual([
      ['L23', '2027-03-31', 3],
      ['L24', '2027-09-30', 6],
      ['L25', '2027-12-31', 2],
    ])
    expect(await bring(text)).toMatchObject({ counts: { new: 0, changed: 0, same: 2 } })
    await soundShelf()
  })

  it('without the columns works as before: missing pieces come off the earliest date, found ones are of no known batch', async () => {
    const { partId, bin, number } = await sealant()
    await bring(`store,bin,number,quantity\nBarn,${bin},${number},8\n`)
    expect(await lies(partId)).toEqual([
      ['L23', '2027-03-31', 2],
      ['L24', '2027-09-30', 6],
    ])
    await bring(`store,bin,number,quantity\nBarn,${bin},${number},9\n`)
    expect((await lies(partId)).at(-1)).toEqual(['Not known', null, 1])
    await soundShelf()
  })

  it('refuses a row without a batch, or without a date, where the class of the part asks for it', async () => {
    const { bin, number } = await sealant()
    const rows = [
      `Barn,${bin},${number},,,3`,
      `Barn,${bin},${number},L30,,3`,
      `Barn,${bin},${number},,2027-03-31,3`,
      `Barn,${bin},${number},L23,2027-04-30,3`,
    ]
    expect(await refusals(`${HEAD}\n${rows.join('\n')}\n`)).toEqual([
      `2 batch: is needed: of ${number} the batch (“Not known” where nobody can read it) is kept`,
      `3 use_by: is needed: of ${number} the use-by date is kept`,
      `4 batch: is needed: of ${number} the batch (“Not known” where nobody can read it) is kept`,
      '5 use_by: is 2027-04-30, but batch L23 is to be used by 2027-03-31; look at the pack again',
    ])
    const again = `Barn,${bin},${number},L 23,,3`
    expect(await refusals(`${HEAD}\nBarn,${bin},${number},L23,,3\n${again}\n`)).toEqual([
      '3 : names the same batch in the same bin as row 2',
    ])
    const twice = `Barn,${bin},${number},L31,2027-05-31,1\nBarn,NEW-1,${number},L31,2027-06-30,1`
    expect(await refusals(`${HEAD}\n${twice}\n`)).toEqual([
      expect.stringContaining('3 use_by: is 2027-06-30, but batch L31'),
    ])
    expect(await refusals(`${HEAD}\nBarn,NEW-1,${number},,,0\n`)).toEqual([])
    expect(await refusals(`${HEAD}\nBarn,NEW-1,${number},not known,,1\n`)).toEqual([])
  })

  it('dates a batch that had no date, and counts beside its batches what belongs to none', async () => {
    const [partId, binId] = [await aPart({ number: 'SB-LOOSE' }), await aBin('E-1', 'Barn')]
    await stockReceive(asWriter(ina), { partId, binId, quantity: 5 })
    await stockReceive(asWriter(ina), { partId, binId, quantity: 2, batch: 'K1' })
    const text = `${HEAD}\nBarn,E-1,SB-LOOSE,K1,2027-08-31,2\nBarn,E-1,SB-LOOSE,,,4\n`
    expect(await bring(text)).toMatchObject({ counts: { new: 0, changed: 2, same: 0 } })
    expect(await lies(partId)).toEqual([['K1', '2027-08-31', 2]])
    const balance = await database().balance.findUniqueOrThrow({ where: { partId_binId: { partId, binId } } })
    expect(balance.quantity).toBe(6)
    await soundShelf()
  })

  it.each(['csv', 'xlsx', 'json'] as const)(
    'goes out as %s and comes back as it is, into bins that are empty too',
    async (format) => {
      const { partId, binId } = await sealant()
      await batchPartSet(asWriter(ina), { partId: await aPart({ number: `SB-${format}` }), asksUseBy: true })
      const movements = () => database().movement.count()
      const file = await collected(exchangeExport('stock', format))
      const before = await movements()
      const { rows, counts } = await bring(file, `stock.${format}`)
      expect(counts).toEqual({ new: 0, changed: 0, same: rows })
      expect(await movements()).toBe(before)
      const stood = await lies(partId)
      const away = await aBin(`GONE-${format}`, 'Barn')
      const cells = await cellsOf(file, `stock.${format}`)
      const at = (column: string) => cells[0]!.indexOf(column)
      const own = cells.slice(1).filter((row) => row[at('number')] === `SB-${next}`)
      expect(own.map((row) => [row[at('batch')], row[at('use_by')], row[at('quantity')]])).toEqual([
        ['L23', '2027-03-31', '4'],
        ['L24', '2027-09-30', '6'],
      ])
      const moved = own.map(
        (row) =>
          `Barn,GONE-${format},${row[at('number')]},${row[at('batch')]},${row[at('use_by')]},${row[at('quantity')]}`,
      )
      await bring(`${HEAD}\n${moved.join('\n')}\n`)
      const there = (await partBatches(partId)).lines
      expect(
        there.filter((line) => line.binId === away).map((line) => [line.code, line.expiresOn, line.quantity]),
      ).toEqual(stood)
      expect(there.filter((line) => line.binId === binId)).toHaveLength(2)
      await soundShelf()
    },
  )
})

it('a count sheet names the batches to look for, and not how many of each the books have', async () => {
  const { binId } = await sealant()
  const { storeId } = await database().bin.findUniqueOrThrow({ where: { id: binId } })
  const rows: Record<string, unknown>[] = []
  for await (const row of countSheetRows(storeId)) rows.push(row)
  expect(rows.find((row) => row.number === `SB-${next}`)!.batches).toBe(
    'L23, use by 2027-03-31; L24, use by 2027-09-30',
  )
})
