/** How often a thing that is looked at had to be renewed. */
export interface Looked {
  looked: number
  renewed: number
}

/** What other lines of the class may say at most, counted in looks: a few own strips outweigh them. */
const CLASS_LOOKS_MOST = 4

/**
 * Chance that a part which is looked at has to be renewed the next time: the mean of the beta-binomial for one look, between 0
 * and 1. The part's own looks count in full. Those at other parts of its class count as a prior, together as four looks at
 * most; before them stands Jeffreys' prior, half a look on either side, so that nothing is ever certain.
 *
 * Example: renewed at 4 of 9 with nothing known of its class: (4 + 0.5) / (9 + 1) = 0.45.
 * Source: Gelman and others, Bayesian Data Analysis, 3rd edition, section 2.4 (binomial with a beta prior).
 */
export function chanceRenewed(own: Looked, others: Looked): number {
  const { a, b } = chanceBeta(own, others)
  return a / (a + b)
}

/** The same chance with all that is known of it: Beta(a, b), so that several coming looks can be foreseen together. */
export function chanceBeta(own: Looked, others: Looked): { a: number; b: number } {
  const share = others.looked > CLASS_LOOKS_MOST ? CLASS_LOOKS_MOST / others.looked : 1
  return {
    a: 0.5 + others.renewed * share + own.renewed,
    b: 0.5 + (others.looked - others.renewed) * share + (own.looked - own.renewed),
  }
}

/** "renewed at 4 of 9, likely 45 %"; before the first look only what the class says. */
export function chanceSays(own: Looked, others: Looked): string {
  const likely = `likely ${Math.round(chanceRenewed(own, others) * 100)} %`
  if (own.looked > 0) return `renewed at ${own.renewed} of ${own.looked}, ${likely}`
  return others.looked > 0 ? `not looked at yet; by its class ${likely}` : 'not looked at yet'
}
