/** The distributions of demand through one door. */
export { betaBinomial } from './beta-binomial.ts'
export { compoundCounts, compoundNegativeBinomial, compoundPoisson, stuttering } from './compound.ts'
export type { Distribution } from './distribution-shape.ts'
export { empirical, empiricalTotal } from './empirical.ts'
export { gamma, gammaMoments } from './gamma.ts'
export { negativeBinomial, negativeBinomialMean, negativeBinomialMoments } from './negative-binomial.ts'
export { normal } from './normal.ts'
export { poisson } from './poisson.ts'
