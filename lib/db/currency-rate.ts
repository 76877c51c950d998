import type { RateInput } from '../price/schema.ts'
import { Refusal } from '../refusal.ts'
import { dateOf, type PlainDate } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import { database, type Tx } from './client.ts'
import { personNames } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

/** Rates shown of the past. */
const SHOWN = 50

export interface CurrencyKept {
  currency: string
  /** What counts today; null where none is kept, or only one of a day to come. */
  now: { rateMicro: number; day: PlainDate } | null
  suppliers: { id: number; name: string }[]
}

/** Currencies of suppliers and of rates with what counts today, and the last rates that were kept. */
export async function ratesKept(today: PlainDate) {
  const db = database()
  const [suppliers, rates, last] = await Promise.all([
    db.supplier.findMany({ where: { currency: { not: null } }, orderBy: { nameKey: 'asc' } }),
    db.currencyRate.findMany({ where: { day: { lte: today } }, orderBy: [{ day: 'asc' }, { id: 'asc' }] }),
    db.currencyRate.findMany({ orderBy: { id: 'desc' }, take: SHOWN }),
  ])
  const names = await personNames(
    db as unknown as Tx,
    last.map(({ setById }) => setById),
  )
  const home = settingsRead().currency
  const now = new Map(rates.map(({ currency, rateMicro, day }) => [currency, { rateMicro, day }]))
  const codes = [...new Set([...suppliers.map(({ currency }) => currency!), ...now.keys()])].filter(
    (one) => one !== home,
  )
  return {
    currencies: codes.sort().map(
      (currency): CurrencyKept => ({
        currency,
        now: now.get(currency) ?? null,
        suppliers: suppliers.filter((one) => one.currency === currency).map(({ id, name }) => ({ id, name })),
      }),
    ),
    last: last.map(({ setById, ...rate }) => ({ ...rate, person: names(setById) })),
  }
}

/** Keeps a rate of a day; the ones before it stay. Refuses with 'price/own-currency' and 'price/rate-to-come'. */
export function rateKeep(context: WriteContext, input: RateInput): Promise<{ currency: string }> {
  return write(context, 'price.rate', input, async (tx) => {
    const { currency, day } = input
    if (currency === settingsRead().currency)
      throw new Refusal('price/own-currency', { currency }, { fields: { currency: 'the money of the workshop' } })
    if (day > dateOf(context.now))
      throw new Refusal('price/rate-to-come', {}, { fields: { day: 'today or a day before it' } })
    await tx.currencyRate.create({ data: { ...input, setAt: context.now, setById: context.personId } })
    return { currency }
  })
}
