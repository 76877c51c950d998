/**
 * Quantities are whole numbers in minor units of the part's stock unit, so that a shelf never holds 0.30000000000000004 litres.
 * each: 0 decimals; litre, kilogram, metre: 3 (millilitre, gram, millimetre).
 */
export const STOCK_UNITS = ['each', 'litre', 'kilogram', 'metre'] as const
export type StockUnit = (typeof STOCK_UNITS)[number]

export type QuantityMinor = number & { readonly __brand: 'QuantityMinor' }

const DECIMALS: Record<StockUnit, number> = { each: 0, litre: 3, kilogram: 3, metre: 3 }
const SMALL: Record<StockUnit, { big: string; small: string }> = {
  each: { big: '', small: '' },
  litre: { big: 'l', small: 'ml' },
  kilogram: { big: 'kg', small: 'g' },
  metre: { big: 'm', small: 'mm' },
}

/** Minor units in one stock unit: 1 for each, 1000 for litre, kilogram and metre. */
export function quantityScale(unit: StockUnit): number {
  return 10 ** DECIMALS[unit]
}

/** Brands a whole number of minor units. Throws RangeError on fractions and on numbers a double cannot hold exactly. */
export function quantityMinor(value: number): QuantityMinor {
  if (!Number.isSafeInteger(value))
    throw new RangeError(`A quantity must be a whole number of minor units, not ${value}.`)
  return value as QuantityMinor
}

/**
 * Reads what a person typed ("12", "0.25", "0,25") as minor units of `unit`.
 * Returns null when it is no number, or has more decimals than the unit allows. Example: quantityParse('0.25', 'litre') is 250.
 */
export function quantityParse(text: string, unit: StockUnit): QuantityMinor | null {
  const match = /^\s*(\d{1,9})(?:[.,](\d+))?\s*$/.exec(text)
  if (!match) return null
  const decimals = DECIMALS[unit]
  const fraction = (match[2] ?? '').replace(/0+$/, '')
  if (fraction.length > decimals) return null
  return quantityMinor(Number(match[1]) * 10 ** decimals + Number(fraction.padEnd(decimals, '0') || '0'))
}

/** Shows minor units as a storekeeper says them: "12", "250 ml", "1.5 l", "40 g". Sign is kept. */
export function quantityFormat(minor: number, unit: StockUnit): string {
  if (unit === 'each') return String(minor)
  const names = SMALL[unit]
  if (Math.abs(minor) < 1000) return `${minor} ${names.small}`
  return `${String(minor / 1000)} ${names.big}`
}

/** The plain number that `quantityParse` reads back, for input fields: 250 ml is "0.25". */
export function quantityInput(minor: number, unit: StockUnit): string {
  return String(minor / quantityScale(unit))
}
