import { quantityScale, type StockUnit } from './quantity.ts'

/** Whole minor units of a currency (pence, cents). Currency is ISO 4217, two decimals assumed for the ones the workshop can set. */
export type MoneyMinor = number & { readonly __brand: 'MoneyMinor' }

export function moneyMinor(value: number): MoneyMinor {
  if (!Number.isSafeInteger(value)) throw new RangeError(`Money must be a whole number of minor units, not ${value}.`)
  return value as MoneyMinor
}

const CURRENCIES = new Set(Intl.supportedValuesOf('currency'))

/** Whether it is a code of ISO 4217. */
export const isCurrency = (code: string) => CURRENCIES.has(code)

/** Reads "12", "12.5", "12,50" as minor units; null when it is no amount. */
export function moneyParse(text: string): MoneyMinor | null {
  const match = /^\s*(\d{1,9})(?:[.,](\d{1,2}))?\s*$/.exec(text)
  if (!match) return null
  return moneyMinor(Number(match[1]) * 100 + Number((match[2] ?? '').padEnd(2, '0') || '0'))
}

export function moneyFormat(minor: number, currency: string): string {
  return new Intl.NumberFormat('en-GB', { style: 'currency', currency }).format(minor / 100)
}

/**
 * What a quantity costs: price per whole stock unit times quantity in minor units, rounded half up to a minor unit of money.
 * Example: 250 ml at 12.00 a litre is moneyOfQuantity(1200, 250, 'litre') = 300.
 */
export function moneyOfQuantity(priceMinor: number, quantity: number, unit: StockUnit): MoneyMinor {
  const scale = quantityScale(unit)
  // BigInt because 9 digits of money times 9 digits of millilitres leave the range of exact doubles.
  const product = BigInt(priceMinor) * BigInt(quantity) * 2n + BigInt(scale)
  const divisor = BigInt(2 * scale)
  const floored = product >= 0n ? product / divisor : -((-product + divisor - 1n) / divisor)
  return moneyMinor(Number(floored))
}
