import fc from 'fast-check'
import { beforeAll, describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { exchangeImport, exchangeRehearse, refusalSays } from '../../lib/db/exchange.ts'
import { offerRead } from '../../lib/db/offer.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { bytes } from './files.ts'

useWorkshop()

let marlpit: number
const parts = new Map<string, number>()
beforeAll(async () => {
  await aPerson('Wilf')
  marlpit = await inTransaction(async (tx) => {
    const data = { name: 'Marlpit', nameKey: 'marlpit', leadTimeDays: 3, discountHundredths: 1000 }
    return (await tx.supplier.create({ data })).id
  })
  for (const number of ['PL-1', 'PL-2', 'PL-3', 'PL-4', 'PL-5']) parts.set(number, await aPart({ number }))
  const offers = { 'PL-1': 500, 'PL-2': 900, 'PL-3': 90, 'PL-4': 100 }
  for (const [number, priceMinor] of Object.entries(offers))
    await inTransaction((tx) =>
      tx.offer.create({
        data: {
          supplierId: marlpit,
          partId: parts.get(number)!,
          priceMinor,
          supplierNumber: `M/${number}`,
          pack: 5,
          minimum: 5,
        },
      }),
    )
})

const HEAD = 'supplier;list;valid_from;valid_until;number;supplier_number;from;to;price;currency'
const file = (...rows: string[]) => ({
  kind: 'prices' as const,
  bytes: bytes(`${HEAD}\n${rows.join('\n')}\n`),
  file: 'winter.csv',
})
const rehearse = (...rows: string[]) => exchangeRehearse(asWriter('person-wilf'), file(...rows))

describe('a price list from a supplier', () => {
  it('says of each row that cannot be used why, and what to do', async () => {
    await inTransaction((tx) =>
      tx.offer.update({
        where: { supplierId_partId: { supplierId: marlpit, partId: parts.get('PL-4')! } },
        data: { withdrawnAt: new Date('2026-10-01T08:00:00Z') },
      }),
    )
    const { refusals, refusedRows, refusedFile } = await rehearse(
      'Marlpit;Winter;2026-10-01;2027-03-31;PL-1;;5;49;5.80;GBP',
      'Marlpit;Winter;2026-10-01;2027-03-31;PL-1;;51;;5.40;GBP',
      'Marlpit;Winter;2026-10-01;2027-03-31;PL-2;;5;50;9.00;',
      'Marlpit;Winter;2026-10-01;2027-03-31;PL-2;;50;;8.00;',
      'Marlpit;Winter;2026-10-01;2027-03-31;PL-99;;5;;1.00;',
      'Marlpit;Winter;2026-10-01;2027-03-31;;M/PL-77;5;;1.00;',
      'Marlpit;Winter;2026-10-01;2027-03-31;PL-3;;5;;-1.00;',
      'Marlpit;Winter;2026-10-01;2027-03-31;PL-3;;5;;1.00;DUC',
      'Marlpit;Winter;2026-11-01;2027-03-31;PL-5;;;;1.00;',
      'Sandholm;Winter;2026-10-01;;PL-5;;;;1.00;',
      'Marlpit;Winter;2026-10-01;2027-03-31;PL-4;;5;;1.00;',
      'Marlpit;Spring;2027-04-01;2027-03-01;PL-5;;;;1.00;',
    )
    expect(refusals.map(refusalSays)).toEqual([
      'row 2, from_quantity: of PL-1: it has no price for 50; correct its rows',
      'row 3, from_quantity: of PL-1: it has no price for 50; correct its rows',
      'row 4, from_quantity: of PL-2: its prices from 5 to 50 and from 50 overlap; correct its rows',
      'row 5, from_quantity: of PL-2: its prices from 5 to 50 and from 50 overlap; correct its rows',
      'row 6, number: no part has the number PL-99; bring the parts in first',
      'row 7, supplier_number: M/PL-77 is a number of no offer of Marlpit; give our number',
      'row 8, price: "-1.00" is below zero; write what is paid, such as 12.50',
      'row 9, currency: DUC is no currency of ISO 4217 that can be kept; Marlpit asks GBP',
      'row 10, valid_from: differs from what row 2 says of the list, 2026-10-01; give a new list another name',
      'row 11, supplier: Sandholm is no supplier here; enter it first, or correct the name',
      'row 12, number: Marlpit does not sell PL-4 any more; offer it again first',
      'row 13, valid_until: is before the first day of the list, 2027-04-01',
    ])
    expect(refusedRows).toBe(12)
    expect(refusedFile.split('\n')[1]).toContain('no price for 50')
  })

  it('shows what becomes dearer and cheaper before it is taken, and changes nothing a second time', async () => {
    const rows = [
      'Marlpit;Winter;2026-10-01;2027-03-31;PL-1;;5;49;6.00;GBP',
      'Marlpit;Winter;2026-10-01;2027-03-31;PL-1;;50;;5.00;',
      'Marlpit;Winter;2026-10-01;2027-03-31;;m-pl-2;;;8,00;',
      'Marlpit;Winter;2026-10-01;2027-03-31;PL-3;;;;1.00;',
      'Marlpit;Winter;2026-10-01;2027-03-31;PL-5;;10;;2.00;',
    ]
    const { moves, refusals, counts, made } = await rehearse(...rows)
    expect(refusals).toEqual([])
    expect(counts).toEqual({ new: 5, changed: 0, same: 0 })
    expect(made).toEqual({ 'price lists': 1, offers: 1 })
    // 10 % off: 6.00 is 5.40 where 5.00 was paid, 8.00 is 7.20 where 9.00 was, 1.00 is 0.90 as before; PL-5 was not sold.
    expect(moves).toMatchObject({
      dearer: 1,
      cheaper: 1,
      same: 1,
      first: 1,
      shown: [
        { called: 'm-pl-2', beforeMinor: 900, afterMinor: 720, moved: -2000, currency: 'GBP' },
        { called: 'PL-1', beforeMinor: 500, afterMinor: 540, moved: 800 },
      ],
    })
    expect(await database().priceList.count()).toBe(0)

    await exchangeImport(asWriter('person-wilf'), file(...rows))
    expect(await offerRead(marlpit, parts.get('PL-1')!, '2026-11-02')).toMatchObject({
      on: {
        list: { name: 'Winter' },
        breaks: [
          { from: 0, priceMinor: 540 },
          { from: 50, priceMinor: 450 },
        ],
      },
      lists: [{ name: 'Winter', source: 'winter.csv', validUntil: '2027-03-31' }],
    })
    expect((await offerRead(marlpit, parts.get('PL-5')!, '2026-11-02')).offer).toMatchObject({ minimum: 10, pack: 1 })

    const again = await rehearse(...rows)
    expect(again).toMatchObject({ counts: { new: 0, changed: 0, same: 5 }, moves: { dearer: 0, cheaper: 0, same: 4 } })
    const changed = await rehearse(rows[0]!, rows[1]!.replace('5.00', '4.80'))
    expect(changed.counts).toEqual({ new: 0, changed: 2, same: 0 })
    await exchangeImport(asWriter('person-wilf'), file(rows[3]!.replace('1.00', '1.10')))
    expect((await offerRead(marlpit, parts.get('PL-1')!, '2026-11-02')).on?.breaks).toHaveLength(2)
    expect((await offerRead(marlpit, parts.get('PL-3')!, '2026-11-02')).on?.breaks).toEqual([
      { from: 0, priceMinor: 99 },
    ])
  })
})

describe('a price list of which some rows are wrong', () => {
  const RIGHT = [
    'Marlpit;Summer;2027-05-01;;PL-1;;5;49;6.10;GBP',
    'Marlpit;Summer;2027-05-01;;PL-1;;50;;5.10;',
    'Marlpit;Summer;2027-05-01;;PL-5;;;;2.20;',
  ]
  const WRONG = [
    // A part of which one break is wrong does not come in with the others, wherever its rows stand and whatever is wrong.
    'Marlpit;Summer;2027-05-01;;PL-2;;5;;8.00;GBP',
    'Marlpit;Summer;2027-05-01;;PL-2;;50;;-7.00;GBP',
    'Marlpit;Summer;2027-05-01;;PL-3;;5;;1.20;GBP',
    'Marlpitt;Summer;2027-05-01;;PL-3;;50;;1.10;GBP',
    'Marlpit;Summer;2027-05-01;;PL-77;;;;1.00;',
  ]
  const import_ = (rows: string[], rightRows: number, key?: string) =>
    exchangeImport(asWriter('person-wilf', key ? { key } : {}), { ...file(...rows), rightRows })
  const listed = async () =>
    (
      await database().listPrice.findMany({
        where: { list: { name: 'Summer' } },
        orderBy: [{ partId: 'asc' }, { fromQuantity: 'asc' }],
      })
    ).map(({ partId, fromQuantity, priceMinor }) => [partId, fromQuantity, priceMinor])
  const part = (number: string) => parts.get(number)!

  it('comes in with its right rows, a part with all its breaks or not at all, and the others in a file to mend', async () => {
    const all = [WRONG[0]!, ...RIGHT.slice(0, 2), ...WRONG.slice(1), RIGHT[2]!]
    const { refusals, refusedRows, rightRows, refusedFile, counts, made } = await rehearse(...all)
    expect(refusals.map(refusalSays)).toEqual([
      'row 2: belongs to row 5, which is refused: the prices of PL-2 come in together',
      'row 5, price: "-7.00" is below zero; write what is paid, such as 12.50',
      'row 6: belongs to row 7, which is refused: the prices of PL-3 come in together',
      'row 7, supplier: Marlpitt is no supplier here; enter it first, or correct the name',
      'row 8, number: no part has the number PL-77; bring the parts in first',
    ])
    expect([refusedRows, rightRows, counts.new, made['price lists']]).toEqual([5, 3, 3, 1])
    // All or nothing is still what happens unless somebody says otherwise.
    await expect(exchangeImport(asWriter('person-wilf'), file(...all))).rejects.toMatchObject({
      code: 'exchange/refused',
      // What cannot be read, and what the workshop says to the rest, in one go.
      faults: refusals.map(refusalSays),
    })
    await expect(import_(all, 4)).rejects.toMatchObject({ code: 'exchange/other-rows', details: { now: 3, then: 4 } })
    expect(await listed()).toEqual([])

    const done = await import_(all, 3, 'prices-one-press')
    expect(done).toMatchObject({ rows: 8, left: 5, counts: { new: 3 } })
    expect(await import_(all, 3, 'prices-one-press')).toEqual(done)
    const taken = [
      [part('PL-1'), 5, 610],
      [part('PL-1'), 50, 510],
      [part('PL-5'), 10, 220],
    ]
    expect(await listed()).toEqual(taken)
    expect(await import_(all, 3)).toMatchObject({ counts: { new: 0, changed: 0, same: 3 } })

    // What was left out is mended in its own file, reasons and all, and brought in again.
    const mended = refusedFile
      // A spreadsheet is kept from taking what begins with a minus for a formula.
      .replace(/'?-7\.00/, '7.00')
      .replace('Marlpitt', 'Marlpit')
      .split('\r\n')
      .filter((line) => !line.includes('PL-77'))
      .join('\r\n')
    await exchangeImport(asWriter('person-wilf'), { kind: 'prices', bytes: bytes(mended), file: 'mended.csv' })
    expect(await listed()).toEqual([
      ...taken.slice(0, 2),
      [part('PL-2'), 5, 800],
      [part('PL-2'), 50, 700],
      [part('PL-3'), 5, 120],
      [part('PL-3'), 50, 110],
      ...taken.slice(2),
    ])
  })

  it('never brings in half of what a part costs, whichever cells are spoiled', async () => {
    const spoil = fc.record({
      row: fc.nat(7),
      cell: fc.constantFrom(0, 1, 2, 4, 6, 7, 8, 9),
      text: fc.constantFrom('', 'x', '-1'),
    })
    let some = 0
    await fc.assert(
      fc.asyncProperty(fc.array(spoil, { minLength: 1, maxLength: 3 }), async (spoils) => {
        const rows = ['PL-1', 'PL-2', 'PL-3', 'PL-5'].flatMap((number) => [
          ['Marlpit', 'Autumn', '2027-09-01', '', number, '', '10', number < 'PL-3' ? '' : '99', '5.00', 'GBP'],
          ['Marlpit', 'Autumn', '2027-09-01', '', number, '', '100', '', '4.00', 'GBP'],
        ])
        for (const { row, cell, text } of spoils) rows[row]![cell] = text
        // A number that is wrong cannot be told from a part that nobody knows; its other row says where it ends.
        const { rightRows, refusedFile, refusedRows } = await rehearse(...rows.map((row) => row.join(';')))
        expect((rightRows ?? 8) + refusedRows).toBe(8)
        some += Number((rightRows ?? 0) > 0)
        const left = refusedFile.split('\r\n').slice(1).filter(Boolean)
        for (const number of ['PL-1', 'PL-2', 'PL-3', 'PL-5']) {
          const own = rows.filter((row) => row[4] === number).length
          expect([0, own]).toContain(left.filter((line) => line.split(',')[4] === number).length)
        }
      }),
      { numRuns: 25, seed: 5 },
    )
    expect(some).toBeGreaterThan(8)
  })
})

it('a list of suppliers brings note, discount and currency, and a known supplier keeps the currency of its prices', async () => {
  await aPart({ number: 'SN-1' })
  const bring = (text: string) =>
    exchangeImport(asWriter('person-wilf'), { kind: 'suppliers', bytes: bytes(text), file: 'suppliers.csv' })
  await bring('supplier,lead_time_days,note,discount,currency,number,price\nFjordside,9,By boat,12.5,SEK,SN-1,120\n')
  expect(await database().supplier.findUnique({ where: { nameKey: 'fjordside' } })).toMatchObject({
    note: 'By boat',
    discountHundredths: 1250,
    currency: 'SEK',
  })
  await bring('supplier,lead_time_days\nFjordside,8\n')
  expect(await database().supplier.findUnique({ where: { nameKey: 'fjordside' } })).toMatchObject({
    note: 'By boat',
    currency: 'SEK',
    leadTimeDays: 8,
  })
  for (const [currency, why] of [
    ['EUR', 'but the supplier asks SEK'],
    ['JPY', 'no currency with two decimals'],
  ])
    await expect(bring(`supplier,currency\nFjordside,${currency}\n`)).rejects.toMatchObject({
      faults: [expect.stringContaining(why!)],
    })
})
