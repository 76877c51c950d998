import { describe, expect, test } from 'vitest'
import { movementsFind } from '../../lib/db/movement-search.ts'
import { partLedgerPage, partStockLine } from '../../lib/db/part-ledger.ts'
import { stockIssue, stockReceive, stockReverse, stockTransfer } from '../../lib/db/stock.ts'
import { MovementQuestionRead } from '../../lib/stock/movement-search.ts'
import { movementsCsv } from '../../lib/stock/movement-text.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

/** Writes as a person would on that day. */
const on = (day: string, personId: string) => ({ ...asWriter(personId), now: new Date(`${day}T09:00:00Z`) })

async function aBusyPart() {
  const nell = await aPerson(`Nell Farrow ${(await aPart({})).toString()}`)
  const [partId, binId, other] = [await aPart({ description: 'Flail bolt' }), await aBin(), await aBin()]
  await stockReceive(on('2026-01-05', nell), { partId, binId, quantity: 20 })
  const wrong = await stockIssue(on('2026-02-10', nell), {
    partId,
    binId,
    quantity: 8,
    reason: 'rotor of the neighbour',
  })
  await stockTransfer(on('2026-03-01', nell), { partId, fromBinId: binId, toBinId: other, quantity: 5 })
  await stockReverse(on('2026-03-02', nell), { movementId: wrong.movementId, reason: 'put on the wrong part' })
  await stockIssue(on('2026-04-20', nell), { partId, binId: other, quantity: 5, reason: 'yard' })
  return { nell, partId, binId, other }
}

describe('the ledger of a part', () => {
  test('says after each line what was on hand over all bins: moving from bin to bin changes nothing of it', async () => {
    const { partId } = await aBusyPart()
    const { rows } = await partLedgerPage(partId, null)
    expect(rows.map((row) => [row.kind, row.quantity, row.onHandAfter])).toEqual([
      ['issue', -5, 15],
      ['reversal', 8, 20],
      ['transfer-in', 5, 12],
      ['transfer-out', -5, 7],
      ['issue', -8, 12],
      ['receive', 20, 20],
    ])
    // An older page goes on where the newer one ends.
    expect((await partLedgerPage(partId, rows[3]!.id)).rows.map((row) => row.onHandAfter)).toEqual([12, 20])
  })

  test('is drawn as the days say it, also up to a day that is past', async () => {
    const { partId } = await aBusyPart()
    const line = await partStockLine(partId, '2026-01-01', '2026-03-31')
    expect(line.steps).toEqual([
      { day: '2026-01-01', onHand: 0 },
      { day: '2026-01-05', onHand: 20 },
      { day: '2026-02-10', onHand: 12 },
      { day: '2026-03-02', onHand: 20 },
    ])
    expect(line.daysEmpty).toBe(4)
    expect((await partStockLine(partId, '2026-03-10', '2026-05-01')).steps).toEqual([
      { day: '2026-03-10', onHand: 20 },
      { day: '2026-04-20', onHand: 15 },
    ])
  })
})

describe('looking something up in the ledger', () => {
  const ask = async (asked: object) => (await movementsFind(MovementQuestionRead.parse(asked), null)).rows

  test('by kind, person and days, the last day in it', async () => {
    const { nell, partId } = await aBusyPart()
    expect((await ask({ partId, kind: 'issue' })).map((row) => row.quantity)).toEqual([-5, -8])
    expect(await ask({ partId, personId: 'somebody else' })).toEqual([])
    expect((await ask({ personId: nell, from: '2026-02-10', to: '2026-03-01' })).map((row) => row.kind)).toEqual([
      'transfer-in',
      'transfer-out',
      'issue',
    ])
  })

  test('by the words of the part; what cannot be read in an address asks nothing', async () => {
    const { partId } = await aBusyPart()
    const found = await ask({ words: 'flail bolt', kind: 'receive' })
    expect(found.some((row) => row.partId === partId)).toBe(true)
    expect(await ask({ words: 'no such thing anywhere' })).toEqual([])
    expect(MovementQuestionRead.parse({ kind: 'stolen', jobNumber: 'x', from: '31.12.' })).toMatchObject({
      kind: null,
      jobNumber: null,
      from: null,
    })
  })

  test('goes out as CSV with what came in and what went out apart, and no formula runs in it', async () => {
    const { partId, nell, binId } = await aBusyPart()
    await stockIssue(on('2026-05-01', nell), {
      partId,
      binId,
      quantity: 1,
      reason: '=1+1 and more',
      costCentre: 'Lower orchard',
    })
    const [head, last, before] = movementsCsv(await ask({ partId })).split('\r\n')
    expect(head).toBe(
      '\ufeffmovement,at,kind,part_number,description,bin,in,out,unit,left_in_bin,person,job,order,machine,cost_centre,for_person,reason,reverses',
    )
    expect(last).toMatch(
      /,2026-05-01T09:00:00.000Z,Taken,.*,Flail bolt,[^,]+,,1,each,14,.*,,,,Lower orchard,,'=1\+1 and more,$/,
    )
    expect(before).toMatch(/,Taken,.*,,5,each,0,/)
  })
})
