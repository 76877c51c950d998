import { z } from 'zod'
import { currencyFits, RATE_MOST, rateParse } from './rate.ts'

/** A three-letter code as somebody typed it; null where the field is empty: the workshop's money. */
export const CurrencyTyped = z
  .string()
  .trim()
  .toUpperCase()
  .transform((code, context) => {
    if (code === '') return null
    if (currencyFits(code)) return code
    const what = /^[A-Z]{3}$/.test(code) ? `${code} is no currency with two decimals` : 'three letters by ISO 4217'
    context.addIssue({ code: 'custom', message: `${what}; such as EUR` })
    return z.NEVER
  })

/** A rate as its form sends it. */
export const RateForm = z.object({
  currency: CurrencyTyped.refine((code) => code !== null, 'enter a currency, such as EUR').transform((code) => code!),
  rateMicro: z.string().transform((text, context) => {
    const micro = rateParse(text)
    if (micro !== null) return micro
    context.addIssue({ code: 'custom', message: `enter a number above 0 and up to ${RATE_MOST}, such as 0.8534` })
    return z.NEVER
  }),
  day: z.iso.date('enter a day, such as 2026-11-28'),
})
export type RateInput = z.infer<typeof RateForm>
