import { gammaLower, gammaUpper } from './incomplete-gamma.ts'

/** Density of the standard normal distribution. */
export function normalDensity(z: number): number {
  return Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI)
}

/** P(Z > z) of the standard normal distribution, with its digits far out in the tail. */
export function normalUpper(z: number): number {
  const half = 0.5 * z * z
  return z > 0 ? 0.5 * gammaUpper(0.5, half) : 0.5 + 0.5 * gammaLower(0.5, half)
}

/** P(Z <= z). */
export function normalLower(z: number): number {
  return normalUpper(-z)
}

// M. J. Wichura, Algorithm AS 241, Applied Statistics 37 (1988): the part for tails is good for about seven digits as PPND7.
const CENTRE_A = [3.3871327179, 50.434271938, 159.29113202, 59.10937472] as const
const CENTRE_B = [17.895169469, 78.757757664, 67.1875636] as const
const NEAR_C = [1.4234372777, 2.75681539, 1.3067284816, 0.17023821103] as const
const NEAR_D = [0.7370016425, 0.12021132975] as const
const FAR_E = [6.657905115, 3.081226386, 0.42868294337, 0.017337203997] as const
const FAR_F = [0.24197894225, 0.012258202635] as const

/** Quantile to seven digits, fast: where a search begins. `upper` is 1 - p, handed in because near 1 it has more digits. */
export function normalQuantileNear(p: number, upper: number = 1 - p): number {
  const q = p - 0.5
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q
    const [a0, a1, a2, a3] = CENTRE_A
    const [b1, b2, b3] = CENTRE_B
    return (q * (((a3 * r + a2) * r + a1) * r + a0)) / (((b3 * r + b2) * r + b1) * r + 1)
  }
  const tail = Math.min(p, upper)
  if (tail <= 0) return q < 0 ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY
  const r = Math.sqrt(-Math.log(tail))
  const [k0, k1, k2, k3] = r <= 5 ? NEAR_C : FAR_E
  const [m1, m2] = r <= 5 ? NEAR_D : FAR_F
  const s = r <= 5 ? r - 1.6 : r - 5
  const size = (((k3 * s + k2) * s + k1) * s + k0) / ((m2 * s + m1) * s + 1)
  return q < 0 ? -size : size
}

/** The z with P(Z <= z) = p, to the last digits: the near answer, mended twice by Halley's step in its own tail. */
export function normalQuantile(p: number, upper: number = 1 - p): number {
  let z = normalQuantileNear(p, upper)
  if (!Number.isFinite(z)) return z
  for (let step = 0; step < 2; step++) {
    const density = normalDensity(z)
    if (density === 0) return z
    const error = p < 0.5 ? normalLower(z) - p : upper - normalUpper(z)
    const newton = error / density
    z -= newton / (1 + 0.5 * z * newton)
  }
  return z
}

/** Unit normal loss phi(k) - k P(Z > k): expected shortage in standard deviations when the level lies k above the mean. */
export function normalLoss(k: number): number {
  return Math.max(0, normalDensity(k) - k * normalUpper(k))
}
