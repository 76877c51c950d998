import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Held, invoicedBefore } from '../../lib/db/invoice-orders.ts'

/** Only what is asked of orders and invoices here; carriage in minor units. */
function heldOf(
  orders: readonly number[],
  invoices: readonly { of: readonly number[]; carriageMinor: number }[],
): Held {
  return {
    orders: new Map(orders.map((carriageMinor, at) => [at + 1, { carriageMinor }])),
    invoices: invoices.map(({ of, carriageMinor }, at) => ({
      ...{ id: at + 1, orderIds: of, carriageMinor, credits: [] },
      lines: of.map((orderId) => ({ orderLineId: orderId, quantity: at + 1 })),
    })),
  } as unknown as Held
}
const chargedFor = (held: Held, ids: readonly number[], before?: number) =>
  invoicedBefore(held, ids, before).carriageMinor

describe('carriage on an invoice of several orders', () => {
  test('is theirs by what was agreed for each; where none was, each has the same', () => {
    const half = heldOf([1000, 500], [{ of: [1, 2], carriageMinor: 900 }])
    expect([chargedFor(half, [1]), chargedFor(half, [2])]).toEqual([600, 300])
    const none = heldOf([0, 0], [{ of: [1, 2], carriageMinor: 900 }])
    expect([chargedFor(none, [1]), chargedFor(none, [2])]).toEqual([450, 450])
  })

  const orders = fc.array(fc.nat({ max: 5000 }), { minLength: 1, maxLength: 5 })
  const some = orders.chain((agreed) => {
    const ids = agreed.map((_, at) => at + 1)
    const invoice = fc.record({
      of: fc.subarray(ids, { minLength: 1 }),
      carriageMinor: fc.nat({ max: 20_000 }),
    })
    return fc.record({ agreed: fc.constant(agreed), invoices: fc.array(invoice, { maxLength: 6 }) })
  })

  test('is charged to the orders exactly once, whoever asks, and only what was entered before counts', () => {
    fc.assert(
      fc.property(some, ({ agreed, invoices }) => {
        const held = heldOf(agreed, invoices)
        const ids = agreed.map((_, at) => at + 1)
        const all = invoices.reduce((sum, { carriageMinor }) => sum + carriageMinor, 0)
        expect(ids.reduce((sum, id) => sum + chargedFor(held, [id]), 0)).toBe(all)
        expect(chargedFor(held, ids)).toBe(all)
        expect(chargedFor(held, ids, 1)).toBe(0)
        const quantities = [...invoicedBefore(held, ids).quantities.values()].reduce((sum, one) => sum + one, 0)
        expect(quantities).toBe(invoices.reduce((sum, { of }, at) => sum + of.length * (at + 1), 0))
      }),
    )
  })

  test('that is the one agreed leaves nothing to be charged for any of them', () => {
    fc.assert(
      fc.property(orders, (agreed) => {
        const ids = agreed.map((_, at) => at + 1)
        const carriageMinor = agreed.reduce((sum, one) => sum + one, 0)
        const held = heldOf(agreed, [{ of: ids, carriageMinor }])
        expect(ids.map((id) => chargedFor(held, [id]))).toEqual(agreed)
      }),
    )
  })
})
