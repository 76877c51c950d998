import { beforeAll, describe, expect, test } from 'vitest'
import { chaseMailto, chaseOf, chaseSays } from '../../lib/buying/chase.ts'
import { OrderCallForm } from '../../lib/buying/confirm-schema.ts'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { orderPlace, orderRead } from '../../lib/db/buying.ts'
import { jobOpen, needAdd } from '../../lib/db/job.ts'
import { chaseCount, chaseList, orderCall } from '../../lib/db/order-chase.ts'
import { orderConfirm } from '../../lib/db/order-confirm.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { formAsRead } from './form-as-read.ts'

describe('whom to call', () => {
  const line = { confirmedOn: null, promisedOn: null }
  const order = { orderedOn: '2026-11-02', dueOn: '2026-11-10', lines: [line], calledOn: null }

  test('an order is late from the day after it was due, by the line that is looked for first', () => {
    expect(chaseOf(order, '2026-11-10', null)).toBeNull()
    expect(chaseOf(order, '2026-11-11', null)).toEqual({ why: 'late', since: '2026-11-10', days: 1 })
    const lines = [
      { ...line, confirmedOn: '2026-11-20' },
      { ...line, confirmedOn: '2026-11-08' },
    ]
    expect(chaseOf({ ...order, lines }, '2026-11-10', 3)).toEqual({ why: 'late', since: '2026-11-08', days: 2 })
    expect(chaseOf({ ...order, lines: [] }, '2027-01-01', 3)).toBeNull()
  })

  test('a day promised on the telephone takes it off the list until that day is past', () => {
    const lines = [{ confirmedOn: '2026-11-08', promisedOn: '2026-11-16' }]
    expect(chaseOf({ ...order, lines, calledOn: '2026-11-09' }, '2026-11-16', 3)).toBeNull()
    expect(chaseOf({ ...order, lines, calledOn: '2026-11-09' }, '2026-11-17', 3)?.days).toBe(1)
  })

  test('without a confirmation it is chased after the days set, counted from the last call; with none set, never', () => {
    expect(chaseOf(order, '2026-11-04', 3)).toBeNull()
    expect(chaseOf(order, '2026-11-05', 3)).toEqual({ why: 'unconfirmed', since: '2026-11-05', days: 0 })
    expect(chaseOf({ ...order, calledOn: '2026-11-05' }, '2026-11-07', 3)).toBeNull()
    expect(chaseOf(order, '2026-11-09', null)).toBeNull()
    expect(chaseSays({ why: 'late', since: '2026-11-10', days: 1 }, '2026-11-02')).toBe(
      '1 day late, was due 10 Nov 2026',
    )
  })

  test('the e-mail asks after the lines still due by the supplier’s own numbers', () => {
    const href = chaseMailto({
      number: 1043,
      email: 'desk@marlpit.example',
      supplierReference: 'A-771',
      workshop: null,
      lines: [{ number: 'TP-1', supplierNumber: 'MFF/1', description: 'Belt', unit: 'each', due: 2 }],
    })
    expect(decodeURIComponent(href)).toBe(
      'mailto:desk@marlpit.example?subject=Order 1043 (your A-771)&body=When will these lines of our order 1043 (your A-771) come?\r\n\r\n2 of MFF/1, Belt',
    )
  })
})

describe('the chasing list', () => {
  useWorkshop()
  let buyer = ''
  let factors = 0
  beforeAll(async () => {
    buyer = await aPerson('Nell Harrow')
    const name = 'Marlpit Farm Factors'
    factors = await inTransaction(async (tx) => {
      const data = { name, nameKey: nameKey(name), leadTimeDays: 3, contact: 'Rob, 01632 960 001' }
      return (await tx.supplier.create({ data })).id
    })
  })

  /** On 2 November, due on the 5th. */
  async function ordered(...quantities: number[]) {
    const lines = await Promise.all(
      quantities.map(async (quantity) => {
        const partId = await aPart()
        await inTransaction((tx) => tx.offer.create({ data: { supplierId: factors, partId, priceMinor: 900 } }))
        return { partId, quantity }
      }),
    )
    const { orderId } = await orderPlace(asWriter(buyer), { supplierId: factors, lines })
    return { orderId, lines: (await orderRead(orderId)).lines }
  }

  test('says what is late with its contact, the job and the machine that wait, and what was said; a promise moves it away', async () => {
    const { orderId, lines } = await ordered(4, 1)
    const machineId = await aMachine()
    const { jobId, number } = await jobOpen(asWriter(buyer), {
      machineId,
      complaint: 'belt slips',
      kind: 'repair',
      hours: null,
      unsafe: true,
      positions: [],
    })
    await needAdd(asWriter(buyer), { jobId, partId: lines[1]!.partId, quantity: 1 })
    expect(await chaseCount('2026-11-04')).toBe(0)
    const [row] = await chaseList('2026-11-12')
    expect(row).toMatchObject({
      orderId,
      chase: { why: 'late', days: 7 },
      supplier: { contact: 'Rob, 01632 960 001' },
      heldUp: [{ number, machineId, isUnsafe: true }],
      calls: [],
    })
    expect(row!.lines.map((line) => line.due)).toEqual([4, 1])

    const call = (day: string, ...ids: number[]) =>
      orderCall(
        asWriter(buyer),
        formAsRead(OrderCallForm, [
          ['orderId', String(orderId)],
          ['words', 'Rob: still in the press shop'],
          ['promisedOn', day],
          ...ids.map((id): [string, string] => ['line', String(id)]),
        ]),
      )
    await expect(call('2026-11-01', lines[0]!.id)).rejects.toMatchObject({ code: 'input/invalid' })
    await expect(call('2026-11-19')).rejects.toMatchObject({ code: 'buying/nothing-promised' })
    await call('')
    await call('2026-11-19', lines[0]!.id)
    // The other line is still late, and the call is there to be read.
    const [later] = await chaseList('2026-11-12')
    expect(later!.lines.map((line) => line.dueOn)).toEqual(['2026-11-19', '2026-11-05'])
    expect(later!.calls.map((one) => [one.person, one.promisedOn])).toEqual([
      ['Nell Harrow', '2026-11-19'],
      ['Nell Harrow', null],
    ])
    await call('2026-11-20', lines[1]!.id)
    expect(await chaseList('2026-11-12')).toEqual([])
    expect(await chaseCount('2026-11-20')).toBe(1)
  })

  test('has what should have been chased longest first', async () => {
    const first = await ordered(1)
    const second = await ordered(2)
    await orderConfirm(asWriter(buyer), {
      orderId: first.orderId,
      reference: '',
      lines: [{ lineId: first.lines[0]!.id, day: '2026-11-09' }],
    })
    const rows = (await chaseList('2026-11-12')).map((row) => row.orderId)
    expect(rows.indexOf(second.orderId)).toBeLessThan(rows.indexOf(first.orderId))
    expect(rows).toContain(first.orderId)
  })
})
