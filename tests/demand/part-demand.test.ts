import { beforeAll, describe, expect, test } from 'vitest'
import { partDemand } from '../../lib/db/demand-history.ts'
import { supersessionPlace } from '../../lib/db/part.ts'
import { stockIssue, stockReceive, stockReturn, stockReverse } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aFigureLine } from '../support/figure-line.ts'

useWorkshop()
let nell = ''
let barn = 0
let van = 0
const on = (day: string) => asWriter(nell, { now: new Date(`${day}T09:00:00Z`) })

beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  barn = await aBin('A1-03', 'Long barn')
  van = await aBin('V1', 'Van')
})

/** A line of the part on a figure of an axle with two sides. */
const fitted = (machineId: number, partId: number, quantity: number, serialFrom: string | null = null) =>
  aFigureLine(machineId, partId, quantity, {
    positions: [
      { code: 'LH', label: 'left' },
      { code: 'RH', label: 'right' },
    ],
    serialFrom,
  })

function meter(machineId: number, day: string, hours: number): Promise<void> {
  return inTransaction(async (tx) => {
    await tx.hourReading.create({ data: { machineId, hourTenths: hours * 10, at: new Date(`${day}T00:00:00Z`) } })
  })
}

describe('use of a part as the ledger has it', () => {
  test('is what was taken less what came back, without what was reversed, up to the last whole month', async () => {
    const partId = await aPart()
    const machineId = await aMachine()
    const here = { partId, binId: barn }
    await stockReceive(on('2026-01-05'), { ...here, quantity: 20 })
    await stockIssue(on('2026-01-10'), { ...here, quantity: 4, machineId })
    const slip = await stockIssue(on('2026-02-02'), { ...here, quantity: 9, machineId })
    await stockReverse(on('2026-02-03'), { movementId: slip.movementId, reason: 'wrong part' })
    await stockReturn(on('2026-02-20'), { ...here, quantity: 1, machineId })
    await stockIssue(on('2026-03-20'), { ...here, quantity: 2, machineId })
    const { months, machines } = await partDemand(partId, '2026-03-31')
    expect(months.map(({ month, other }) => [month, other])).toEqual([
      ['2026-01', 3],
      ['2026-02', 0],
    ])
    expect(machines).toBe(0)
  })

  test('of one store is what was taken there', async () => {
    const partId = await aPart()
    const machineId = await aMachine()
    for (const binId of [barn, van]) {
      await stockReceive(on('2026-01-05'), { partId, binId, quantity: 20 })
      await stockIssue(on('2026-01-10'), { partId, binId, quantity: binId === van ? 7 : 1, machineId })
    }
    const store = await inTransaction(async (tx) => (await tx.bin.findUniqueOrThrow({ where: { id: van } })).storeId)
    expect((await partDemand(partId, '2026-02-01', store)).months[0]?.other).toBe(7)
    expect((await partDemand(partId, '2026-02-01')).months[0]?.other).toBe(8)
  })

  test('takes in what was used of the parts that it replaces, and the hours of the machines that list either', async () => {
    const [old, fresh] = [await aPart(), await aPart()]
    await inTransaction((tx) =>
      supersessionPlace(tx, new Date('2026-02-01T00:00:00Z'), {
        oldPartId: old,
        newPartId: fresh,
        ratio: 2,
        interchange: 'one-way',
      }),
    )
    const [early, late] = [await aMachine('M-A', 'TB100'), await aMachine('M-B', 'TB900')]
    // One old piece at each of two positions; the second machine is before the break of the line.
    await fitted(early, old, 1)
    await fitted(late, old, 1, 'TB950')
    for (const machineId of [early, late]) {
      await meter(machineId, '2026-01-01', 100)
      await meter(machineId, '2026-02-01', 131)
    }
    await stockReceive(on('2026-01-05'), { partId: old, binId: barn, quantity: 5 })
    await stockIssue(on('2026-01-10'), { partId: old, binId: barn, quantity: 3, machineId: early })
    const demand = await partDemand(fresh, '2026-02-10')
    expect(demand.parts).toEqual([
      { partId: fresh, ratio: 1 },
      { partId: old, ratio: 2 },
    ])
    expect(demand.months.map((one) => one.other)).toEqual([6])
    expect(demand.machines).toBe(1)
    // 31 hours, two positions, two new pieces for each old one.
    expect(demand.exposure[0]).toBeCloseTo(31 * 2 * 2, 6)
  })
})
