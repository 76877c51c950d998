import { createHash } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { exchangeImport, exchangeRehearse } from '../../lib/db/exchange.ts'
import { sheetWithoutDrawing } from '../../lib/db/exchange-figures.ts'
import { movementPlace } from '../../lib/db/ledger.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import type { Kind } from '../../lib/exchange/columns.ts'
import { pictureCheck } from '../../lib/picture/picture.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { bytes } from './files.ts'

useWorkshop()

const wilf = 'person-wilf'
const input = (kind: Kind, text: string, byHand = {}) => ({ kind, bytes: bytes(text), file: 'list.csv', byHand })
const bring = (kind: Kind, text: string, byHand = {}) => exchangeImport(asWriter(wilf), input(kind, text, byHand))
const rehearse = (kind: Kind, text: string, byHand = {}) => exchangeRehearse(asWriter(wilf), input(kind, text, byHand))

async function faults(kind: Kind, text: string): Promise<readonly string[]> {
  const before = await digest()
  try {
    await bring(kind, text)
  } catch (error) {
    if (!isRefusal(error)) throw error
    expect(await digest(), 'a refused file changes nothing').toBe(before)
    return error.faults
  }
  throw new Error('it was not refused')
}

/** Everything an import may touch, as one number. */
async function digest(): Promise<string> {
  const db = database()
  const all = await Promise.all([
    db.part.findMany(),
    db.stockLevel.findMany(),
    db.store.findMany(),
    db.bin.findMany(),
    db.balance.findMany(),
    db.movement.findMany(),
    db.supplier.findMany(),
    db.offer.findMany(),
    db.machineModel.findMany(),
    db.machine.findMany(),
    db.hourReading.findMany(),
    db.figure.findMany(),
    db.partsListLine.findMany(),
  ])
  return createHash('sha256').update(JSON.stringify(all)).digest('hex')
}

describe('parts', () => {
  it('are known by maker and number; a second file changes what it names and leaves the rest', async () => {
    const first = await bring(
      'parts',
      'Manufacturer;P/N;Description;Unit cost;UOM;Min;Max\nOakmoor;AB-12 3;Ball bearing;12,50;ea;2;5\nOakmoor;OIL-1;Gear oil;3,20;ltr;1,5;10\n',
    )
    expect(first.counts).toEqual({ new: 2, changed: 0, same: 0 })
    const second = await bring('parts', 'maker,number,cost\noakmoor,ab123,13.75\nOakmoor,OIL-1,3.20\n')
    expect(second.counts).toEqual({ new: 0, changed: 1, same: 1 })
    const parts = await database().part.findMany({
      where: { makerKey: 'oakmoor' },
      include: { level: true },
      orderBy: { id: 'asc' },
    })
    expect(parts).toMatchObject([
      {
        number: 'AB-12 3',
        description: 'Ball bearing',
        unit: 'each',
        costMinor: 1375,
        level: { reorderPoint: 2, orderUpTo: 5 },
      },
      // 1.5 litres are 1500 ml.
      { number: 'OIL-1', unit: 'litre', costMinor: 320, level: { reorderPoint: 1500, orderUpTo: 10000 } },
    ])
  })

  it('every fault of every row is told with row, column and reason, and nothing is written', async () => {
    const text = [
      'maker,number,description,unit,cost,reorder_point,order_up_to,currency',
      'Oakmoor,P-1,One,each,12.505,,,',
      'Oakmoor,P-2,,each,,,,',
      'Oakmoor,P-3,Three,dozen,,,,',
      'Oakmoor,P-4,Four,each,,5,5,',
      'Oakmoor,P-5,Five,each,,1.5,5,',
      'Oakmoor,P-6,Six,each,,,5,',
      'Oakmoor,p6,Six again,each,,1,5,',
      'Oakmoor,P-7,Seven,each,1.00,,,USD',
      '-,P-8,Eight,each,,,,',
      'Oakmoor,P-9,Nine,each,,,,,extra',
    ].join('\n')
    const { refusals, refusedRows, refusedFile } = await rehearse('parts', text)
    expect(refusals.map(({ row, column }) => `${row} ${column}`)).toEqual([
      '2 cost',
      '3 description',
      '4 unit',
      '5 order_up_to',
      '6 reorder_point',
      '7 reorder_point',
      '8 ',
      '9 currency',
      '10 maker',
      '11 ',
    ])
    expect(refusedRows).toBe(10)
    expect(refusedFile).toContain(
      'Oakmoor,P-3,Three,dozen,,,,,"unit ""dozen"" must be one of each, litre, kilogram, metre"',
    )
    expect(refusals.at(-1)?.reason).toBe(
      'has 9 cells, the header 8; a decimal comma in a file separated by commas may be the cause: write decimals with a point, as 1.5',
    )
    expect(await faults('parts', text)).toContain(
      'row 2, cost: "12.505" is no amount; write it as 12 or 12.50, without a currency sign',
    )
  })

  it('the unit of a known part is not changed by a list', async () => {
    await aPart({ maker: 'Oakmoor', number: 'U-1', unit: 'metre' })
    expect(await faults('parts', 'maker,number,unit\nOakmoor,U-1,each\n')).toEqual([
      expect.stringContaining('kept by metre'),
    ])
  })

  it('a refused row that was mended comes in with the file of refused rows', async () => {
    const { refusedFile } = await rehearse('parts', 'maker,number,description,cost\nOakmoor,M-1,Nut,cheap\n')
    expect(await rehearse('parts', refusedFile)).toMatchObject({ refusedRows: 1, unused: ['refused_because'] })
    expect(await bring('parts', refusedFile.replace('cheap', '0.40'))).toMatchObject({ counts: { new: 1 } })
  })

  it('the same key with the same file is one import; with another file it is refused', async () => {
    const context = asWriter(wilf)
    const one = await exchangeImport(context, input('parts', 'maker,number,description\nOakmoor,K-1,Key\n'))
    expect(await exchangeImport(context, input('parts', 'maker,number,description\nOakmoor,K-1,Key\n'))).toEqual(one)
    await expect(
      exchangeImport(context, input('parts', 'maker,number,description\nOakmoor,K-2,Key\n')),
    ).rejects.toThrow('write/key-reused')
  })

  it('columns are matched by hand where headers say nothing, and a column may be left out', async () => {
    const text = 'A,B,C,cost\nOakmoor,H-1,Hand-matched,99.00\n'
    await expect(rehearse('parts', text)).rejects.toThrow(/exchange\/columns/)
    await bring('parts', text, { maker: 'A', number: 'B', description: 'C', cost: '' })
    expect(await database().part.findFirst({ where: { numberKey: 'h1' } })).toMatchObject({
      description: 'Hand-matched',
      costMinor: null,
    })
  })
})

describe('stock', () => {
  it('is booked as count differences with a reason, and only where it differs', async () => {
    await aPerson('Wilf')
    const part = await aPart({ maker: 'Oakmoor', number: 'S-1' })
    const bin = await aBin('A-1', 'Barn')
    await inTransaction((tx) =>
      movementPlace(tx, asWriter(wilf), 0, { kind: 'receive', partId: part, binId: bin, quantity: 7 }),
    )
    const text = 'store,bin,part no,qty,reason\nBarn,a1,S-1,5,two found broken\nVan 2,V-1,S-1,3,\n'
    expect(await rehearse('stock', text)).toMatchObject({
      counts: { new: 1, changed: 1, same: 0 },
      made: { stores: 1, bins: 1 },
    })
    await bring('stock', text)
    const movements = await database().movement.findMany({
      where: { partId: part, kind: 'count-difference' },
      orderBy: { id: 'asc' },
    })
    expect(movements).toMatchObject([
      { quantity: -2, balanceAfter: 5, reason: 'two found broken', personId: wilf },
      { quantity: 3, balanceAfter: 3, reason: 'Stock list list.csv' },
    ])
    expect(await bring('stock', text)).toMatchObject({ counts: { same: 2, new: 0, changed: 0 } })
    expect(await database().movement.count({ where: { partId: part } })).toBe(3)
  })

  it('a row is refused when the shelf moved after the list was made', async () => {
    const part = await aPart({ maker: 'Oakmoor', number: 'S-2' })
    const bin = await aBin('A-2', 'Barn')
    await inTransaction((tx) =>
      movementPlace(tx, asWriter(wilf), 0, { kind: 'receive', partId: part, binId: bin, quantity: 4 }),
    )
    expect(await faults('stock', 'store,bin,number,quantity,book_quantity\nBarn,A-2,S-2,9,6\n')).toEqual([
      expect.stringMatching(/row 2, book_quantity: the books said 6.*say 4 now/),
    ])
    expect(await bring('stock', 'store,bin,number,quantity,book_quantity\nBarn,A-2,S-2,9,4\n')).toMatchObject({
      counts: { changed: 1 },
    })
  })

  it('is not counted in a closed bin, nor in one for goods on the way', async () => {
    await aPart({ maker: 'Oakmoor', number: 'S-3' })
    const [closed, way] = [await aBin('A-8', 'Barn'), await aBin('On the way', 'Barn')]
    await inTransaction(async (tx) => {
      await tx.bin.update({ where: { id: closed }, data: { closedAt: new Date('2026-11-02T08:15:00Z') } })
      await tx.bin.update({ where: { id: way }, data: { kind: 'on-the-way' } })
    })
    expect(await faults('stock', 'store,bin,number,quantity\nBarn,A-8,S-3,1\nBarn,On the way,S-3,1\n')).toEqual([
      expect.stringContaining('row 2, bin: is closed'),
      expect.stringContaining('row 3, bin: holds goods on the way'),
    ])
  })

  it('parts that are not known, or known of two makers, are named', async () => {
    await aPart({ maker: 'Tarn', number: 'T-9' })
    await aPart({ maker: 'Oakmoor', number: 'T-9' })
    expect(await faults('stock', 'store,bin,number,quantity\nBarn,A-3,T-9,1\nBarn,A-3,NOPE,1\n')).toEqual([
      expect.stringMatching(/row 2, maker: is needed: T-9 is a number of (Tarn, Oakmoor|Oakmoor, Tarn)/),
      expect.stringContaining('row 3, number: no part has the number NOPE'),
    ])
  })
})

describe('parts lists', () => {
  const LIST = 'Model maker,Model,Fig,Fig title,Ref,Part no,Description,Qty,attaches,s/n from,s/n to\n'
  it('make model, figure and parts, and bring changes to the same lines the next time', async () => {
    const text = `${LIST}Tarn,X1,4-02,Hub,1,TN-1,Hub,1,,,\nTarn,X1,4-02,Hub,2,TN-2,Nut,4,1,,1499\nTarn,X1,4-02,Hub,2,TN-3,Nut,4,1,1500,\n`
    const map = { figure_title: 'Fig title' }
    expect(await bring('parts-lists', text, map)).toMatchObject({
      counts: { new: 3 },
      made: { models: 1, figures: 1, parts: 3 },
    })
    const figure = await database().figure.findFirst({
      where: { title: 'Hub' },
      include: { lines: { orderBy: { sort: 'asc' } }, models: true },
    })
    expect(figure?.models).toMatchObject([{ number: '4-02' }])
    expect(figure?.lines).toMatchObject([
      { item: '1', attaches: null, serialFrom: null },
      { item: '2', attaches: '1', serialFrom: null, serialTo: '1499' },
      { item: '2', attaches: '1', serialFrom: '1500', serialTo: null },
    ])
    expect(await bring('parts-lists', text.replace('Nut,4,1,1500', 'Nut,5,1,1500'), map)).toMatchObject({
      counts: { same: 2, changed: 1, new: 0 },
    })
    expect(await database().partsListLine.count({ where: { figureId: figure!.id } })).toBe(3)
  })

  it('an attaching part must hold an item of the list, and not in a circle; a serial break runs forward', async () => {
    expect(await faults('parts-lists', `${LIST}Tarn,X2,1,,1,A,Hub,1,9,,\n`)).toEqual([
      expect.stringContaining('has no item 9'),
    ])
    expect(await faults('parts-lists', `${LIST}Tarn,X2,1,,1,A,Hub,1,2,,\nTarn,X2,1,,2,B,Nut,1,1,,\n`)).toEqual([
      expect.stringContaining('circle'),
    ])
    expect(await faults('parts-lists', `${LIST}Tarn,X2,1,,1,A,Hub,1,,1500,1499\n`)).toEqual([
      expect.stringContaining('lies before'),
    ])
  })
})

describe('a figure that came as a list', () => {
  it('stands on a sheet that the cleaner of drawings leaves as it is', async () => {
    const sheet = sheetWithoutDrawing()
    const { bytes: cleaned, ...facts } = await pictureCheck({ bytes: sheet.bytes, name: 'sheet.svg' })
    expect(new TextDecoder().decode(cleaned)).toBe(new TextDecoder().decode(sheet.bytes))
    expect({ ...facts, bytes: sheet.bytes }).toEqual(sheet)
  })
})

describe('suppliers and machines', () => {
  it('a supplier and its offers come in together, and two rows that differ about the supplier are refused', async () => {
    await aPart({ maker: 'Oakmoor', number: 'SU-1' })
    await aPart({ maker: 'Oakmoor', number: 'SU-2', unit: 'litre' })
    const text =
      'vendor,lead time,minimum_order,part,price,pack,MOQ,preferred\nHarl,5,50,SU-1,11.20,2,4,yes\nHarl,5,,SU-2,3,0.5,,no\n'
    expect(await bring('suppliers', text)).toMatchObject({ counts: { new: 2 }, made: { suppliers: 1, offers: 2 } })
    expect(await database().offer.findMany({ orderBy: { partId: 'asc' }, include: { supplier: true } })).toMatchObject([
      {
        pack: 2,
        minimum: 4,
        priceMinor: 1120,
        preferred: true,
        supplier: { leadTimeDays: 5, minimumOrderMinor: 5000 },
      },
      { pack: 500, minimum: 500, priceMinor: 300, preferred: false },
    ])
    expect(await bring('suppliers', text)).toMatchObject({ counts: { same: 2 } })
    expect(await faults('suppliers', 'supplier,lead_time_days,number,price\nHarl,5,SU-1,1\nHarl,6,SU-2,1\n')).toEqual([
      expect.stringContaining('row 3, lead_time_days: differs from what row 2 says'),
    ])
    expect(await faults('suppliers', 'supplier,number,price\nNew One,SU-1,1\n')).toEqual([
      expect.stringContaining('must have one'),
    ])
  })

  it('a deposit on an exchange part comes in beside its price, stays where a file says nothing, and 0 takes it off', async () => {
    const partId = await aPart({ maker: 'Oakmoor', number: 'SU-7' })
    await aPart({ maker: 'Oakmoor', number: 'SU-8', unit: 'litre' })
    const kept = async () =>
      (await database().offer.findMany({ where: { partId } })).map((one) => [
        one.priceMinor,
        one.depositMinor,
        one.returnDays,
      ])
    const head = 'supplier,lead_time_days,number,price'
    await bring('suppliers', `${head},core charge,return_days\nHoldgate,5,SU-7,168,65.50,60\n`)
    expect(await kept()).toEqual([[16_800, 6550, 60]])
    await bring('suppliers', `${head}\nHoldgate,5,SU-7,170\n`)
    expect(await kept()).toEqual([[17_000, 6550, 60]])
    await bring('suppliers', `${head},deposit\nHoldgate,5,SU-7,170,0\n`)
    expect(await kept()).toEqual([[17_000, null, null]])
    expect(await faults('suppliers', `${head},deposit\nHoldgate,5,SU-8,3,20\n`)).toEqual([
      expect.stringContaining('not counted by the piece'),
    ])
  })

  it('a meter only goes forward, and a machine keeps its model', async () => {
    await bring('machines', 'make,model,kind,fleet no,name,hours,year\nTarn,X5,tractor,T-5,Old Tarn,1234.5,2011\n')
    const machine = await database().machine.findUnique({
      where: { fleetKey: 't5' },
      include: { readings: true, model: true },
    })
    expect(machine).toMatchObject({
      hourTenths: 12345,
      year: 2011,
      model: { kind: 'tractor' },
      readings: [{ hourTenths: 12345 }],
    })
    expect(await faults('machines', 'make,model,fleet no,hours\nTarn,X5,T-5,1234.4\nTarn,X6,T5,1300\n')).toEqual([
      expect.stringContaining('row 2, hours: is lower than the last reading'),
      expect.stringContaining('row 3'),
    ])
    expect(await faults('machines', 'make,model,fleet no,hours\nTarn,X5,T-5,1258.6\n')).toEqual([
      expect.stringContaining(
        'row 2, hours: is more than the machine can have run since the last reading, 1,234.5 h on',
      ),
    ])
    expect(await bring('machines', 'make,model,fleet no,hours\nTarn,X5,T-5,1258.5\n')).toMatchObject({
      counts: { changed: 1 },
    })
  })
})
