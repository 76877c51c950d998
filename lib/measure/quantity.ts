/**
 * Quantities are whole numbers in minor units of the part's stock unit, so that a shelf never holds 0.30000000000000004 litres.
 * each: 0 decimals; litre, kilogram, metre: 3 (millilitre, gram, millimetre).
 */
export const STOCK_UNITS = ['each', 'litre', 'kilogram', 'metre'] as const
export type StockUnit = (typeof STOCK_UNITS)[number]

/** What a person types in: the stock unit, or its thousandth where there is less than one of it. */
export const TYPED_UNITS = [...STOCK_UNITS, 'gram', 'millilitre'] as const
export type TypedUnit = (typeof TYPED_UNITS)[number]

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

/** Decimal places down to the minor unit, for every sign a person may write behind the number. */
const SIGNS: Record<TypedUnit, Record<string, number>> = {
  each: {},
  litre: { l: 3, ml: 0 },
  millilitre: { l: 3, ml: 0 },
  kilogram: { kg: 3, g: 0 },
  gram: { kg: 3, g: 0 },
  metre: { m: 3, mm: 0 },
}
const TYPED_DECIMALS: Record<TypedUnit, number> = { ...DECIMALS, gram: 0, millilitre: 0 }

/**
 * Reads what a person typed ("12", "0.25", "0,25", "10 g") as minor units of the part's stock unit. A number alone is meant in
 * `unit`, the unit that was shown beside the field; a sign behind it says another one of the same kind. Returns null when it is
 * no number, carries a sign of another kind, or has more decimals than can be kept.
 * Examples: quantityParse('0.25', 'litre') is 250, quantityParse('10 g', 'kilogram') is 10, quantityParse('10', 'gram') is 10.
 */
export function quantityParse(text: string, unit: TypedUnit): QuantityMinor | null {
  const match = /^\s*(\d{1,9})(?:[.,](\d+))?\s*([a-z]*)\s*$/i.exec(text)
  if (!match) return null
  const sign = match[3]!.toLowerCase()
  const decimals = sign === '' ? TYPED_DECIMALS[unit] : SIGNS[unit][sign]
  if (decimals === undefined) return null
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

/**
 * How a quantity stands in a field that people change: below one litre or kilogram in millilitres or grams, as it is measured
 * out at the bench. Example: 10 g of a grease kept by the kilogram is { value: '10', unit: 'gram', sign: 'g' }, not 0.01.
 */
export function quantityTypedAs(minor: number, unit: StockUnit): { value: string; unit: TypedUnit; sign: string } {
  if ((unit === 'litre' || unit === 'kilogram') && minor < quantityScale(unit))
    return { value: String(minor), unit: unit === 'litre' ? 'millilitre' : 'gram', sign: SMALL[unit].small }
  return { value: quantityInput(minor, unit), unit, sign: SMALL[unit].big }
}

/** What one press of a stepper changes, in the unit of its field: pieces by one, grams and millilitres by five, the rest by halves. */
export function typedStep(unit: TypedUnit): number {
  return unit === 'each' ? 1 : unit === 'gram' || unit === 'millilitre' ? 5 : 0.5
}
