import { expect, test } from 'vitest'
import { betaBinomial } from '../../lib/demand/beta-binomial.ts'
import { negativeBinomialMean } from '../../lib/demand/negative-binomial.ts'
import { betaNodes, rateNodes } from '../../lib/maths/gauss.ts'

const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0)

// Abramowitz and Stegun, table 25.4 (Gauss and Legendre, n = 3), from memory: 0 and the root of 0.6, weights 8/9 and 5/9.
test('Beta(1, 1) by three nodes is the rule of Gauss and Legendre', () => {
  const { at, weights } = betaNodes(1, 1, 3)
  const rule = at.map((x, k) => [2 * x - 1, 2 * weights[k]!] as const).sort(([a], [b]) => a - b)
  const expected = [
    [-Math.sqrt(0.6), 5 / 9],
    [0, 8 / 9],
    [Math.sqrt(0.6), 5 / 9],
  ]
  for (const [k, [x, weight]] of rule.entries()) {
    expect(x).toBeCloseTo(expected[k]![0]!, 13)
    expect(weight).toBeCloseTo(expected[k]![1]!, 13)
  }
})

test('half as many nodes as places give the beta-binomial exactly', () => {
  for (const [a, b, places] of [
    [0.5, 0.5, 9],
    [3.5, 7.5, 24],
    [0.5, 40, 60],
  ] as const) {
    const { at, weights } = betaNodes(a, b, Math.ceil((places + 1) / 2))
    expect(sum(weights)).toBeCloseTo(1, 12)
    const none = sum(at.map((chance, k) => weights[k]! * (1 - chance) ** places))
    expect(none / betaBinomial(places, a, b).pmf(0)).toBeCloseTo(1, 9)
    const all = sum(at.map((chance, k) => weights[k]! * chance ** places))
    expect(Math.abs(all - betaBinomial(places, a, b).pmf(places))).toBeLessThan(1e-13)
  }
})

test('Poisson failures averaged over the rates are negative binomial', () => {
  for (const [shape, mean] of [
    [0.3, 2],
    [2, 1.2],
    [40, 15],
    [0.5, 12],
  ] as const) {
    const { at, weights } = rateNodes(shape, mean)
    const failures = negativeBinomialMean(shape, mean)
    let factorial = 1
    for (let k = 0; k <= 8; k++) {
      if (k > 0) factorial *= k
      const chance = sum(at.map((rate, node) => (weights[node]! * Math.exp(-rate) * rate ** k) / factorial))
      expect(Math.abs(chance - failures.pmf(k)), `${shape} ${mean} ${k}`).toBeLessThan(1e-9)
    }
  }
})
