/** A distribution stood in for by some of its values: a mean over it becomes a weighted sum. Weights add up to 1. */
export interface Nodes {
  at: number[]
  weights: number[]
}

const TURNS_MAX = 60

/** Eigenvalues of a symmetric tridiagonal matrix by QL steps with implicit shifts; `besides[k]` stands between k and k + 1. */
function eigenvalues(diagonal: readonly number[], besides: readonly number[]): number[] {
  const d = [...diagonal]
  const n = d.length
  const e = [...besides, 0]
  for (let low = 0; low < n; low++) {
    for (let turn = 0; turn < TURNS_MAX; turn++) {
      let end = low
      while (end < n - 1 && Math.abs(e[end]!) > 1e-16 * (Math.abs(d[end]!) + Math.abs(d[end + 1]!))) end++
      if (end === low) break
      let g = (d[low + 1]! - d[low]!) / (2 * e[low]!)
      let r = Math.hypot(g, 1)
      g = d[end]! - d[low]! + e[low]! / (g + (g >= 0 ? r : -r))
      let s = 1
      let c = 1
      let p = 0
      let k = end - 1
      for (; k >= low; k--) {
        const f = s * e[k]!
        const b = c * e[k]!
        r = Math.hypot(f, g)
        e[k + 1] = r
        if (r === 0) {
          d[k + 1]! -= p
          e[end] = 0
          break
        }
        s = f / r
        c = g / r
        g = d[k + 1]! - p
        r = (d[k]! - g) * s + 2 * c * b
        p = s * r
        d[k + 1] = g + p
        g = c * r - b
      }
      if (r === 0 && k >= low) continue
      d[low]! -= p
      e[low] = g
      e[end] = 0
    }
  }
  return d
}

/**
 * Golub and Welsch (Mathematics of Computation 23, 1969): the nodes of Gauss are the eigenvalues of the matrix of the recurrence.
 * Weights are the numbers of Christoffel, 1 over the sum of squares of the orthonormal polynomials: all terms are positive, so
 * the smallest weight keeps its digits.
 */
function nodesOf(diagonal: readonly number[], besides: readonly number[]): Nodes {
  const at = eigenvalues(diagonal, besides)
  const weights = at.map((x) => {
    let before = 0
    let now = 1
    let sum = 1
    for (let k = 0; k < besides.length; k++) {
      const next = ((x - diagonal[k]!) * now - (k > 0 ? besides[k - 1]! : 0) * before) / besides[k]!
      before = now
      now = next
      sum += now * now
    }
    return 1 / sum
  })
  return { at, weights }
}

/**
 * Beta(a, b) by `count` nodes of Gauss and Jacobi: exact for polynomials up to degree 2 count - 1, such as the chance of a
 * binomial of that many trials (Abramowitz and Stegun 25.4.33 for the rule, 22.7.1 for the recurrence).
 */
export function betaNodes(a: number, b: number, count: number): Nodes {
  const [alpha, beta] = [b - 1, a - 1]
  const sum = alpha + beta
  const diagonal = [(beta - alpha) / (sum + 2)]
  const besides: number[] = []
  for (let k = 1; k < count; k++) {
    const twice = 2 * k + sum
    diagonal.push((beta * beta - alpha * alpha) / (twice * (twice + 2)))
    besides.push(
      k === 1
        ? Math.sqrt((4 * (1 + alpha) * (1 + beta)) / ((2 + sum) ** 2 * (3 + sum)))
        : Math.sqrt((4 * k * (k + alpha) * (k + beta) * (k + sum)) / (twice * twice * (twice + 1) * (twice - 1))),
    )
  }
  const { at, weights } = nodesOf(diagonal, besides)
  // Where all weight lies near an end, the last digit may stand outside.
  return { at: at.map((t) => Math.min(1, Math.max(0, (1 + t) / 2))), weights }
}

const NEAR = 1e-16
const NODES_MOST = 128

/**
 * Rates of failures when `mean` are expected and the rate is gamma of the given shape: nodes of Gauss and Laguerre (Abramowitz
 * and Stegun 25.4.45, 22.7.12) for chances that lie between 1 and e^-rate. Scaled by the root of 1 + mean / shape both ends
 * converge alike, and the number of nodes follows from how fast.
 */
export function rateNodes(shape: number, mean: number): Nodes {
  const each = mean / shape
  const scale = Math.sqrt(1 + each)
  const ratio = (scale - 1) / (scale + 1)
  const count = Math.min(NODES_MOST, Math.max(4, Math.ceil(Math.log(NEAR) / (2 * Math.log(ratio))) + 4))
  const diagonal = Array.from({ length: count }, (_, k) => 2 * k + shape)
  const besides = Array.from({ length: count - 1 }, (_, k) => Math.sqrt((k + 1) * (k + shape)))
  const { at, weights } = nodesOf(diagonal, besides)
  return {
    at: at.map((x) => (Math.max(0, x) * each) / scale),
    weights: weights.map((weight, k) => weight * Math.exp((at[k]! * (scale - 1)) / scale - shape * Math.log(scale))),
  }
}
