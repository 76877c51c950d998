import { beforeAll, describe, expect, test } from 'vitest'
import type { z } from 'zod'
import { CountSheetForm, IssueForm, ReceiveForm, TransferForm } from '../../app/shelf/shelf-form.ts'
import { jobOpen, needAdd } from '../../lib/db/job.ts'
import { movementRead } from '../../lib/db/movement-line.ts'
import { movementsFind } from '../../lib/db/movement-search.ts'
import { partSearch } from '../../lib/db/part-search.ts'
import { savedViewDrop, savedViewKeep, savedViews } from '../../lib/db/saved-view.ts'
import { binPartNew, binRead, binsList, placeNames, storesList } from '../../lib/db/shelf.ts'
import { stockCount, stockIssue, stockReceive, stockReverse, stockSetLevel, stockTransfer } from '../../lib/db/stock.ts'
import { stockTableExtent, stockTableRows, TABLE_ROWS } from '../../lib/db/stock-table.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { MovementQuestionRead } from '../../lib/stock/movement-search.ts'
import { stockWords } from '../../lib/stock/stock-words.ts'
import { type TableQuestion, TableQuestionRead, tableCell, USUAL_COLUMNS } from '../../lib/stock/table.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { formAsRead } from './form-as-read.ts'

const ALL = MovementQuestionRead.parse({})

useWorkshop()

let keeper: string
let barn: number
let van: number

beforeAll(async () => {
  keeper = await aPerson('Ivo Plumtree')
  barn = await aBin('A1-03', 'Long barn')
  van = await aBin('V-2', 'Field van')
})

const receive = (partId: number, quantity: number, binId = barn) =>
  stockReceive(asWriter(keeper), { partId, binId, quantity })
const level = (partId: number, reorderPoint: number) =>
  stockSetLevel(asWriter(keeper), { partId, reorderPoint, orderUpTo: reorderPoint + 5, reason: 'set for the test' })

const EVERYTHING = TableQuestionRead.parse({})

/** Numbers of the whole table, window by window as who scrolls through it gets them; its extent must have said how many. */
async function numbersOn(asked: Partial<TableQuestion>): Promise<string[]> {
  const question = { ...EVERYTHING, ...asked }
  const extent = await stockTableExtent(question)
  const windows = []
  for (const after of [null, ...extent.anchors]) windows.push(await stockTableRows(question, after))
  const numbers = windows.flat().map((row) => row.number)
  expect(numbers).toHaveLength(extent.rows)
  return numbers
}

describe('the stock table', () => {
  test('has what lies, lay or should lie on a shelf, and not the rest of the parts book', async () => {
    await receive(await aPart({ number: 'LIES-1' }), 2)
    await level(await aPart({ number: 'SHOULD-2' }), 1)
    const gone = await aPart({ number: 'LAY-3' })
    await receive(gone, 4)
    await stockIssue(asWriter(keeper), { partId: gone, binId: barn, quantity: 4, reason: 'yard gate' })
    await aPart({ number: 'NEVER-4' })
    const all = await numbersOn({})
    expect(all).toEqual(expect.arrayContaining(['LAY-3', 'LIES-1', 'SHOULD-2']))
    expect(all).not.toContain('NEVER-4')
    expect(await numbersOn({ state: 'none' })).toEqual(expect.arrayContaining(['LAY-3', 'SHOULD-2']))
    expect(await numbersOn({ state: 'none' })).not.toContain('LIES-1')
  })

  test('none is nothing free: what a job keeps is there for nobody else, and the job is named', async () => {
    const partId = await aPart({ number: 'KEPT-6' })
    await receive(partId, 2)
    const { jobId, number } = await jobOpen(asWriter(keeper), {
      machineId: await aMachine(),
      complaint: 'seal weeps at the hub',
      kind: 'repair',
      hours: null,
      unsafe: false,
      positions: [],
    })
    expect(await numbersOn({ state: 'none' })).not.toContain('KEPT-6')
    await needAdd(asWriter(keeper), { jobId, partId, quantity: 2 })
    expect(await numbersOn({ state: 'none' })).toContain('KEPT-6')
    const rows = await stockTableRows({ ...EVERYTHING, search: 'KEPT-6' }, null)
    const said = `none free, 2 kept for job ${number}`
    expect(stockWords(rows[0]!.stock, 'each', null)).toMatchObject({ shape: '☐', words: said })
    // The search says the same of it as the shelf does.
    const [hit] = await partSearch('KEPT-6')
    expect(stockWords(hit!, 'each', hit!.reorderPoint)).toMatchObject({ shape: '☐', words: said })
    expect(stockWords(rows[0]!.stock, 'each', null, jobId).shape).toBe('■')
  })

  test('low is at the reorder point and not one piece above, less what jobs keep', async () => {
    const partId = await aPart({ number: 'LOW-5' })
    await level(partId, 3)
    await receive(partId, 4)
    expect(await numbersOn({ state: 'low' })).not.toContain('LOW-5')
    const { jobId } = await jobOpen(asWriter(keeper), {
      machineId: await aMachine(),
      complaint: 'belt squeals under load',
      kind: 'repair',
      hours: null,
      unsafe: false,
      positions: [],
    })
    await needAdd(asWriter(keeper), { jobId, partId, quantity: 1 })
    expect(await numbersOn({ state: 'low' })).toContain('LOW-5')
    await receive(partId, 1)
    expect(await numbersOn({ state: 'low' })).not.toContain('LOW-5')
  })

  test('is found by number as it is typed, by words, and by store', async () => {
    const partId = await aPart({ number: 'QX-77 1', description: 'Idler pulley' })
    await receive(partId, 250, van)
    expect(await numbersOn({ search: 'qx771' })).toEqual(['QX-77 1'])
    expect(await numbersOn({ search: 'idler' })).toEqual(['QX-77 1'])
    expect(await numbersOn({ search: 'no such thing' })).toEqual([])
    const stores = await storesList()
    const storeId = stores.find((store) => store.name === 'Field van')!.id
    expect(await numbersOn({ storeId })).toEqual(['QX-77 1'])
    expect(await numbersOn({ storeId: stores.find((store) => store.name === 'Long barn')!.id })).not.toContain(
      'QX-77 1',
    )
  })

  test('goes on over the page, each part once', async () => {
    await inTransaction(async (tx) => {
      for (let at = 0; at <= TABLE_ROWS; at++) {
        const number = `ZZ-${1000 + at}`
        const key = number.replace('-', '').toLowerCase()
        const part = { number, numberKey: key, maker: 'Thornley & Pike', makerKey: 'tp', description: 'Shim' }
        const { id } = await tx.part.create({ data: { ...part, searchText: `${number} ${key} shim`.toLowerCase() } })
        await tx.stockLevel.create({
          data: { partId: id, reorderPoint: 0, orderUpTo: 1, reason: 'set for the test', setAt: new Date(0) },
        })
      }
    })
    const shims = { ...EVERYTHING, search: 'shim' }
    const { rows, anchors } = await stockTableExtent(shims)
    expect([rows, anchors.length]).toEqual([TABLE_ROWS + 1, 1])
    expect(await stockTableRows(shims, null)).toHaveLength(TABLE_ROWS)
    expect(await stockTableRows(shims, anchors[0]!)).toHaveLength(1)
    const numbers = await numbersOn({ search: 'shim' })
    expect(new Set(numbers).size).toBe(TABLE_ROWS + 1)
    expect(numbers).toEqual([...numbers].sort())
  })

  test('stands in the order that was asked: the dearest stock first, and parts of one worth all of them, once', async () => {
    for (const [number, costMinor] of [
      ['DEAR-1', 90_000],
      ['CHEAP-1', 100],
    ] as const)
      await stockReceive(asWriter(keeper), { partId: await aPart({ number }), binId: barn, quantity: 1, costMinor })
    const byValue = await numbersOn({ sort: 'value' })
    expect(byValue[0]).toBe('DEAR-1')
    expect(byValue.indexOf('CHEAP-1')).toBe(1)
    expect([...byValue].sort()).toEqual([...(await numbersOn({ sort: 'description' }))].sort())
  })

  test('says in each column what was asked for, and in none what cannot be known', async () => {
    const partId = await aPart({ number: 'CELL-1', description: 'Hose, 19 mm' })
    await stockReceive(asWriter(keeper), { partId, binId: barn, quantity: 3, costMinor: 1250 })
    const [row] = await stockTableRows({ ...EVERYTHING, search: 'CELL-1' }, null)
    const says = (column: Parameters<typeof tableCell>[1]) =>
      tableCell(row!, column, 'GBP', '2026-11-27')
        .map((piece) => piece.text)
        .join('')
    expect(says('where')).toBe('A1-03: 3 Long barn')
    expect([says('cost'), says('value')]).toEqual(['£12.50', '£37.50'])
    expect([says('reorder'), says('stock')]).toEqual(['none', '■ 3 on shelf'])
    expect(TableQuestionRead.parse({ columns: ['value', 'nonsense', 'where'] }).columns).toEqual(['where', 'value'])
    expect(TableQuestionRead.parse({ columns: '' }).columns).toEqual(USUAL_COLUMNS)
  })

  test('a question is kept under a name, for the person alone; the same name keeps the new question', async () => {
    const other = await aPerson('Odile Trantham')
    await savedViewKeep(asWriter(keeper), { name: 'Dear and low', query: 'state=low&sort=value' })
    await savedViewKeep(asWriter(keeper), { name: 'dear and  low', query: 'sort=value' })
    expect(await savedViews(other)).toEqual([])
    const [view, ...more] = await savedViews(keeper)
    expect([view!.name, view!.query, more]).toEqual(['dear and  low', 'sort=value', []])
    await savedViewDrop(asWriter(other), { viewId: view!.id })
    expect(await savedViews(keeper)).toHaveLength(1)
    await savedViewDrop(asWriter(keeper), { viewId: view!.id })
    expect(await savedViews(keeper)).toEqual([])
  })
})

describe('a bin', () => {
  test('lists what lies there and what lay there, by number, and other bins leave it alone', async () => {
    const binId = await aBin('B2-01', 'Long barn')
    const [first, second] = [await aPart({ number: 'BB-1' }), await aPart({ number: 'BB-2' })]
    await receive(second, 3, binId)
    await receive(first, 2, binId)
    await receive(first, 7, barn)
    await stockTransfer(asWriter(keeper), { partId: second, fromBinId: binId, toBinId: van, quantity: 3 })
    const bin = await binRead(binId)
    expect(bin.parts.map(({ number, quantity }) => [number, quantity])).toEqual([
      ['BB-1', 2],
      ['BB-2', 0],
    ])
    expect(bin.parts[0]!.stock.onHand).toBe(9)
    expect((await binsList()).find((one) => one.id === binId)).toMatchObject({
      id: binId,
      code: 'B2-01',
      store: 'Long barn',
      parts: 1,
    })
    await expect(binRead(999_999)).rejects.toMatchObject({ code: 'stock/unknown-bin', status: 404 })
  })

  test('a part that never lay there is counted in from nothing', async () => {
    const partId = await aPart({ number: 'FOUND-1' })
    expect(await binPartNew(partId)).toMatchObject({ number: 'FOUND-1', quantity: 0 })
    expect(await binPartNew(999_999)).toBeNull()
    await stockCount(asWriter(keeper), { partId, binId: barn, expected: 0, counted: 2, reason: 'behind the drawer' })
    expect((await binRead(barn)).parts.find((part) => part.partId === partId)?.quantity).toBe(2)
  })

  test('part and bin are called by their names', async () => {
    const partId = await aPart({ number: 'OIL-3', unit: 'litre' })
    expect(await placeNames(partId, van)).toEqual({ number: 'OIL-3', unit: 'litre', bin: 'V-2' })
    await expect(placeNames(999_999, van)).rejects.toMatchObject({ code: 'stock/unknown-part' })
    await expect(placeNames(partId, 999_999)).rejects.toMatchObject({ code: 'stock/unknown-bin' })
  })
})

describe('the movements', () => {
  test('say who, what, where and why, newest first, and what puts what right', async () => {
    const partId = await aPart({ number: 'MV-1' })
    const { movementId } = await receive(partId, 5)
    await stockReverse(asWriter(keeper), { movementId, reason: 'booked twice' })
    const { rows, more } = await movementsFind({ ...ALL, partId }, null)
    expect(more).toBe(false)
    expect(rows).toMatchObject([
      {
        kind: 'reversal',
        quantity: -5,
        reversesId: movementId,
        reason: 'booked twice',
        whyNotReversible: expect.any(String),
      },
      {
        kind: 'receive',
        quantity: 5,
        person: 'Ivo Plumtree',
        bin: 'A1-03',
        reversedById: rows[0]!.id,
        whyNotReversible: null,
      },
    ])
    expect((await movementsFind({ ...ALL, partId }, rows[0]!.id)).rows.map((row) => row.id)).toEqual([movementId])
    expect(await movementRead(movementId)).toMatchObject({ number: 'MV-1' })
    expect(await movementRead(999_999)).toBeNull()
  })
})

const read = <S extends z.ZodType>(schema: S, fields: Record<string, string>): z.output<S> =>
  formAsRead(schema, Object.entries(fields))

function faultsOf(schema: z.ZodType, fields: Record<string, string>): unknown {
  try {
    return { accepted: read(schema, fields) }
  } catch (error) {
    return (error as { fields?: unknown }).fields ?? error
  }
}

describe('the forms', () => {
  const oil = { partId: '7', binId: '3', unit: 'litre' }

  test('a quarter of a litre is 250 millilitres, with point or comma', () => {
    expect(read(ReceiveForm, { ...oil, quantity: '0.25', cost: '', reason: '' })).toEqual({
      partId: 7,
      binId: 3,
      quantity: 250,
    })
    expect(read(IssueForm, { ...oil, quantity: '0,25', reason: 'yard gate' })).toMatchObject({ quantity: 250 })
  })

  test('a cost is read in whole money, and what is no amount is marked', () => {
    expect(read(ReceiveForm, { ...oil, quantity: '2', cost: '12.5' })).toMatchObject({
      quantity: 2000,
      costMinor: 1250,
    })
    expect(faultsOf(ReceiveForm, { ...oil, quantity: '2', cost: 'a fiver' })).toEqual({ cost: expect.any(String) })
  })

  test('half a bearing, nothing at all and no bin are marked at their fields', () => {
    const bearing = { partId: '7', binId: '3', unit: 'each' }
    expect(faultsOf(ReceiveForm, { ...bearing, quantity: '0.5' })).toEqual({ quantity: 'enter a whole number' })
    expect(faultsOf(ReceiveForm, { ...bearing, quantity: '0' })).toEqual({ quantity: 'enter a number above zero' })
    expect(faultsOf(ReceiveForm, { ...bearing, binId: '', quantity: '4' })).toEqual({ binId: 'choose a bin' })
    expect(faultsOf(ReceiveForm, { ...bearing, quantity: '' })).toEqual({ quantity: 'enter how many' })
    expect(faultsOf(IssueForm, { ...bearing, quantity: '1', reason: '' })).toEqual({ reason: 'say what it is for' })
    const moved = { partId: '7', fromBinId: '3', unit: 'each', quantity: '1' }
    expect(faultsOf(TransferForm, { ...moved, toBinId: '' })).toEqual({ toBinId: 'choose a bin' })
  })

  test('of a count sheet a line left blank is left alone, a count of nothing is 0, and what is no quantity stays on its line', () => {
    const line = (at: string, counted: string, more: Record<string, string> = {}) => {
      const fields = { counted, unit: 'each', asOf: '40', ...more }
      return Object.fromEntries(Object.entries(fields).map(([field, value]) => [`${field}.${at}`, value]))
    }
    const sheet = {
      ...line('3.7', '0', { reason: 'found', words: 'behind the rack' }),
      ...line('3.8', ''),
      ...line('3.9', '250 ml', { unit: 'litre', cut: '42' }),
      ...line('5.7', 'a few', { reason: 'because', cut: '' }),
      reason: 'broken',
      words: 'the frost',
    }
    // Each line has its own reason, else that of the whole sheet.
    expect(read(CountSheetForm, sheet)).toEqual([
      { binId: 3, partId: 7, counted: 0, asOf: 40, cutId: null, reasonCode: 'found', words: 'behind the rack' },
      { binId: 3, partId: 9, counted: 250, asOf: 40, cutId: 42, reasonCode: 'broken', words: 'the frost' },
      { binId: 5, partId: 7, counted: null, asOf: 40, cutId: null, reasonCode: null, words: '' },
    ])
    expect(faultsOf(CountSheetForm, line('3.8', ''))).toEqual({
      '': 'enter what you counted on at least one line; 0 when there is none',
    })
  })
})
