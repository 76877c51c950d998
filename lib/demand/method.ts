import { sba } from './croston.ts'
import { type Distribution, empiricalTotal, negativeBinomialMoments, normal, poisson } from './distribution.ts'

/** What is known of a part up to now: pieces of each period, the oldest first. */
export interface PartHistory {
  id: string
  quantities: readonly number[]
  /** Parts of one class learn from each other; without one they learn from all. */
  partClass?: string
  /** Pieces of the part that were running, times hours, in each period; 1 a period where it is not known. */
  exposure?: readonly number[]
}

/** Demand of the given number of coming periods. */
export type Outlook = (periods: number) => Distribution

/** A way from histories to what is to come. All parts are handed in together, since some ways learn from the others. */
export interface Method {
  name: string
  says: string
  outlooks(parts: readonly PartHistory[]): Outlook[]
}

function sampleMoments(history: readonly number[]): { mean: number; variance: number } {
  const count = history.length
  const mean = history.reduce((sum, demand) => sum + demand, 0) / Math.max(1, count)
  const squares = history.reduce((sum, demand) => sum + (demand - mean) ** 2, 0)
  return { mean, variance: count > 1 ? squares / (count - 1) : 0 }
}

const byPart =
  (outlook: (history: readonly number[]) => Outlook): Method['outlooks'] =>
  (parts) =>
    parts.map(({ quantities }) => outlook(quantities))

/** The usual ways, each part for itself: what the way by installed base is held against. */
export const USUAL_METHODS: readonly Method[] = [
  {
    name: 'normal',
    says: 'mean and spread of the history, as a normal distribution',
    outlooks: byPart((history) => {
      const { mean, variance } = sampleMoments(history)
      return (periods) => normal(periods * mean, Math.sqrt(periods * variance))
    }),
  },
  {
    name: 'poisson-sba',
    says: 'forecast of Syntetos and Boylan, as a Poisson distribution',
    outlooks: byPart((history) => {
      const forecast = sba(history)
      return (periods) => poisson(periods * forecast)
    }),
  },
  {
    name: 'negbin-sba',
    says: 'forecast of Syntetos and Boylan and spread of the history, as a negative binomial distribution',
    outlooks: byPart((history) => {
      const forecast = sba(history)
      const { variance } = sampleMoments(history)
      return (periods) => negativeBinomialMoments(periods * forecast, periods * variance)
    }),
  },
  {
    name: 'bootstrap',
    says: 'every past period as likely as the other, each drawn by itself',
    outlooks: byPart((history) => (periods) => empiricalTotal(history, periods)),
  },
]
