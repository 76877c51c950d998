import { describe, expect, it } from 'vitest'
import { randomSeeded } from '../../lib/maths/random.ts'
import { wearFailures } from '../../seed/wear.ts'

describe('the wear of parts', () => {
  // Weibull mean = scale x Gamma(1 + 1/shape): NIST/SEMATECH e-Handbook of Statistical Methods, 8.1.6.2 (from memory).
  // Gamma(2) = 1, Gamma(3/2) = sqrt(pi)/2, Gamma(4/3) = 0.892980, Gamma(5/4) = 0.906403: Abramowitz and Stegun, 6.1
  // (from memory). Renewals over a long time come to hours over mean life (elementary renewal theorem).
  it.each([
    [1, 1],
    [2, Math.sqrt(Math.PI) / 2],
    [3, 0.89298],
    [4, 0.906403],
  ])('comes to the mean life of the model over many machines (shape %d)', (shape, gamma) => {
    const scaleHours = 300
    const days = 18_000
    const machines = 120
    const hoursAtDayEnd = Array.from({ length: days }, (_, day) => day + 1)
    let failures = 0
    for (let machine = 0; machine < machines; machine++)
      failures += wearFailures({
        wearing: [{ key: 'part', wear: { scaleHours, shape } }],
        hoursAtStart: 0,
        hoursAtDayEnd,
        severity: 1,
        randomOf: (key) => randomSeeded(`${machine}/${key}/${shape}`),
      }).length
    const meanLife = (days * machines) / failures
    // Failures show at the end of a day: half an hour late on average at one hour a day.
    expect(Math.abs((meanLife - 0.5) / (scaleHours * gamma) - 1)).toBeLessThan(0.025)
  })

  it('fails nothing that does not run, and a machine twice as hard on parts sees about twice the failures', () => {
    const input = {
      wearing: [{ key: 'part', wear: { scaleHours: 50, shape: 1 } }],
      hoursAtStart: 10,
      randomOf: (key: string) => randomSeeded(key),
    }
    expect(wearFailures({ ...input, hoursAtDayEnd: Array.from({ length: 900 }, () => 10), severity: 1 })).toEqual([])
    const running = Array.from({ length: 40_000 }, (_, day) => 10 + (day + 1) / 2)
    const [one, two] = [1, 2].map((severity) => wearFailures({ ...input, hoursAtDayEnd: running, severity }).length)
    expect(Math.abs(two! / one! - 2)).toBeLessThan(0.3)
  })
})
