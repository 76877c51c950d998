import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { orderDayNext, orderDaysSay } from '../../lib/buying/order-day.ts'
import { DAYS_MOST, dayBars, faultsOf, type LineRun, onTimeOf } from '../../lib/buying/supplier-record.ts'
import { SupplierForm } from '../../lib/buying/supplier-schema.ts'
import { orderPlace, orderRead } from '../../lib/db/buying.ts'
import { database } from '../../lib/db/client.ts'
import { orderReceive } from '../../lib/db/receiving.ts'
import { supplierChange, supplierCreate, supplierFacts, supplierList, supplierRead } from '../../lib/db/supplier.ts'
import { daysBetween } from '../../lib/service/plain-date.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

const FORM = {
  name: ' Marlpit Farm Factors ',
  contact: '',
  email: 'counter@marlpit.example',
  customerNumber: 'QB-117',
  orderDays: ['4', '1', '4'],
  leadTimeDays: '3',
  minimumOrderMinor: '',
  carriageMinor: '8,50',
  carriagePaidFromMinor: '150',
  note: '',
  discountHundredths: '12,5 %',
  taxThousandths: '7,5',
}

describe('days on which a supplier takes orders', () => {
  // Weekdays by ISO 8601; 27 November 2026 is a Friday by any calendar.
  test.each([
    ['2026-11-27', [1, 4], '2026-11-30'],
    ['2026-11-27', [5], '2026-11-27'],
    ['2026-11-27', [], '2026-11-27'],
    ['2026-12-31', [3], '2027-01-06'],
  ])('from %s with the days %j the next is %s', (day, days, next) => {
    expect(orderDayNext(day, days)).toBe(next)
  })

  test('nobody waits a whole week, and the day that comes is one of theirs', () => {
    const weekday = (day: string) => new Date(`${day}T00:00:00Z`).getUTCDay() || 7
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 40_000 }),
        fc.uniqueArray(fc.integer({ min: 1, max: 7 }), { minLength: 1 }),
        (at, days) => {
          const day = new Date(at * 86_400_000).toISOString().slice(0, 10)
          const next = orderDayNext(day, days)
          expect(days).toContain(weekday(next))
          expect(daysBetween(day, next)).toBeLessThan(7)
          expect(daysBetween(day, next)).toBeGreaterThanOrEqual(0)
        },
      ),
    )
  })

  test('they are said as people say them', () => {
    expect(orderDaysSay([4, 1])).toBe('Mondays and Thursdays')
    expect(orderDaysSay([1, 3, 5])).toBe('Mondays, Wednesdays and Fridays')
    expect(orderDaysSay([])).toBe('any day')
  })
})

describe('the record of a supplier', () => {
  const line = (dueOn: string, cameOn: string | null, isOpen = false): LineRun => ({
    orderedOn: '2026-10-01',
    dueOn,
    cameOn,
    isOpen,
    days: cameOn === null ? null : daysBetween('2026-10-01', cameOn),
  })

  test('a line is on time when the last of it came by the day of the order; an overdue one is late before it comes', () => {
    const lines = [
      line('2026-10-08', '2026-10-08'),
      line('2026-10-08', '2026-10-09'),
      line('2026-10-08', null, true),
      line('2026-12-08', null, true),
    ]
    expect(onTimeOf(lines, '2026-11-01')).toEqual({ known: 3, onTime: 1 })
  })

  test('the picture has every line once, and no gaps', () => {
    const bars = dayBars([
      line('2026-10-08', '2026-10-03'),
      line('2026-10-08', '2026-10-05'),
      line('2026-10-08', '2027-10-05'),
    ])
    expect(bars.map((bar) => bar.days)).toEqual(Array.from({ length: DAYS_MOST + 1 }, (_, day) => day))
    expect(bars.filter((bar) => bar.lines > 0)).toEqual([
      { days: 2, lines: 1 },
      { days: 4, lines: 1 },
      { days: DAYS_MOST, lines: 1 },
    ])
    expect(dayBars([])).toEqual([])
  })

  test('a part delivery counts against nobody', () => {
    const kinds = ['part', 'damaged', 'part', 'wrong-part', 'damaged'].map((kind) => ({ kind }))
    expect(faultsOf(kinds)).toEqual([
      { kind: 'damaged', times: 2 },
      { kind: 'wrong-part', times: 1 },
    ])
  })
})

describe('what is kept of a supplier', () => {
  test('days are kept once and in order, money in minor units, blanks as nothing', () => {
    expect(SupplierForm.parse(FORM)).toEqual({
      name: 'Marlpit Farm Factors',
      contact: null,
      email: 'counter@marlpit.example',
      customerNumber: 'QB-117',
      orderDays: [1, 4],
      leadTimeDays: 3,
      minimumOrderMinor: 0,
      carriageMinor: 850,
      carriagePaidFromMinor: 15_000,
      note: null,
      currency: null,
      discountHundredths: 1250,
      taxThousandths: 75,
    })
  })

  test.each([
    [{ name: ' ' }, 'name'],
    [{ email: 'at the counter' }, 'email'],
    [{ leadTimeDays: '' }, 'leadTimeDays'],
    [{ leadTimeDays: '-3' }, 'leadTimeDays'],
    [{ carriageMinor: '8.505' }, 'carriageMinor'],
    [{ orderDays: '8' }, 'orderDays'],
  ])('%j is refused at its field', (wrong, field) => {
    const { error } = SupplierForm.safeParse({ ...FORM, ...wrong })
    expect(error?.issues.map((issue) => issue.path[0])).toEqual([field])
  })
})

describe('suppliers in the books', () => {
  useWorkshop()
  let buyer = ''
  beforeAll(async () => {
    buyer = await aPerson('Odile Brandreth')
  })
  const on = (day: string) => asWriter(buyer, { now: new Date(`${day}T09:00:00Z`) })
  const facts = (name: string, more: object = {}) => SupplierForm.parse({ ...FORM, ...more, name })

  test('one name is one supplier, however it is written', async () => {
    const { supplierId } = await supplierCreate(on('2026-10-01'), facts('Ellerby Spares'))
    await expect(supplierCreate(on('2026-10-01'), facts('ELLERBY  spares'))).rejects.toMatchObject({
      code: 'buying/supplier-exists',
      message: expect.stringContaining('Ellerby Spares is on the list'),
    })
    const other = await supplierCreate(on('2026-10-01'), facts('Saxholme'))
    await expect(
      supplierChange(on('2026-10-01'), { supplierId: other.supplierId, ...facts('Ellerby spares') }),
    ).rejects.toMatchObject({ code: 'buying/supplier-exists' })
    await supplierChange(on('2026-10-01'), { supplierId, ...facts('Ellerby Spares', { note: 'van on Fridays' }) })
    expect(await supplierFacts(supplierId)).toMatchObject({
      name: 'Ellerby Spares',
      note: 'van on Fridays',
      orderDays: [1, 4],
    })
    await expect(supplierFacts(999_999)).rejects.toMatchObject({ code: 'buying/unknown-supplier' })
  })

  test('an order waits for the day on which the supplier takes orders, and its record tells how it came', async () => {
    const { supplierId } = await supplierCreate(on('2026-10-01'), facts('Thursday Spares', { orderDays: '4' }))
    const partId = await aPart({ costMinor: 900 })
    await database().offer.create({ data: { supplierId, partId, priceMinor: 900, preferred: true } })
    // A Friday: the next Thursday is the 8th, and three days later it should come.
    const { orderId } = await orderPlace(on('2026-10-02'), { supplierId, lines: [{ partId, quantity: 10 }] })
    const order = await orderRead(orderId)
    expect(order.dueOn).toBe('2026-10-11')
    const lineId = order.lines[0]!.id
    const binId = await aBin('S-1', 'Supplier barn')
    await orderReceive(on('2026-10-06'), { orderId, lines: [{ lineId, binId, quantity: 4 }] })
    const inPart = await supplierRead(supplierId, new Date('2026-10-12T09:00:00Z'), 1)
    expect(inPart.onTime).toEqual({ known: 1, onTime: 0 })
    expect(inPart.open).toMatchObject([{ id: orderId, dueOn: '2026-10-11', lines: 1 }])
    const listed = (await supplierList(new Date('2026-10-12T09:00:00Z'))).find(({ id }) => id === supplierId)
    expect(listed).toMatchObject({ offers: 1, openOrders: 1, lateOrders: 1, lead: { receipts: 0 } })
    await orderReceive(on('2026-10-14'), { orderId, lines: [{ lineId, binId, quantity: 5, restGivenUp: true }] })
    const whole = await supplierRead(supplierId, new Date('2026-10-20T09:00:00Z'), 1)
    // 4 pieces after 4 days and 5 after 12: by the mean of the pieces 8 4/9 days.
    expect(whole.runs).toMatchObject([{ cameOn: '2026-10-14', isOpen: false, days: expect.closeTo(76 / 9, 6) }])
    expect(whole.lead.receipts).toBe(1)
    expect(whole.open).toEqual([])
    expect(whole.faults).toEqual([{ kind: 'short', times: 1 }])
    expect(whole.offers).toMatchObject([{ partId, preferred: true }])
  })
})
