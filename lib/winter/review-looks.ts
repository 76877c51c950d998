import { counted } from '../measure/counted.ts'
import { chanceRenewed, type Looked } from '../service/chance.ts'
import type { CopyLook } from './copy.ts'

/** What the looks of a season found of one thing, beside what the plan said of it. */
export interface LookReview {
  key: string
  text: string
  looked: number
  renewed: number
  /** Chance of a look: as the plan had it, and with all that is known now. */
  before: number
  now: number
}

export interface ChancesReview {
  looks: LookReview[]
  looked: number
  /** Renewals that the chances of the plan came to. */
  expected: number
  found: number
  /** Standard deviation of what was to be found, looks taken one by one. */
  spread: number
  /** How many spreads more were found than expected; null where there are too few looks to tell. */
  apart: number | null
}

/**
 * Things that a season looked at, expected against found. `found` by key. `spread` is the root of the sum of p (1 - p) over all
 * looks: the standard deviation of a sum of independent trials with chances of their own. Below a spread of one, one renewal
 * more or less would decide, so nothing is said then.
 *
 * Source: Feller, An Introduction to Probability Theory, volume 1, section IX.5 (variable trials); for equal chances the binomial.
 */
export function chancesReview(
  planned: readonly CopyLook[],
  found: ReadonlyMap<string, Looked>,
  known: (key: string) => { own: Looked; others: Looked },
): ChancesReview {
  const looks = planned.flatMap(({ key, text, own, others }): LookReview[] => {
    const here = found.get(key)
    if (!here || here.looked === 0) return []
    const now = known(key)
    return [{ key, text, ...here, before: chanceRenewed(own, others), now: chanceRenewed(now.own, now.others) }]
  })
  const sum = (of: (look: LookReview) => number) => looks.reduce((all, look) => all + of(look), 0)
  const expected = sum(({ looked, before }) => looked * before)
  const spread = Math.sqrt(sum(({ looked, before }) => looked * before * (1 - before)))
  const renewed = sum((look) => look.renewed)
  return {
    looks,
    looked: sum((look) => look.looked),
    expected,
    found: renewed,
    spread,
    apart: spread < 1 ? null : (renewed - expected) / spread,
  }
}

/** Spreads within which a gap is everyday, and within which chance still brings it: 68 and 95 of 100 by the normal distribution. */
const NEAR = 1
const FAR = 1.96

/** "At 34 looks 11 renewals were expected and 14 found: no more than chance brings." */
export function chancesSay({ looked, expected, found, apart }: ChancesReview): string {
  if (looked === 0) return 'Nothing of what the plan was to look at has been looked at yet.'
  const many = expected < 10 ? expected.toFixed(1) : expected.toFixed(0)
  const begin = `At ${counted(looked, 'look')} ${many} renewals were expected and ${found} found`
  if (apart === null) return `${begin}: too few to tell whether the chances were right.`
  const size = Math.abs(apart)
  if (size <= NEAR) return `${begin}: as expected.`
  const more = apart > 0 ? 'more' : 'fewer'
  const spreads = `${size.toFixed(1)} times the usual spread`
  if (size <= FAR) return `${begin}: ${more}, ${spreads}, which chance alone brings.`
  return `${begin}: ${more} than chance brings (${spreads}). The chances were too ${apart > 0 ? 'low' : 'high'}; what was found counts in the next plan.`
}
