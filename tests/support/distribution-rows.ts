import { readFileSync } from 'node:fs'
import { betaBinomial, gamma, negativeBinomialMean, poisson, stuttering } from '../../lib/demand/distribution.ts'
import { betaLower } from '../../lib/maths/incomplete-beta.ts'
import { normalDensity, normalLoss, normalLower, normalQuantile, normalUpper } from '../../lib/maths/normal.ts'

type Arguments = Record<string, number>

const byLambda = ({ lambda }: Arguments) => poisson(lambda!)
const bySize = ({ size, mu }: Arguments) => negativeBinomialMean(size!, mu!)
const byShape = ({ shape, rate }: Arguments) => gamma(shape!, rate!)
const byStutter = ({ lambda, rho }: Arguments) => stuttering(lambda!, rho!)

/** Names of the file: R's, with _upper for P(X > x) and _loss for E((X - s)+). */
const FUNCTIONS: Record<string, (values: Arguments) => number> = {
  dpois: (at) => byLambda(at).pmf(at.k!),
  ppois: (at) => byLambda(at).cdf(at.k!),
  ppois_upper: (at) => byLambda(at).upper(at.k!),
  qpois: (at) => byLambda(at).quantile(at.p!),
  poisson_loss: (at) => byLambda(at).loss(at.s!),
  dnbinom: (at) => bySize(at).pmf(at.k!),
  pnbinom: (at) => bySize(at).cdf(at.k!),
  pnbinom_upper: (at) => bySize(at).upper(at.k!),
  qnbinom: (at) => bySize(at).quantile(at.p!),
  negbin_loss: (at) => bySize(at).loss(at.s!),
  dgamma: (at) => byShape(at).pmf(at.x!),
  pgamma: (at) => byShape(at).cdf(at.x!),
  pgamma_upper: (at) => byShape(at).upper(at.x!),
  qgamma: (at) => byShape(at).quantile(at.p!),
  gamma_loss: (at) => byShape(at).loss(at.s!),
  dstutter: (at) => byStutter(at).pmf(at.k!),
  pstutter: (at) => byStutter(at).cdf(at.k!),
  stutter_loss: (at) => byStutter(at).loss(at.s!),
  dnorm: ({ x }) => normalDensity(x!),
  pnorm: ({ x }) => normalLower(x!),
  pnorm_upper: ({ x }) => normalUpper(x!),
  qnorm: ({ p }) => normalQuantile(p!),
  normal_loss: ({ k }) => normalLoss(k!),
  pbeta: ({ x, a, b }) => betaLower(a!, b!, x!),
  dbetabinom: ({ k, n, a, b }) => betaBinomial(n!, a!, b!).pmf(k!),
}

export interface DistributionRow {
  row: string
  /** Distance of our value from the one of the file, relative to the larger of both. */
  apart: number
}

/** Distance of two values, relative to the larger one. */
export const apart = (a: number, b: number) => (a === b ? 0 : Math.abs(a - b) / Math.max(Math.abs(a), Math.abs(b)))

/** Every row of the reference's file of R values, beside what our functions say. */
export function distributionRows(path: string): DistributionRow[] {
  return readFileSync(path, 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((row) => {
      const [name, words, value] = row.split(',') as [string, string, string]
      const numbers = words.split(';').map((pair) => pair.split('=') as [string, string])
      const at = Object.fromEntries(numbers.map(([key, text]) => [key, Number(text)]))
      return { row, apart: apart(FUNCTIONS[name]!(at), Number(value)) }
    })
}
