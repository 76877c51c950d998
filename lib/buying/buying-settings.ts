import { z } from 'zod'
import { TAX_ASKED, TAX_MOST, taxParse } from '../invoice/tax.ts'
import { moneyParse } from '../measure/money.ts'

export const BuyingSettingsKept = z.object({
  /** Goods up to which whoever orders also approves, money minor units; null: any order. */
  buyerLimitMinor: z.number().int().min(0).nullable(),
  /** Days after which an order without a confirmation is chased; null: confirmations are not waited for. */
  confirmDays: z.number().int().min(1).max(90).nullable(),
  /** Tax on what suppliers sell, where a supplier says nothing else; thousandths. Null: no tax is shown. */
  taxThousandths: z.number().int().min(0).max(TAX_MOST).nullable(),
})
export type BuyingSettings = z.infer<typeof BuyingSettingsKept>

/** As shipped: nobody has to ask anybody, so that a shop of one person orders with one press. Days: common practice, no source. */
export const BUYING_SETTINGS: BuyingSettings = { buyerLimitMinor: null, confirmDays: 3, taxThousandths: null }

/** The settings as their form sends them; a field left empty sets no limit. */
export const BuyingSettingsForm = z
  .object({
    buyerLimitMinor: z.string().trim().max(20),
    confirmDays: z.string().trim().max(4),
    tax: z.string().default(''),
  })
  .transform((form, context) => {
    const limit = form.buyerLimitMinor === '' ? null : moneyParse(form.buyerLimitMinor)
    if (limit === null && form.buyerLimitMinor !== '')
      context.addIssue({
        code: 'custom',
        path: ['buyerLimitMinor'],
        message: 'enter an amount, such as 500, or nothing',
      })
    const days = form.confirmDays === '' ? null : Number(form.confirmDays)
    if (days !== null && !(Number.isInteger(days) && days >= 1 && days <= 90)) {
      context.addIssue({ code: 'custom', path: ['confirmDays'], message: 'enter 1 to 90 days, or nothing' })
      return z.NEVER
    }
    const tax = form.tax.trim() === '' ? null : taxParse(form.tax)
    if (tax === null && form.tax.trim() !== '') context.addIssue({ code: 'custom', path: ['tax'], message: TAX_ASKED })
    return { buyerLimitMinor: limit as number | null, confirmDays: days, taxThousandths: tax }
  })
  .pipe(BuyingSettingsKept)
