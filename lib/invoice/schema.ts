import { z } from 'zod'
import { Day } from '../buying/confirm-schema.ts'
import { fieldsOf } from '../buying/schema.ts'
import { moneyParse } from '../measure/money.ts'
import { Id, quantityTyped } from '../stock/schema.ts'
import { TAX_ASKED, TAX_MOST, taxParse } from './tax.ts'

const Money = z.number().int().min(0).max(100_000_000_000)

export const InvoiceInput = z.object({
  orderId: Id,
  number: z.string().trim().min(1, 'enter the number of the invoice').max(60),
  day: Day,
  /** Lines left out are not on the invoice. Quantities in minor units, prices of one stock unit. */
  lines: z
    .array(z.object({ lineId: Id, quantity: z.number().int().min(1).max(1_000_000_000), priceMinor: Money }))
    .max(1000),
  carriageMinor: Money,
  depositsMinor: Money,
  taxThousandths: z.number().int().min(0).max(TAX_MOST),
  taxMinor: Money,
  totalMinor: Money,
})
export type InvoiceInput = z.infer<typeof InvoiceInput>

const Text = z.string().trim().default('')

/** An invoice as its form sends it: `quantity.<line>.<unit>` typed in the stock unit, empty where the line is not on it, and `price.<line>`. */
export const InvoiceForm = z
  .looseObject({
    ...{ orderId: Id, number: Text, day: Text },
    ...{ carriage: Text, deposits: Text, rate: Text, tax: Text, total: Text },
  })
  .transform(({ orderId, number, day, carriage, deposits, rate, tax, total, ...fields }, context) => {
    const fault = (path: string, message: string) => {
      context.addIssue({ code: 'custom', path: [path], message })
      return 0
    }
    const money = (path: string, text: string, blank?: number) =>
      (text === '' ? blank : moneyParse(text)) ?? fault(path, 'enter an amount, such as 12.50')
    const lines = fieldsOf(fields, 'quantity')
      .map(({ name, id, unit, text }) => ({
        lineId: id,
        quantity: text.trim() === '' ? 0 : quantityTyped(text, unit, name, context),
        price: fields[`price.${id}`],
      }))
      .filter(({ quantity }) => quantity > 0)
      .map(({ lineId, quantity, price }) => ({
        ...{ lineId, quantity },
        priceMinor: money(`price.${lineId}`, typeof price === 'string' ? price.trim() : ''),
      }))
    return {
      ...{ orderId, number, day, lines },
      carriageMinor: money('carriage', carriage, 0),
      depositsMinor: money('deposits', deposits, 0),
      taxThousandths: rate === '' ? 0 : (taxParse(rate) ?? fault('rate', TAX_ASKED)),
      taxMinor: money('tax', tax, 0),
      totalMinor: money('total', total),
    }
  })
  .pipe(InvoiceInput)

export const DifferenceDecideInput = z.object({
  differenceId: Id,
  /** How it stood when the person saw it. */
  seen: z.enum(['open', 'accepted', 'disputed']),
  as: z.enum(['accepted', 'disputed']),
  reason: z.string().trim().min(2, 'say why, or what the supplier was told').max(300),
})
export type DifferenceDecideInput = z.infer<typeof DifferenceDecideInput>

export const InvoiceWithdrawInput = z.object({
  invoiceId: Id,
  reason: z.string().trim().min(2, 'say what was wrong').max(300),
})
export type InvoiceWithdrawInput = z.infer<typeof InvoiceWithdrawInput>
