import type { Distribution } from './distribution-shape.ts'

/** Amounts that are taken apart piece by piece, or lot by lot. */
export const AMOUNT_MAX = 4000
/** Decimals of an amount that are told apart. */
const DECIMALS_MAX = 6

function greatestCommon(a: number, b: number): number {
  while (b > 0) [a, b] = [b, a % b]
  return a
}

/** The power of ten that makes all amounts whole; what has more decimals is rounded to them. */
function scaleOf(amounts: readonly number[]): number {
  let scale = 1
  for (let decimals = 0; decimals < DECIMALS_MAX; decimals++, scale *= 10)
    if (amounts.every((amount) => Math.abs(amount * scale - Math.round(amount * scale)) <= 1e-9 * amount * scale)) break
  return scale
}

/**
 * What the amounts of a part are counted in: pieces where they are whole and not too many; else the largest amount that all of
 * them are made of (2.5 litres), or so much that no amount has more than `AMOUNT_MAX` of it.
 */
export function lotOf(quantities: readonly number[]): number {
  const amounts = quantities.filter((quantity) => quantity > 0)
  const most = amounts.reduce((top, amount) => Math.max(top, amount), 0)
  if (most <= AMOUNT_MAX && amounts.every(Number.isInteger)) return 1
  const scale = scaleOf(amounts)
  const common = amounts.reduce((lot, amount) => greatestCommon(Math.max(1, Math.round(amount * scale)), lot), 0)
  return (common * Math.max(1, Math.ceil((most * scale) / common / AMOUNT_MAX))) / scale
}

/** A history in lots; what was taken at all is one lot at least. */
export function quantitiesInLots(quantities: readonly number[], lot: number): number[] {
  return quantities.map((quantity) => (quantity > 0 ? Math.max(1, Math.round(quantity / lot)) : 0))
}

/** A lot that lies at most this far above an amount still fits in it: digits that dividing takes away. */
const SLACK = 1e-9

/** Demand in pieces (or litres) where `of` is that in lots. Between whole amounts of a lot that is none, pmf is that of a piece. */
export function inLots(of: Distribution, lot: number): Distribution {
  const lots = (x: number) => (x === Number.POSITIVE_INFINITY ? x : Math.floor((x / lot) * (1 + SLACK)))
  const isWhole = Number.isInteger(lot)
  return {
    family: of.family,
    parameters: { ...of.parameters, lot: lot * (of.parameters.lot ?? 1) },
    mean: lot * of.mean,
    variance: lot * lot * of.variance,
    pmf(k) {
      if (isWhole) return k % lot === 0 ? of.pmf(k / lot) : 0
      return k < 0 ? 0 : Math.max(0, of.cdf(lots(k)) - (k < 1 ? 0 : of.cdf(lots(k - 1))))
    },
    cdf(x) {
      return x < 0 ? 0 : of.cdf(lots(x))
    },
    upper(x) {
      return x < 0 ? 1 : of.upper(lots(x))
    },
    quantile(p) {
      return lot * of.quantile(p)
    },
    loss(x) {
      return x === Number.POSITIVE_INFINITY ? 0 : lot * of.loss(x / lot)
    },
  }
}
