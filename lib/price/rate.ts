import { isCurrency } from '../measure/money.ts'
import type { PlainDate } from '../service/plain-date.ts'

/** A rate kept by hand: millionths of the workshop's unit for one unit of the other currency, and its day. */
export interface Rate {
  currency: string
  rateMicro: number
  day: PlainDate
}

export const RATE_ONE = 1_000_000
/** A unit of another currency is at most so many of ours: more does not go into a whole number of 32 bits. */
export const RATE_MOST = 2000

/** Reads "0.8534" or "0,8534" as millionths; null where it is no rate above 0. Example: rateParse('1.1') is 1100000. */
export function rateParse(text: string): number | null {
  const match = /^\s*(\d{1,5})(?:[.,](\d{1,6}))?\s*$/.exec(text)
  if (!match) return null
  const micro = Number(match[1]) * RATE_ONE + Number((match[2] ?? '').padEnd(6, '0'))
  return micro > 0 && micro <= RATE_MOST * RATE_ONE ? micro : null
}

/** "0.8534"; four decimals at least, as rates are quoted. */
export function rateSays(rateMicro: number): string {
  const decimals = String(rateMicro % RATE_ONE)
    .padStart(6, '0')
    .replace(/0{1,2}$/, '')
  return `${Math.floor(rateMicro / RATE_ONE)}.${decimals}`
}

/** The rate of a currency that counts on a day: of those not after it the newest. Rates of one day: the one kept last. */
export function rateOn(rates: readonly Rate[], currency: string, day: PlainDate): Rate | null {
  let found: Rate | null = null
  for (const rate of rates)
    if (rate.currency === currency && rate.day <= day && (found === null || rate.day >= found.day)) found = rate
  return found
}

/** Money of another currency in the workshop's, half a minor unit up. Example: rateTurn(1000, 853400) is 853. */
export function rateTurn(minor: number, rateMicro: number): number {
  const one = BigInt(RATE_ONE)
  const twice = BigInt(minor) * BigInt(rateMicro) * 2n + one
  const floored = twice >= 0n ? twice / (2n * one) : -((-twice + 2n * one - 1n) / (2n * one))
  return Number(floored)
}

/** Whether it is a code of ISO 4217 that is written with two decimals: no others can be kept. */
export function currencyFits(code: string): boolean {
  if (!isCurrency(code)) return false
  const { maximumFractionDigits } = new Intl.NumberFormat('en', { style: 'currency', currency: code }).resolvedOptions()
  return maximumFractionDigits === 2
}
