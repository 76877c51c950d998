import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  itemCompare,
  type StripEdge,
  type StripLine,
  stripOrderCheck,
  stripOrderCheckLines,
  stripPlan,
} from '../../lib/figure/strip-order.ts'
import { isRefusal } from '../../lib/refusal.ts'

function refusalOf(run: () => unknown): { code: string; happened: string } {
  try {
    run()
  } catch (error) {
    if (isRefusal(error)) return { code: error.code, happened: error.happened }
    throw error
  }
  throw new Error('nothing was refused')
}

const lines = (...items: string[]) => items.map((item) => ({ item }))
const items = (n: number) => Array.from({ length: n }, (_, i) => String(i + 1))

/** A hub and drum as the trade takes it apart (common practice, no source): cap, pin, nut, drum, spring, shoe. */
const HUB = [
  { item: '1' },
  { item: '2', attaches: '3' },
  { item: '3', attaches: '5' },
  { item: '5' },
  { item: '7' },
  { item: '9', attaches: '7' },
  { item: '11' },
]
const HUB_EDGES = [
  { first: '1', then: '2' },
  { first: '5', then: '9' },
  { first: '5', then: '7' },
]

/** Random orders that cannot run in a circle: an edge always points up a hidden ranking of the items. */
const acyclic = fc.integer({ min: 1, max: 14 }).chain((n) =>
  fc.record({
    list: fc.shuffledSubarray(items(n), { minLength: n, maxLength: n }),
    pairs: fc.array(fc.tuple(fc.nat(n - 1), fc.nat(n - 1)), { maxLength: 40 }),
    targets: fc.subarray(items(n), { minLength: 1 }),
  }),
)
const edgesOf = (pairs: [number, number][]): StripEdge[] =>
  pairs
    .filter(([a, b]) => a !== b)
    .map(([a, b]) => ({ first: String(Math.min(a, b) + 1), then: String(Math.max(a, b) + 1) }))

describe('what comes off before what', () => {
  test('a brake shoe asks for cap, split pin, nut, drum and its spring first, each with its reason', () => {
    const { steps } = stripPlan({ edges: HUB_EDGES, lines: HUB, targets: ['7'] })
    expect(steps.map((step) => `${step.item} ${step.why}`)).toEqual([
      '1 in the way of 2',
      '2 holds 3',
      '3 holds 5',
      '5 in the way of 7, 9',
      '9 holds 7',
      '7 target',
    ])
    expect(steps.find((step) => step.item === '5')?.inTheWayOf).toEqual(['7', '9'])
  })

  test('what two targets share comes off once, and a target in the way stays a target', () => {
    const { steps } = stripPlan({ edges: HUB_EDGES, lines: HUB, targets: ['7', '5', '11'] })
    expect(steps.map((step) => step.item)).toEqual(['1', '2', '3', '5', '9', '7', '11'])
    expect(steps.filter((step) => step.target).map((step) => step.item)).toEqual(['5', '7', '11'])
  })

  test('a part with nothing in its way is the only step', () => {
    expect(stripPlan({ edges: HUB_EDGES, lines: HUB, targets: ['11'] })).toEqual({
      steps: [{ item: '11', target: true, why: 'target', inTheWayOf: [] }],
      rebuild: ['11'],
    })
  })

  test('order passes through a part that this serial number does not have', () => {
    const plan = stripPlan({
      edges: [
        { first: '1', then: '12A' },
        { first: '12A', then: '7' },
      ],
      lines: lines('1', '7'),
      targets: ['7'],
      absent: ['12A'],
    })
    expect(plan.steps.map((step) => `${step.item} ${step.why}`)).toEqual(['1 in the way of 7', '7 target'])
    const refused = refusalOf(() => stripPlan({ edges: [], lines: lines('1'), targets: ['12A'], absent: ['12A'] }))
    expect(refused.code).toBe('figure/unknown-item')
  })

  test('12a is 12A, and items are spelled as the list prints them', () => {
    const plan = stripPlan({ edges: [{ first: '12a', then: '3' }], lines: lines('3', '12A'), targets: ['3'] })
    expect(plan.rebuild).toEqual(['3', '12A'])
  })

  test('an item that the list does not have is refused and named', () => {
    expect(refusalOf(() => stripOrderCheck([{ first: '3', then: '99' }], ['3']))).toEqual({
      code: 'figure/unknown-item',
      happened: 'The parts list has no item 99 (strip order 3 before 99).',
    })
    expect(
      refusalOf(() => stripPlan({ edges: [], lines: [{ item: '3', attaches: '4' }], targets: ['3'] })).happened,
    ).toContain('held by 3')
    expect(refusalOf(() => stripPlan({ edges: [], lines: lines('3'), targets: ['8'] })).happened).toContain('target')
  })

  test('a circle is refused with the loop spelled out, from its first item in the list', () => {
    const edges = [
      { first: '7', then: '3' },
      { first: '3', then: '7' },
      { first: '7', then: '9' },
    ]
    expect(refusalOf(() => stripOrderCheck(edges, ['1', '3', '7', '9'])).happened).toContain('3 before 7 before 3')
    expect(refusalOf(() => stripOrderCheck([{ first: '3', then: '3' }], ['3'])).happened).toContain('3 before 3')
  })

  test('an attaching part that is said to come off after what it holds closes a circle', () => {
    const held = [{ item: '2', attaches: '3' }, { item: '3' }]
    expect(() => stripOrderCheck([{ first: '3', then: '2' }], ['2', '3'])).not.toThrow()
    expect(refusalOf(() => stripOrderCheckLines([{ first: '3', then: '2' }], held)).code).toBe('figure/strip-cycle')
  })

  test('a list of 5,000 lines and 20,000 edges needs no deep recursion', () => {
    const many = items(5000)
    const edges = many
      .slice(1)
      .flatMap((item, i) => [1, 2, 3, 4].map((back) => ({ first: many[Math.max(0, i + 1 - back)]!, then: item })))
    expect(stripPlan({ edges: edges.slice(0, 20000), lines: lines(...many), targets: ['5000'] }).steps).toHaveLength(
      5000,
    )
  })

  test('items run as a parts list prints them: 2, 10, 12, 12A, B', () => {
    expect(['B', '12A', '10', '12', '2'].sort(itemCompare)).toEqual(['2', '10', '12', '12A', 'B'])
  })
})

describe('laws of the strip order', () => {
  test('every "comes off before" is kept, and the rebuild is the same list backwards', () => {
    fc.assert(
      fc.property(acyclic, ({ list, pairs, targets }) => {
        const edges = edgesOf(pairs)
        const plan = stripPlan({ edges, lines: lines(...list), targets })
        const at = new Map(plan.steps.map((step, i) => [step.item, i]))
        for (const { first, then } of edges) if (at.has(then)) expect(at.get(first)).toBeLessThan(at.get(then)!)
        expect(plan.rebuild).toEqual(plan.steps.map((step) => step.item).reverse())
      }),
      { seed: 41 },
    )
  })

  test('exactly the targets and what stands before them is disturbed', () => {
    fc.assert(
      fc.property(acyclic, ({ list, pairs, targets }) => {
        const edges = edgesOf(pairs)
        // Slow truth: add what is before, until nothing is added.
        const truth = new Set(targets)
        for (let grew = true; grew; ) {
          grew = false
          for (const { first, then } of edges) {
            if (!truth.has(then) || truth.has(first)) continue
            truth.add(first)
            grew = true
          }
        }
        const { steps } = stripPlan({ edges, lines: lines(...list), targets })
        expect(new Set(steps.map((step) => step.item))).toEqual(truth)
        expect(steps).toHaveLength(truth.size)
      }),
      { seed: 42 },
    )
  })

  test('the order in which edges and targets are entered changes nothing', () => {
    fc.assert(
      fc.property(acyclic, fc.infiniteStream(fc.nat()), ({ list, pairs, targets }, dice) => {
        const edges = edgesOf(pairs)
        const shuffled = <T>(values: T[]): T[] =>
          values
            .map((v) => [dice.next().value as number, v] as const)
            .sort((a, b) => a[0] - b[0])
            .map(([, v]) => v)
        const plan = stripPlan({ edges, lines: lines(...list), targets })
        expect(stripPlan({ edges: shuffled(edges), lines: lines(...list), targets: shuffled(targets) })).toEqual(plan)
      }),
      { seed: 43 },
    )
  })

  test('a circle anywhere is refused, and each step of the loop named is an edge that was entered', () => {
    const withCircle = fc.integer({ min: 1, max: 10 }).chain((n) =>
      fc.record({
        n: fc.constant(n),
        pairs: fc.array(fc.tuple(fc.nat(n - 1), fc.nat(n - 1)), { maxLength: 30 }),
        circle: fc.shuffledSubarray(items(n), { minLength: 1 }),
      }),
    )
    fc.assert(
      fc.property(withCircle, ({ n, pairs, circle }) => {
        const edges = [
          ...edgesOf(pairs),
          ...circle.map((first, i) => ({ first, then: circle[(i + 1) % circle.length]! })),
        ]
        const refused = refusalOf(() => stripOrderCheck(edges, items(n)))
        expect(refused.code).toBe('figure/strip-cycle')
        const loop = /circle: (.+)\.$/.exec(refused.happened)![1]!.split(' before ')
        expect(loop.length).toBeGreaterThanOrEqual(2)
        expect(loop.at(-1)).toBe(loop[0])
        const known = new Set(edges.map(({ first, then }) => `${first} ${then}`))
        for (let i = 1; i < loop.length; i++) expect(known).toContain(`${loop[i - 1]} ${loop[i]}`)
      }),
      { seed: 44 },
    )
  })
})

describe('seals of joints that are opened on the way', () => {
  // Crown wheel of a gearbox: drain plug with its sealing washer, output cover with its O-ring and pressed-in lip seal.
  const GEARBOX: StripLine[] = [
    { item: '9', partClass: 'gear' },
    { item: '12', partClass: 'o-ring' },
    { item: '13', partClass: 'cover' },
    { item: '14', partClass: 'oil-seal' },
    { item: '18', partClass: 'crush-washer' },
    { item: '19', partClass: 'plug' },
    { item: '20', partClass: 'o-ring', facts: { seals: ['9'] } },
  ]
  const edges = [
    ['19', '18'],
    ['19', '13'],
    ['13', '12'],
    ['13', '14'],
    ['13', '9'],
  ].map(([first, then]) => ({ first: first!, then: then! }))
  const under = (target: string) =>
    stripPlan({ edges, lines: GEARBOX, targets: [target] }).steps.flatMap(({ item, openedBy }) =>
      openedBy ? [`${item} under ${openedBy.join(' ')}`] : [],
    )

  test('are steps under what comes off them, and the pressed-in lip seal stays', () => {
    expect(under('9')).toEqual(['12 under 13', '18 under 19', '20 under 9'])
  })

  test('stay shut where nothing comes off them', () => {
    expect(under('19')).toEqual(['18 under 19'])
    expect(under('14')).toEqual(['12 under 13', '18 under 19'])
  })

  test('do not stand in their own way, nor in that of a target', () => {
    const { steps } = stripPlan({ edges, lines: GEARBOX, targets: ['19'] })
    expect(steps).toEqual([
      { item: '19', target: true, why: 'target', inTheWayOf: [] },
      { item: '18', target: false, why: 'under 19', inTheWayOf: [], openedBy: ['19'] },
    ])
  })
})
