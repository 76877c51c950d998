import { describe, expect, it } from 'vitest'
import { measureLimitsSay, measureParse, measurePasses, TestMeasure } from '../../lib/job/measurement.ts'

/** Limits invented; that a lining has a least thickness and a pressure a range is common practice, no source. */
const lining = { what: 'Lining thickness', unit: 'mm', least: 4 }
const pressure = { what: 'Working pressure', unit: 'bar', least: 18, most: 22 }
const endFloat = { what: 'End float', unit: 'mm', most: 0.15 }

describe('a measured value', () => {
  it.each([
    [lining, 3.99, false],
    [lining, 4, true],
    [lining, 9.5, true],
    [pressure, 17.9, false],
    [pressure, 18, true],
    [pressure, 22, true],
    [pressure, 22.1, false],
    [endFloat, 0.15, true],
    [endFloat, 0.16, false],
  ])('%j: %d is inside: %s', (measure, value, passes) => {
    expect(measurePasses(measure, value)).toBe(passes)
  })

  it.each([
    [lining, '4 mm or more'],
    [pressure, '18 to 22 bar'],
    [endFloat, '0.15 mm or less'],
  ])('%j is said as %s', (measure, says) => {
    expect(measureLimitsSay(measure)).toBe(says)
  })

  it.each([
    ['4.2', 4.2],
    [' 4,2 ', 4.2],
    ['-3', -3],
    ['12', 12],
    ['4 mm', null],
    ['', null],
    ['1e3', null],
    ['4.2.1', null],
  ])('typed as "%s" is %s', (typed, value) => {
    expect(measureParse(typed)).toBe(value)
  })

  it.each([
    [{ what: 'Play', unit: 'mm' }, 'give the least'],
    [{ what: 'Play', unit: 'mm', least: 3, most: 2 }, 'above the most'],
  ])('without limits, or with the least above the most, there is nothing to pass', (measure, says) => {
    expect(() => TestMeasure.parse(measure)).toThrow(says)
  })
})
