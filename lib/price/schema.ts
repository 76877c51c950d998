import { z } from 'zod'
import { moneyParse } from '../measure/money.ts'
import { STOCK_UNITS } from '../measure/quantity.ts'
import { Id, quantityTyped } from '../stock/schema.ts'
import { BREAKS_MOST } from './price-list.ts'
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

const Unit = z.enum(STOCK_UNITS)
const OfferOf = { supplierId: Id, partId: Id, unit: Unit }

function moneyTyped(text: string, path: string, context: z.core.$RefinementCtx): number {
  const minor = moneyParse(text)
  if (minor !== null) return minor
  const message = /^\s*[-−–]/.test(text) ? 'below zero: enter what is paid' : 'enter an amount, such as 12.50'
  context.addIssue({ code: 'custom', path: [path], message })
  return z.NEVER
}

/** An offer as its form sends it: quantities typed in the stock unit, money in whole units. Packs and minimum are above 0. */
export const OfferForm = z
  .object({
    ...OfferOf,
    supplierNumber: z.string().trim().max(60, 'at most 60 characters').default(''),
    pack: z.string(),
    minimum: z.string().default(''),
    price: z.string(),
    preferred: z.string().optional(),
  })
  .transform(({ unit, price, preferred, ...form }, context) => {
    const pack = quantityTyped(form.pack, unit, 'pack', context)
    const minimum = form.minimum.trim() === '' ? pack : quantityTyped(form.minimum, unit, 'minimum', context)
    for (const [path, quantity] of [
      ['pack', pack],
      ['minimum', minimum],
    ] as const)
      if (quantity === 0) context.addIssue({ code: 'custom', path: [path], message: 'above 0' })
    return {
      ...form,
      supplierNumber: form.supplierNumber === '' ? null : form.supplierNumber,
      pack,
      minimum,
      priceMinor: moneyTyped(price, 'price', context),
      preferred: preferred !== undefined,
    }
  })
export type OfferInput = z.infer<typeof OfferForm>

export const OfferWithdrawForm = z.object({
  supplierId: Id,
  partId: Id,
  reason: z.string().trim().max(200, 'at most 200 characters').default(''),
})
export type OfferWithdrawInput = z.infer<typeof OfferWithdrawForm>

const Day = z.iso.date('enter a day, such as 2027-01-01')
/** What is kept of a list; its prices are said apart. */
const LIST = {
  name: z.string().trim().min(1, 'enter a name').max(80, 'at most 80 characters'),
  validFrom: Day,
  validUntil: z
    .union([Day, z.literal('')])
    .default('')
    .transform((day) => (day === '' ? null : day)),
  breakKind: z.enum(['all-units', 'incremental']),
  source: z.string().trim().max(200, 'at most 200 characters').default(''),
}
export const PriceListForm = z.object({ supplierId: Id, listId: Id, ...LIST })
export type PriceListInput = z.infer<typeof PriceListForm>
export type PriceListFacts = Omit<PriceListInput, 'supplierId' | 'listId'>

/**
 * Prices of an offer on a list as their form sends them: `from.<row>` and `price.<row>`, rows left blank say nothing. With `listId`
 * the list is there; without, its name and days stand beside. No prices at all take the offer off the list.
 */
export const ListPricesForm = z
  .looseObject({ ...OfferOf, listId: Id.optional() })
  .transform(({ supplierId, partId, unit, listId, ...fields }, context) => {
    const said = (name: string) => (typeof fields[name] === 'string' ? fields[name].trim() : '')
    const prices: { from: number; priceMinor: number }[] = []
    for (let row = 0; row < BREAKS_MOST; row++) {
      const [from, price] = [`from.${row}`, `price.${row}`]
      if (said(from) === '' && said(price) === '') continue
      prices.push({
        from: quantityTyped(said(from), unit, from, context),
        priceMinor: moneyTyped(said(price), price, context),
      })
    }
    prices.sort((a, b) => a.from - b.from)
    const of = { supplierId, partId, prices }
    if (listId !== undefined) return { ...of, listId, list: null }
    const list = z.object(LIST).safeParse(fields)
    if (list.success) return { ...of, listId: null, list: list.data as PriceListFacts }
    for (const { path, message } of list.error.issues) context.addIssue({ code: 'custom', path, message })
    return z.NEVER
  })
export type ListPricesInput = z.infer<typeof ListPricesForm>
