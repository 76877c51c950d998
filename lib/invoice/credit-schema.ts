import { z } from 'zod'
import { Day } from '../buying/confirm-schema.ts'
import { fieldsOf } from '../buying/schema.ts'
import { moneyParse } from '../measure/money.ts'
import { Id, quantityTyped } from '../stock/schema.ts'

const Money = z.number().int().min(0).max(100_000_000_000)
const Credited = Money.min(1)
const isOnce = (ids: readonly number[]) => new Set(ids).size === ids.length

export const CreditInput = z.object({
  /** The invoice that it is entered at, and others that it may be of too. */
  invoiceId: Id,
  alsoIds: z.array(Id).max(100),
  number: z.string().trim().min(1, 'enter the number of the credit note').max(60),
  day: Day,
  /** Without tax, money minor units of the order's currency. Differences left out are not on the credit note. */
  lines: z
    .array(z.object({ differenceId: Id, amountMinor: Credited }))
    .max(1000)
    .refine((lines) => isOnce(lines.map(({ differenceId }) => differenceId)), 'a difference is on it once'),
  /** Goods of the first invoice that were sent back; minor units of the stock unit. */
  back: z
    .array(z.object({ lineId: Id, quantity: z.number().int().min(1).max(1_000_000_000), amountMinor: Credited }))
    .max(1000)
    .refine((back) => isOnce(back.map(({ lineId }) => lineId)), 'a line is on it once'),
  /** One sum without tax in place of lines; null where there are lines. */
  sumMinor: Credited.nullable(),
  taxMinor: Money,
  totalMinor: Credited,
})
export type CreditInput = z.infer<typeof CreditInput>

const Text = z.string().trim().default('')

/**
 * A credit note as its form sends it: `credit.<difference>` an amount, empty or 0 where it is not on it; `back.<line>.<unit>` typed in
 * the stock unit with `backFor.<line>` as its amount. Where it gives one sum, `how` is `sum` and the amounts of differences are not read.
 */
export const CreditForm = z
  .looseObject({
    ...{ invoiceId: Id, also: Text, number: Text, day: Text, how: z.enum(['lines', 'sum']).default('lines') },
    ...{ sum: Text, tax: Text, total: Text },
  })
  .transform(({ invoiceId, also, number, day, how, sum, tax, total, ...fields }, context) => {
    const fault = (path: string, message: string) => {
      context.addIssue({ code: 'custom', path: [path], message })
      return 0
    }
    const money = (path: string, text: string, blank?: number) =>
      (text === '' ? blank : moneyParse(text)) ?? fault(path, 'enter an amount, such as 12.50')
    const above = (path: string, text: string) => {
      const minor = money(path, text)
      return minor === 0 ? fault(path, 'enter an amount above 0') : minor
    }
    const textOf = (name: string) => {
      const text = fields[name]
      return typeof text === 'string' ? text.trim() : ''
    }
    const lines = Object.keys(fields).flatMap((name) => {
      const id = /^credit\.([1-9]\d{0,14})$/.exec(name)?.[1]
      if (id === undefined || how === 'sum') return []
      const amountMinor = money(name, textOf(name), 0)
      return amountMinor > 0 ? [{ differenceId: Number(id), amountMinor }] : []
    })
    const back = fieldsOf(fields, 'back').flatMap(({ name, id, unit, text }) => {
      const quantity = text.trim() === '' ? 0 : quantityTyped(text, unit, name, context)
      const amount = `backFor.${id}`
      return quantity > 0 ? [{ lineId: id, quantity, amountMinor: above(amount, textOf(amount)) }] : []
    })
    for (const name of Object.keys(fields)) {
      const id = /^backFor\.([1-9]\d{0,14})$/.exec(name)?.[1]
      if (id === undefined || back.some(({ lineId }) => lineId === Number(id))) continue
      if (money(name, textOf(name), 0) > 0) fault(name, 'enter how many were sent back beside it')
    }
    return {
      ...{ invoiceId, number, day, lines, back },
      alsoIds: also
        .split(' ')
        .filter((id) => /^[1-9]\d{0,14}$/.test(id))
        .map(Number),
      sumMinor: how === 'sum' ? above('sum', sum) : null,
      taxMinor: money('tax', tax, 0),
      totalMinor: above('total', total),
    }
  })
  .pipe(CreditInput)

export const CreditWithdrawInput = z.object({
  creditNoteId: Id,
  reason: z.string().trim().min(2, 'say what was wrong').max(300),
})
export type CreditWithdrawInput = z.infer<typeof CreditWithdrawInput>
