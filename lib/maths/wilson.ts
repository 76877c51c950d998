/** Quantile 0.975 of the standard normal distribution: two-sided 95 %. */
const Z95 = 1.959963984540054

/**
 * Wilson score interval for a share, 95 %, without continuity correction: where the true share lies when `hits` of `trials`
 * were seen. Between 0 and 1; with no trials, all of it.
 * Source: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212; Newcombe, Statistics in Medicine 17 (1998) 857-872, method 3.
 * @throws RangeError when the counts are no whole numbers with 0 <= hits <= trials.
 */
export function wilsonInterval(hits: number, trials: number): { lower: number; upper: number } {
  if (!Number.isSafeInteger(hits) || !Number.isSafeInteger(trials) || hits < 0 || hits > trials)
    throw new RangeError(`wilsonInterval: ${hits} of ${trials} is no count`)
  if (trials === 0) return { lower: 0, upper: 1 }
  const share = hits / trials
  const z2 = Z95 * Z95
  const middle = (share + z2 / (2 * trials)) / (1 + z2 / trials)
  const half = (Z95 / (1 + z2 / trials)) * Math.sqrt((share * (1 - share)) / trials + z2 / (4 * trials * trials))
  // The ends are exact where nothing or everything was hit; rounding must not push them over.
  return { lower: hits === 0 ? 0 : Math.max(0, middle - half), upper: hits === trials ? 1 : Math.min(1, middle + half) }
}
