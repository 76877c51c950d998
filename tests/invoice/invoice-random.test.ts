import fc from 'fast-check'
import { expect, test } from 'vitest'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { orderPlace, orderRead } from '../../lib/db/buying.ts'
import { database } from '../../lib/db/client.ts'
import { creditEnter, creditWithdraw } from '../../lib/db/credit.ts'
import { creditExpected } from '../../lib/db/credit-read.ts'
import { differenceDecide, invoiceEnter, invoiceWithdraw } from '../../lib/db/invoice.ts'
import { invoiceExpected, invoiceRead } from '../../lib/db/invoice-read.ts'
import { orderReceive } from '../../lib/db/receiving.ts'
import { stockReverse } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { creditsVerify } from '../../lib/db/verify-credits.ts'
import { invoicesVerify } from '../../lib/db/verify-invoices.ts'
import { creditTax } from '../../lib/invoice/credit.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

const few = fc.nat({ max: 999 })
const steps = fc.array(
  fc.record({
    act: fc.constantFrom(
      ...['receive', 'receive', 'reverse', 'enter', 'enter', 'decide', 'decide', 'withdraw'],
      ...['credit', 'credit', 'credit', 'uncredit'],
    ),
    ...{ which: few, many: fc.integer({ min: 1, max: 5 }), off: fc.constantFrom(0, 0, 0, 50, -30) },
  }),
  { minLength: 60, maxLength: 60 },
)
type Step = ReturnType<typeof steps.generate>['value'][number]

/** Three orders of one supplier for two parts each. */
async function orders(person: string) {
  const parts = [await aPart(), await aPart()]
  const supplierId = await inTransaction(async (tx) => {
    const name = 'Marlpit Farm Factors'
    const { id } = await tx.supplier.create({
      data: { name, nameKey: nameKey(name), leadTimeDays: 3, carriageMinor: 850, taxThousandths: 200 },
    })
    for (const partId of parts) await tx.offer.create({ data: { supplierId: id, partId, priceMinor: 1250 } })
    return id
  })
  const ids: number[] = []
  for (const quantity of [9, 8, 7]) {
    const lines = parts.map((partId) => ({ partId, quantity }))
    ids.push((await orderPlace(asWriter(person), { supplierId, lines })).orderId)
  }
  return ids
}

test('whatever is received, reversed, invoiced, settled, credited and withdrawn, invoices and credit notes stand as their lines say', async () => {
  const [person, binId] = [await aPerson('Nell Harrow'), await aBin('A1-03')]
  const orderIds = await orders(person)
  const lineIds = (await Promise.all(orderIds.map((id) => orderRead(id)))).map(({ lines }) => lines.map(({ id }) => id))
  const pick = <T>(of: readonly T[], which: number): T | undefined => of[which % Math.max(1, of.length)]
  let [entered, notes] = [0, 0]
  const acts: Record<string, (step: Step) => Promise<unknown>> = {
    receive: ({ which, many, off }) => {
      const at = which % 3
      const line = { lineId: lineIds[at]![which % 2]!, binId, quantity: many, keepOver: off > 0 }
      const lines = [{ ...line, ...(off === 0 ? {} : { notePriceMinor: 1250 + off }) }]
      return orderReceive(asWriter(person), { orderId: orderIds[at]!, lines })
    },
    reverse: async ({ which }) => {
      const there = await database().movement.findMany({ where: { kind: 'receive', reversedBy: null } })
      const movement = pick(there, which)
      return movement && stockReverse(asWriter(person), { movementId: movement.id, reason: 'another order' })
    },
    enter: async ({ which, off }) => {
      const of = orderIds.filter((_, at) => ((which % 7) + 1) & (1 << at))
      const { lines, totals } = await invoiceExpected(...of)
      const invoiced = lines.flatMap(({ lineId, expected, invoiced: { priceMinor } }, at) => {
        const quantity = expected + (which % 5 === at ? 1 : 0)
        return quantity > 0 ? [{ lineId, quantity, priceMinor: priceMinor + off }] : []
      })
      const { carriageMinor, depositsMinor, taxMinor, totalMinor } = totals
      entered += 1
      return invoiceEnter(asWriter(person), {
        ...{ orderId: of[0]!, number: `RE-${entered}`, day: '2026-11-06', lines: invoiced },
        ...{ carriageMinor: carriageMinor + (which % 4 === 0 ? 100 : 0), depositsMinor, taxThousandths: 200 },
        ...{ taxMinor, totalMinor },
      })
    },
    decide: async ({ which, off }) => {
      const open = await database().invoiceDifference.findMany({ where: { state: { in: ['open', 'disputed'] } } })
      const one = pick(open, which)
      const [seen, as] = [one?.state as 'open', off < 0 ? 'disputed' : 'accepted'] as const
      return one && differenceDecide(asWriter(person), { differenceId: one.id, seen, as, reason: 'Rob, telephone' })
    },
    withdraw: async ({ which }) => {
      const one = pick(await database().invoice.findMany({ where: { state: { not: 'withdrawn' } } }), which)
      return one && invoiceWithdraw(asWriter(person), { invoiceId: one.id, reason: 'misread' })
    },
    // All that is open, a part of it, or more than that; now and then one piece that was sent back.
    credit: async ({ which, many, off }) => {
      const invoice = pick(await database().invoice.findMany({ where: { state: { not: 'withdrawn' } } }), which)
      if (!invoice) return undefined
      const { owed, lines, totals } = await creditExpected(invoice.id)
      const credited = owed.map(({ id, openMinor }) => ({
        differenceId: id,
        amountMinor: Math.max(1, many > 2 ? Math.floor(openMinor / many) : openMinor + (off > 0 ? many - 2 : 0)),
      }))
      const back = lines
        .slice(0, which % 3 === 0 ? 1 : 0)
        .map(({ lineId, invoiced }) => ({ lineId, quantity: 1, amountMinor: invoiced.priceMinor }))
      const kinds = [...owed.map(({ kind }) => kind), ...back.map(() => null)]
      const amounts = [...credited, ...back].map(({ amountMinor }) => amountMinor)
      const taxMinor = creditTax(
        amounts.map((amountMinor, at) => ({ amountMinor, kind: kinds[at]! })),
        totals.taxThousandths,
      )
      notes += 1
      return creditEnter(asWriter(person), {
        ...{ invoiceId: invoice.id, alsoIds: [], number: `G-${notes}`, day: '2026-11-09', sumMinor: null },
        ...{ lines: credited, back, taxMinor, totalMinor: amounts.reduce((sum, one) => sum + one, taxMinor) },
      })
    },
    uncredit: async ({ which }) => {
      const note = pick(await database().creditNote.findMany({ where: { state: 'entered' } }), which)
      return note && creditWithdraw(asWriter(person), { creditNoteId: note.id, reason: 'misread' })
    },
  }
  const done = new Map<string, number>()
  for (const [at, step] of fc.sample(steps, { seed: 20261128, numRuns: 1 })[0]!.entries()) {
    try {
      if ((await acts[step.act]!(step)) !== undefined) done.set(step.act, (done.get(step.act) ?? 0) + 1)
    } catch (error) {
      if (!isRefusal(error)) throw error
    }
    if (at % 3 === 2) expect([...(await invoicesVerify()), ...(await creditsVerify())], `after step ${at}`).toEqual([])
  }
  // Each act was done, and none of them was only ever refused.
  expect([...done.keys()].sort()).toEqual([
    ...['credit', 'decide', 'enter', 'receive', 'reverse', 'uncredit', 'withdraw'],
  ])
  const states = new Set((await database().invoice.findMany({ select: { state: true } })).map(({ state }) => state))
  expect(states.size).toBeGreaterThan(1)
  const several = await database().invoice.findMany({ select: { id: true } })
  const spread = await Promise.all(several.map(({ id }) => invoiceRead(id)))
  expect(spread.some(({ orders: of }) => of.length > 1)).toBe(true)
})
