/** Rates of tax are whole thousandths: 190 is 19.0 %. */
export const TAX_MOST = 999

/** Beside a field that taxParse could not read. */
export const TAX_ASKED = 'enter per cent below 100, such as 19.0'

/** p / q as a whole number, halves away from zero, so that minus a sum rounds to minus what the sum rounds to; q above 0. */
export function halfAway(p: bigint, q: bigint): number {
  const [sign, size] = p < 0n ? [-1, -p] : [1, p]
  const whole = Number((2n * size + q) / (2n * q))
  return whole === 0 ? 0 : sign * whole
}

/** Tax on an amount, money minor units, rounded once. Example: taxOn(1250, 190) is 238, for 237.5. */
export function taxOn(minor: number, thousandths: number): number {
  return halfAway(BigInt(minor) * BigInt(thousandths), 1000n)
}

/** Reads "19", "19.0", "7,5 %" as thousandths; null where it is no rate below 100 % with one decimal at most. */
export function taxParse(text: string): number | null {
  const match = /^\s*(\d{1,2})(?:[.,](\d))?\s*%?\s*$/.exec(text)
  return match ? Number(match[1]) * 10 + Number(match[2] ?? 0) : null
}

/** "19.0" as it stands in a field; taxParse reads it back. */
export function taxInput(thousandths: number): string {
  return (thousandths / 10).toFixed(1)
}

/** "19.0 %" */
export function taxSays(thousandths: number): string {
  return `${taxInput(thousandths)} %`
}

export interface Totals {
  goodsMinor: number
  carriageMinor: number
  /** Charged until old units come back; no tax is reckoned on them. */
  depositsMinor: number
  /** Null: no rate of tax was kept. */
  taxThousandths: number | null
  taxMinor: number
  totalMinor: number
}

/** Goods and carriage, the tax on both, and all of it together; money minor units of one currency. */
export function totalsOf(of: Omit<Totals, 'taxMinor' | 'totalMinor'>): Totals {
  const taxMinor = of.taxThousandths === null ? 0 : taxOn(of.goodsMinor + of.carriageMinor, of.taxThousandths)
  return { ...of, taxMinor, totalMinor: of.goodsMinor + of.carriageMinor + of.depositsMinor + taxMinor }
}
