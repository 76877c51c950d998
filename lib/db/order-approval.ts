import { approvalAllowed } from '../buying/order-life.ts'
import { moneyFormat } from '../measure/money.ts'
import { RATE_ONE, rateTurn } from '../price/rate.ts'
import { Refusal } from '../refusal.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import { buyingSettings } from './buying-settings.ts'
import type { Tx } from './client.ts'
import type { Reader } from './exchange-rows.ts'
import { ratesOn } from './offer-price.ts'
import { rolesRead } from './people.ts'
import type { WriteContext } from './transaction.ts'

/** Goods in the workshop's money on a day; null where no rate of the currency is kept. `currency` null: the workshop's. */
export async function goodsAtHome(
  reader: Reader,
  goodsMinor: number,
  currency: string | null,
  day: PlainDate,
): Promise<number | null> {
  if (currency === null) return goodsMinor
  const rate = (await ratesOn(reader, day)).get(currency)
  return rate === undefined ? null : rateTurn(goodsMinor, rate ?? RATE_ONE)
}

/** Whether whoever writes may approve so much, money minor units of the workshop; whether they may order at all is asked at the door. */
export async function mayApproveGoods(tx: Tx, context: WriteContext, homeMinor: number): Promise<boolean> {
  const { buyerLimitMinor } = await buyingSettings(tx)
  const roles = rolesRead(await tx.personRole.findMany({ where: { personId: context.personId } }))
  return approvalAllowed(roles, homeMinor, buyerLimitMinor)
}

/** Refuses with 'buying/above-limit' what whoever writes may not approve. */
export async function approvalRequire(tx: Tx, context: WriteContext, homeMinor: number): Promise<void> {
  if (await mayApproveGoods(tx, context, homeMinor)) return
  const { currency } = settingsRead()
  const { buyerLimitMinor } = await buyingSettings(tx)
  throw new Refusal('buying/above-limit', {
    amount: moneyFormat(homeMinor, currency),
    limit: moneyFormat(buyerLimitMinor ?? 0, currency),
  })
}
