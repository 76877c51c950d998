import { expect, test } from 'vitest'
import { forecastKept, forecastRead } from '../../lib/replenish/forecast-kept.ts'

const need = { mean: 0.4, variance: 0.9, rateVariance: 0.1 }

test('a forecast is read as it was kept, whether services take the part or not', () => {
  const newOf = { partClass: 'seal', machines: 3 }
  for (const one of [
    { withPlanned: need, withoutPlanned: need, newOf },
    { withPlanned: need, withoutPlanned: { ...need, mean: 0.1 }, newOf: null },
    null,
  ])
    expect(forecastRead(forecastKept(one))).toEqual(one)
})

test('one that was kept whole by an older reckoning is still read', () => {
  const one = { withPlanned: need, withoutPlanned: need, newOf: null }
  expect(forecastRead(JSON.stringify(one))).toEqual(one)
})
