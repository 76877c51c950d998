import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { PART_CLASSES, type PartClass } from '../../lib/catalogue/part-class.ts'
import { itemKey, stripOrderCheck } from '../../lib/figure/strip-order.ts'
import { type ProposalLine, stripProposal } from '../../lib/figure/strip-proposal.ts'
import { DEVELOPED_WITH, kendallTau, pairsOf, stripCases, stripMark } from '../eval/strip-score.ts'

const line = (item: string, partClass: PartClass, more: Partial<ProposalLine> = {}): ProposalLine => ({
  item,
  partClass,
  description: partClass,
  indenture: 1,
  ...more,
})
/** Leader tips every 100 units to the right, in the order given. */
const along = (...items: string[]) => items.map((item, at) => ({ item, tips: [{ x: 100 * at, y: 40 * at }] }))

// Strip orders of these small assemblies: common practice, no source.
describe('a first strip order from the drawing', () => {
  const hub = [
    line('1', 'axle'),
    line('2', 'oil-seal'),
    line('3', 'hub'),
    line('4', 'castle-nut', { attaches: '3' }),
    line('5', 'split-pin', { attaches: '4', indenture: 2 }),
    line('6', 'cap'),
  ]

  test('begins at the cap and ends at the axle, whichever way the drawing faces', () => {
    const there = stripProposal({ lines: hub, callouts: along('1', '2', '3', '4', '5', '6') })
    const back = stripProposal({ lines: hub, callouts: along('6', '5', '4', '3', '2', '1') })
    expect(there.order).toEqual(['6', '5', '4', '3', '2', '1'])
    expect(back.order).toEqual(there.order)
    expect(there.says).toBe('From 6 cap towards 1 axle.')
  })

  test('does not hang on which way the items are numbered', () => {
    const callouts = along('1', '2', '3', '4', '5', '6')
    expect(stripProposal({ lines: hub.toReversed(), callouts }).order).toEqual(['6', '5', '4', '3', '2', '1'])
  })

  test('takes both ends off a housing, and leaves the ends independent of each other', () => {
    const lines = [
      line('1', 'cover'),
      line('2', 'bearing'),
      line('3', 'housing'),
      line('4', 'bearing'),
      line('5', 'cover'),
    ]
    const { order, edges, says } = stripProposal({ lines, callouts: along('1', '2', '3', '4', '5') })
    expect(order.at(-1)).toBe('3')
    expect(says).toBe('From both ends towards 3 housing, which stays last.')
    const pairs = pairsOf(edges)
    for (const pair of ['1 2', '2 3', '5 4', '4 3']) expect(pairs).toContain(pair)
    for (const pair of ['1 5', '5 1', '1 4', '5 2', '2 4', '4 2']) expect(pairs).not.toContain(pair)
  })

  test('works a part of a part after the part, and says why', () => {
    const lines = [line('1', 'lever'), line('2', 'bush', { indenture: 2 }), line('3', 'bolt', { attaches: '1' })]
    const { order, edges } = stripProposal({ lines, callouts: along('1', '2', '3') })
    expect(order).toEqual(['3', '1', '2'])
    expect(edges.find((edge) => edge.first === '1' && edge.then === '2')?.why).toBe('2 is a part of it')
    expect(edges.find((edge) => edge.first === '3')?.why).toBe('holds 1')
  })

  test('goes by the words where the list names no kind', () => {
    const lines = [
      line('1', 'other', { description: 'Casing' }),
      line('2', 'other', { description: 'Shaft' }),
      line('3', 'other', { description: 'Cover, end' }),
      line('4', 'other', { description: 'Cover screw' }),
    ]
    expect(stripProposal({ lines, callouts: along('1', '2', '3', '4') }).order.slice(-2)).toEqual(['2', '1'])
  })

  test('says that it is not sure when nothing tells inside from outside', () => {
    const lines = [line('1', 'key'), line('2', 'shim'), line('3', 'gasket')]
    const { confidence, says } = stripProposal({ lines, callouts: along('1', '2', '3') })
    expect(confidence).toBeLessThan(0.4)
    expect(says).toMatch(/look at each step\.$/)
  })
})

const item = fc.integer({ min: 1, max: 30 }).map(String)
const anyFigure = fc.record({
  lines: fc.array(
    fc.record({
      item,
      description: fc.constantFrom('Cover', 'Bolt', 'Housing', 'Thing', ''),
      partClass: fc.constantFrom(...PART_CLASSES),
      indenture: fc.integer({ min: 0, max: 4 }),
      attaches: fc.option(item, { nil: undefined }),
    }),
    { maxLength: 30 },
  ),
  callouts: fc.array(
    fc.record({
      item,
      tips: fc.array(fc.record({ x: fc.integer({ min: 0, max: 9 }), y: fc.integer({ min: 0, max: 9 }) }), {
        maxLength: 3,
      }),
    }),
    { maxLength: 40 },
  ),
})
type Figure = typeof anyFigure extends fc.Arbitrary<infer T> ? T : never
const asLines = (figure: Figure): ProposalLine[] =>
  figure.lines.map(({ attaches, ...rest }) => ({ ...rest, ...(attaches === undefined ? {} : { attaches }) }))

/** Items that hold each other in a circle, or lead into one: nothing can come first there. */
function tangled(lines: readonly ProposalLine[]): boolean {
  const first = new Map<string, ProposalLine>()
  for (const one of lines) if (!first.has(itemKey(one.item))) first.set(itemKey(one.item), one)
  const held = [...first.values()].flatMap(({ item: from, attaches }) =>
    attaches === undefined || attaches === from || !first.has(attaches) ? [] : [{ first: from, then: attaches }],
  )
  const pairs = pairsOf(held)
  return [...pairs].some((pair) => pairs.has(pair.split(' ').reverse().join(' ')))
}

describe('whatever the list and the drawing say', () => {
  test('every item stands in the order once, steps run in no circle and agree with it', () => {
    fc.assert(
      fc.property(anyFigure, (figure) => {
        const lines = asLines(figure)
        const { order, edges, confidence } = stripProposal({ lines, callouts: figure.callouts })
        const items = [...new Set(lines.map((one) => one.item))]
        expect(order.toSorted()).toEqual(items.toSorted())
        stripOrderCheck(edges, items)
        for (const { first, then, confidence: sure, why } of edges) {
          expect(order.indexOf(first)).toBeLessThan(order.indexOf(then))
          expect(sure).toBeGreaterThan(0)
          expect(sure).toBeLessThanOrEqual(1)
          expect(why).not.toBe('')
        }
        expect(confidence).toBeGreaterThanOrEqual(0)
        expect(confidence).toBeLessThanOrEqual(1)
      }),
      { seed: 71, numRuns: 300 },
    )
  })

  test('an attaching part comes off before what it holds, and the step says so', () => {
    fc.assert(
      fc.property(anyFigure, (figure) => {
        const lines = asLines(figure)
        fc.pre(!tangled(lines))
        const { order, edges } = stripProposal({ lines, callouts: figure.callouts })
        const seen = new Set<string>()
        for (const { item: from, attaches } of lines) {
          if (seen.has(from)) continue
          seen.add(from)
          if (attaches === undefined || attaches === from || !order.includes(attaches)) continue
          expect(order.indexOf(from)).toBeLessThan(order.indexOf(attaches))
          expect(edges).toContainEqual(expect.objectContaining({ first: from, then: attaches }))
        }
      }),
      { seed: 72, numRuns: 300 },
    )
  })

  test('a drawing twice as large gives the same order', () => {
    fc.assert(
      fc.property(anyFigure, (figure) => {
        const lines = asLines(figure)
        // Tips that lie alike in two directions have no main axis to speak of: the drawing is drawn out lengthways.
        const drawn = (turn: number) =>
          figure.callouts.map((one) => ({
            item: one.item,
            tips: one.tips.map((tip) => ({ x: turn * 64 * tip.x, y: turn * tip.y })),
          }))
        const plain = stripProposal({ lines, callouts: drawn(1) })
        expect(stripProposal({ lines, callouts: drawn(2) }).order).toEqual(plain.order)
      }),
      { seed: 73, numRuns: 200 },
    )
  })
})

describe('on the figures of the demo, whose orders are known', () => {
  const cases = stripCases()
  const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length
  const held = cases.filter(({ slug }) => !DEVELOPED_WITH.has(slug)).map((one) => stripMark(one))

  test('the mark is what it says: the true order has tau 1, its reverse -1', () => {
    const truth = pairsOf([
      { first: 'a', then: 'b' },
      { first: 'b', then: 'c' },
    ])
    expect(truth).toEqual(new Set(['a b', 'b c', 'a c']))
    expect(kendallTau(['a', 'b', 'c'], truth)).toBe(1)
    expect(kendallTau(['c', 'b', 'a'], truth)).toBe(-1)
    expect(kendallTau(['b', 'a', 'c'], truth)).toBeCloseTo(1 / 3)
  })

  test('the proposal is far above the order of the numbers, on the figures nobody looked at too', () => {
    const all = cases.map((one) => stripMark(one))
    expect(mean(all.map((one) => one.tau))).toBeGreaterThan(0.6)
    expect(mean(held.map((one) => one.tau))).toBeGreaterThan(0.45)
    for (const marks of [all, held])
      expect(mean(marks.map((one) => one.tau))).toBeGreaterThan(mean(marks.map((one) => one.itemTau)) + 0.8)
  })

  test('a proposed step is four times as often right as the wrong way round', () => {
    expect(mean(held.map((one) => one.right))).toBeGreaterThan(4 * mean(held.map((one) => one.wrong)))
  })

  test('nor does it hang on the run of the numbers: a list turned round is proposed as well', () => {
    const turned = cases.map((one) => stripMark(one, one.lines.toReversed()).tau)
    expect(mean(turned)).toBeGreaterThan(0.5)
  })
})
