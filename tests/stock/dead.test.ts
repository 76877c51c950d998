import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { deadStock } from '../../lib/db/dead-stock.ts'
import { stockIssue, stockReceive } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { type DeadFact, deadFinding, monthsBefore } from '../../lib/stock/dead.ts'
import { deadCsv } from '../../lib/stock/dead-text.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
const LIMITS = { today: '2026-11-24', months: 12, years: 2 }

/** A part that is used and asked for, so that every test changes only what it is about. */
function aFact(more: Partial<DeadFact> = {}): DeadFact {
  return {
    onHand: 10,
    free: 10,
    valueMinor: 1000,
    lastMovedOn: '2026-10-01',
    lastReceivedOn: '2024-05-01',
    usedYear: 6,
    stores: [{ store: 'Long barn', quantity: 10, usedYear: 6 }],
    criticality: 'essential',
    machines: { inUse: 3, laidUp: 0 },
    supersededBy: null,
    discontinued: false,
    supplier: 'Harrow Supplies',
    ...more,
  }
}
const unused = { usedYear: 0, stores: [{ store: 'Long barn', quantity: 10, usedYear: 0 }], lastMovedOn: '2024-05-01' }

describe('stock that does no work', () => {
  test('a part that is used is none of it', () => {
    expect(deadFinding(aFact(), LIMITS)).toBeNull()
  })

  test('is dead on the day after the months are over, not on the day itself', () => {
    const on = (lastMovedOn: string) => deadFinding(aFact({ ...unused, lastMovedOn }), LIMITS)?.reasons ?? []
    expect(on('2025-11-24')).toEqual([])
    expect(on('2025-11-23')).toEqual(['dead'])
    expect(deadFinding(aFact({ ...unused, lastMovedOn: null }), LIMITS)?.reasons).toEqual(['dead'])
  })

  test('is too much beyond the years of use, and only that much of it', () => {
    expect(deadFinding(aFact({ onHand: 12, free: 12 }), LIMITS)).toBeNull()
    expect(deadFinding(aFact({ onHand: 15, free: 15, valueMinor: 1505 }), LIMITS)).toMatchObject({
      reasons: ['excess'],
      quantity: 3,
      valueMinor: 301,
    })
  })

  test('what is kept for jobs is neither dead nor too much', () => {
    expect(deadFinding(aFact({ ...unused, free: 0 }), LIMITS)).toBeNull()
    expect(deadFinding(aFact({ onHand: 15, free: 12 }), LIMITS)).toBeNull()
  })

  test('months are counted on the calendar, the last day of a short month for the 31st', () => {
    expect(monthsBefore('2026-03-31', 1)).toBe('2026-02-28')
    expect(monthsBefore('2028-02-29', 12)).toBe('2027-02-28')
    expect(monthsBefore('2026-01-15', 3)).toBe('2025-10-15')
  })
})

describe('what to do about it', () => {
  const advice = (more: Partial<DeadFact>) => {
    const found = deadFinding(aFact(more), LIMITS)
    return [found?.reasons, found?.advice]
  }

  test('a part of machines that are all laid up or gone is returned while the supplier may take it, then scrapped', () => {
    const machines = { inUse: 0, laidUp: 1 }
    expect(advice({ machines })).toEqual([['no-machine'], 'scrap'])
    expect(advice({ machines, lastReceivedOn: '2026-02-01' })).toEqual([['no-machine'], 'return'])
    expect(advice({ machines, lastReceivedOn: '2026-02-01', supplier: null })).toEqual([['no-machine'], 'scrap'])
    expect(deadFinding(aFact({ machines: { inUse: 0, laidUp: 0 } }), LIMITS)?.says).toMatch(/No machine of ours/)
  })

  test('a superseded part is used up before the new one is ordered', () => {
    const found = deadFinding(aFact({ supersededBy: { number: 'TX-2', bothWays: false } }), LIMITS)
    expect(found).toMatchObject({ reasons: ['superseded'], advice: 'use-up', quantity: 10 })
    expect(found?.says).toContain('TX-2')
  })

  test('one that does in place of the new part is used there even when its own machines are gone', () => {
    const supersededBy = { number: 'TX-2', bothWays: true }
    expect(advice({ machines: { inUse: 0, laidUp: 0 }, supersededBy })).toEqual([
      ['no-machine', 'superseded'],
      'use-up',
    ])
  })

  test('a part no longer made is kept for the machines that have it', () => {
    expect(advice({ discontinued: true })).toEqual([['discontinued'], 'use-up'])
  })

  test('too much in one store goes to the store that uses it', () => {
    const stores = [
      { store: 'Long barn', quantity: 30, usedYear: 0 },
      { store: 'Van one', quantity: 2, usedYear: 6 },
    ]
    const found = deadFinding(aFact({ onHand: 32, free: 32, stores }), LIMITS)
    expect(found).toMatchObject({ reasons: ['excess'], advice: 'move', quantity: 20 })
    expect(found?.says).toBe('It is used in Van one and lies unused in Long barn.')
  })

  test('what was bought within the year may go back', () => {
    expect(advice({ onHand: 40, free: 40, lastReceivedOn: '2026-02-01' })).toEqual([['excess'], 'return'])
  })

  test('a vital part is never scrapped because nobody asked for it', () => {
    expect(advice({ ...unused, criticality: 'vital', machines: null })).toEqual([['dead'], 'use-up'])
    expect(advice({ ...unused, machines: null })).toEqual([['dead'], 'find-out'])
    // Taken a year ago to the day: it has a use, though no list says which.
    expect(advice({ ...unused, machines: null, usedYear: 6 })).toEqual([['dead'], 'use-up'])
  })
})

describe('read from the shelf', () => {
  let nell = ''
  beforeAll(async () => {
    nell = await aPerson('Nell Farrow')
  })

  test('dead, superseded and laid-up stock is named with its money, dearest first; what is used is not', async () => {
    const on = (day: string) => asWriter(nell, { now: new Date(`${day}T09:00:00Z`) })
    const bin = await aBin('A-1', 'Long barn')
    const shelved = async (number: string, day: string, costMinor: number) => {
      const partId = await aPart({ number })
      await stockReceive(on(day), { partId, binId: bin, quantity: 4, costMinor })
      return partId
    }
    const used = await shelved('TX-7001', '2024-01-10', 900)
    await stockIssue(on('2026-10-10'), { partId: used, binId: bin, quantity: 2, reason: 'yard use' })
    const dead = await shelved('TX-7002', '2024-01-10', 500)
    const old = await shelved('TX-7003', '2026-10-10', 700)
    const laidUp = await shelved('TX-7004', '2026-10-10', 100)
    await inTransaction(async (tx) => {
      const at = new Date('2026-11-01T00:00:00Z')
      await tx.supersession.create({
        data: { oldPartId: old, newPartId: used, interchange: 'one-way', createdAt: at },
      })
      const model = await tx.machineModel.create({
        data: { maker: 'Thornley & Pike', name: 'T8', key: 'thornleypiket8', kind: 'tipping trailer' },
      })
      await tx.machine.create({
        data: { modelId: model.id, fleetNumber: 'T7', fleetKey: 't7', name: 'Grain trailer', state: 'laid-up' },
      })
      await tx.picture.create({
        data: {
          id: 'p1',
          mediaType: 'image/svg+xml',
          extension: 'svg',
          width: 4,
          height: 3,
          bytes: 9,
          createdAt: at,
        },
      })
      const figure = await tx.figure.create({
        data: { title: 'Hub', pictureId: 'p1', width: 4, height: 3, createdAt: at },
      })
      await tx.figureOfModel.create({
        data: { modelId: model.id, figureId: figure.id, number: '1', numberKey: '1' },
      })
      const line = { figureId: figure.id, sort: 1, item: '1', description: 'Spring', quantity: 1 }
      return tx.partsListLine.create({ data: { ...line, partId: laidUp } })
    })
    const rows = await deadStock(LIMITS)
    expect(rows.map(({ partId, reasons, advice, valueMinor }) => [partId, reasons, advice, valueMinor])).toEqual([
      [old, ['superseded'], 'use-up', 2800],
      [dead, ['dead'], 'find-out', 2000],
      [laidUp, ['no-machine'], 'scrap', 400],
    ])
    expect(rows[1]).toMatchObject({ lastMovedOn: '2024-01-10', usedYear: 0, quantity: 4 })
    const csv = deadCsv(rows, 'GBP').split('\r\n')
    expect(csv).toHaveLength(5)
    expect(csv[2]).toContain(
      'TX-7002,Thornley & Pike,Return spring,other,4,each,20.00,GBP,2024-01-10,0,Not moved,Find out,',
    )
    // A machine that works again needs its parts.
    await database().$executeRaw`UPDATE "Machine" SET "state" = 'working'`
    expect((await deadStock(LIMITS)).map((row) => row.partId)).toEqual([old, dead])
  })
})
