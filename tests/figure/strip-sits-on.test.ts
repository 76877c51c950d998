import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type StripLine, stripPlan } from '../../lib/figure/strip-order.ts'

/** A cylinder as it comes apart (common practice, no source): gland, rod with piston, nut, piston, O-ring; the barrel stays. */
const CYLINDER: StripLine[] = [
  { item: '1', partClass: 'cylinder' },
  { item: '4', attaches: '6', partClass: 'prevailing-torque-nut' },
  { item: '6', partClass: 'piston', facts: { sitsOn: '13' } },
  { item: '8', partClass: 'o-ring' },
  { item: '11', partClass: 'other' },
  { item: '13', partClass: 'shaft' },
]
const EDGES = [
  { first: '11', then: '13' },
  { first: '13', then: '4' },
  { first: '6', then: '8' },
  { first: '13', then: '1' },
]
const plan = (targets: string[], lines = CYLINDER) => stripPlan({ edges: EDGES, lines, targets }).steps

describe('what sits on a part that is renewed', () => {
  test('a new rod gets the piston of the old one: its nut comes off and the O-ring under it is used up, the barrel stays', () => {
    expect(plan(['13']).map(({ item, why }) => `${item} ${why}`)).toEqual([
      '11 in the way of 13',
      '13 target',
      '4 holds 6',
      '6 sits on 13',
      '8 under 6',
    ])
  })

  test('a rod that only comes off keeps its piston', () => {
    expect(plan(['1']).map(({ item }) => item)).toEqual(['11', '13', '1'])
  })

  test('a piston that is renewed itself is a target and no lodger', () => {
    expect(plan(['13', '6']).find(({ item }) => item === '6')).toMatchObject({ target: true, why: 'target' })
  })
})

const items = (n: number) => Array.from({ length: n }, (_, i) => String(i + 1))
const figure = fc.integer({ min: 2, max: 14 }).chain((n) =>
  fc.record({
    pairs: fc.array(fc.tuple(fc.nat(n - 1), fc.nat(n - 1)), { maxLength: 30 }),
    sits: fc.array(fc.option(fc.nat(n - 1), { nil: null, freq: 3 }), { minLength: n, maxLength: n }),
    targets: fc.subarray(items(n), { minLength: 1 }),
    n: fc.constant(n),
  }),
)

describe('laws of what sits on a part', () => {
  test('it adds those that sit on targets and what is in their way, and nothing else', () => {
    fc.assert(
      fc.property(figure, ({ pairs, sits, targets, n }) => {
        const edges = pairs
          .filter(([a, b]) => a !== b)
          .map(([a, b]) => ({ first: String(Math.min(a, b) + 1), then: String(Math.max(a, b) + 1) }))
        const bare = items(n).map((item): StripLine => ({ item }))
        const seated = bare.map((line, i): StripLine => {
          const on = sits[i]
          return on === null || on === undefined || on === i ? line : { ...line, facts: { sitsOn: String(on + 1) } }
        })
        const named = (lines: StripLine[], aims: string[]) =>
          stripPlan({ edges, lines, targets: aims })
            .steps.map(({ item }) => item)
            .sort()
        const sitters = seated
          .filter(({ facts }) => facts?.sitsOn !== undefined && targets.includes(facts.sitsOn))
          .map(({ item }) => item)
        expect(named(seated, targets)).toEqual(named(bare, [...new Set([...targets, ...sitters])]))
        const { steps, rebuild } = stripPlan({ edges, lines: seated, targets })
        const at = new Map(steps.map(({ item }, i) => [item, i]))
        for (const { first, then } of edges)
          if (at.has(first) && at.has(then)) expect(at.get(first)!).toBeLessThan(at.get(then)!)
        expect(rebuild).toEqual(steps.map(({ item }) => item).reverse())
        expect(steps.filter(({ target }) => target).map(({ item }) => item)).toEqual(
          steps.map(({ item }) => item).filter((item) => targets.includes(item)),
        )
      }),
      { seed: 91, numRuns: 300 },
    )
  })
})
