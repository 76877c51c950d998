import { z } from 'zod'
import { TAX_ASKED, taxParse } from '../invoice/tax.ts'
import { moneyParse } from '../measure/money.ts'
import { CurrencyTyped } from '../price/schema.ts'

const Line = (most: number) =>
  z
    .string()
    .trim()
    .max(most, `at most ${most} characters`)
    .transform((text) => (text === '' ? null : text))
const Money = (blank: number | null) =>
  z.string().transform((text, context) => {
    if (text.trim() === '') return blank
    const minor = moneyParse(text)
    if (minor !== null) return minor as number
    context.addIssue({ code: 'custom', message: 'enter an amount, such as 12.50' })
    return z.NEVER
  })

/** "12.5" as 1 250 hundredths of a per cent; empty: none. */
const Percent = z.string().transform((text, context) => {
  if (text.trim() === '') return 0
  const hundredths = moneyParse(text.replace(/\s*%\s*$/, ''))
  if (hundredths !== null && hundredths < 10_000) return hundredths as number
  context.addIssue({ code: 'custom', message: 'enter per cent below 100, such as 12.5' })
  return z.NEVER
})

/** "19.0" as 190 thousandths; empty: the workshop's rate. */
const Tax = z.string().transform((text, context) => {
  if (text.trim() === '') return null
  const thousandths = taxParse(text)
  if (thousandths === null) context.addIssue({ code: 'custom', message: TAX_ASKED })
  return thousandths
})

/** What is kept of a supplier; money in minor units, weekdays by ISO 8601 number. */
export interface SupplierFacts {
  name: string
  contact: string | null
  email: string | null
  customerNumber: string | null
  orderDays: number[]
  leadTimeDays: number
  minimumOrderMinor: number
  carriageMinor: number
  carriagePaidFromMinor: number | null
  note: string | null
  /** ISO 4217; null: the workshop's money. */
  currency: string | null
  /** Off the prices of lists, hundredths of a per cent. */
  discountHundredths: number
  /** Tax on what it sells; null: the workshop's rate. */
  taxThousandths: number | null
}

export const SupplierForm = z
  .object({
    name: z.string().trim().min(1, 'enter a name').max(80, 'at most 80 characters'),
    contact: Line(200),
    email: Line(200).refine((mail) => mail === null || z.email().safeParse(mail).success, 'this is no e-mail address'),
    customerNumber: Line(60),
    /** Boxes that are ticked; none: any day. */
    orderDays: z
      .union([z.string(), z.array(z.string())])
      .default([])
      .transform((days) => [...new Set([days].flat().map(Number))].sort((a, b) => a - b))
      .pipe(z.array(z.number().int().min(1).max(7))),
    leadTimeDays: z
      .string()
      .regex(/^\s*\d{1,4}\s*$/, 'enter whole days, such as 7')
      .transform(Number)
      .pipe(z.number().max(1000, 'at most 1000 days')),
    minimumOrderMinor: Money(0),
    carriageMinor: Money(0),
    carriagePaidFromMinor: Money(null),
    note: Line(1000),
    currency: CurrencyTyped.default(null),
    discountHundredths: Percent,
    taxThousandths: Tax.default(null),
  })
  .transform(
    (form): SupplierFacts => ({
      ...form,
      minimumOrderMinor: form.minimumOrderMinor ?? 0,
      carriageMinor: form.carriageMinor ?? 0,
    }),
  )
export type SupplierInput = z.infer<typeof SupplierForm>
