import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Rule, rulesParse } from '../../lib/companion/rule.ts'
import { RULES } from '../../lib/companion/rules/index.ts'
import { jobPlan } from '../../lib/job/plan.ts'
import type { PlanFigure, PlanTarget } from '../../lib/job/plan-figure.ts'
import { type CompanionsAsked, companionWants, sharedLayers } from '../../lib/winter/companions.ts'
import type { Want } from '../../lib/winter/facts.ts'
import { aLine, aPart, TWO_WHEELS } from '../companion/builders.ts'

/** A wheel on either side: a bearing with its seal, two shoes, and a cover with a gasket over a valve and a piston. */
const HUB: PlanFigure = {
  ...{ id: 7, number: '7', title: 'Hub', positions: TWO_WHEELS, absentItems: [], strip: [], tests: [] },
  lines: [
    aLine('1', 'bearing', { description: 'Bearing' }),
    aLine('2', 'oil-seal', { description: 'Seal' }),
    aLine('5', 'brake-shoe', { description: 'Shoe', quantity: 2 }),
    aLine('6', 'valve', { description: 'Valve' }),
    aLine('7', 'piston', { description: 'Piston' }),
    aLine('8', 'gasket', { description: 'Gasket' }),
  ],
}
const CLEANER = aPart(900, 'brake-cleaner', { description: 'Brake cleaner', unit: 'litre' })

const rule = (id: string, words: string, strength: Rule['strength'], when: unknown, then: unknown) => ({
  ...{ id, words, family: 'set', source: 'common practice, no source', strength, when, then },
})
const OWN = rulesParse([
  rule(
    't-seal',
    'A new bearing gets a new seal: it comes out anyway.',
    'must',
    { what: 'target', partClass: ['bearing'] },
    {
      ...{ what: 'line-of-class', partClass: ['oil-seal'], within: 'figure' },
    },
  ),
  rule(
    't-shoes',
    'Shoes are renewed on both wheels.',
    'should',
    { what: 'target', partClass: ['brake-shoe'], paired: true },
    {
      what: 'same-part-at-paired-position',
    },
  ),
  rule(
    't-gasket',
    'A gasket is used once.',
    'must',
    { what: 'target', partClass: ['valve', 'piston'] },
    {
      ...{ what: 'line-of-class', partClass: ['gasket'], within: 'figure' },
    },
  ),
  rule(
    't-clean',
    'Clean before it goes together.',
    'should',
    { what: 'target' },
    {
      ...{ what: 'consumable', partClass: ['brake-cleaner'], amount: { litre: 0.2 }, per: 'job' },
    },
  ),
  rule(
    't-consider',
    'Look at the valve.',
    'consider',
    { what: 'target', partClass: ['bearing'] },
    {
      ...{ what: 'line-of-class', partClass: ['valve'], within: 'figure' },
    },
  ),
])

const proposes = (rules: readonly Rule[]) => (targets: readonly PlanTarget[]) =>
  jobPlan({ figures: [HUB], targets, rules, shelf: [CLEANER] }).suggestions
const target = (item: string, positions: string[], quantity: number): PlanTarget => ({
  ...{ figureId: HUB.id, item, positions, quantity },
})
const partId = (item: string) => HUB.lines.find((line) => line.item === item)!.partId
const want = (item: string, quantity: number, looks: string[] = []): Want => ({
  ...{
    partId: partId(item),
    quantity,
    looks,
    text: `${item} ${HUB.lines.find((line) => line.item === item)!.description}`,
  },
})
const asked = (more: Partial<CompanionsAsked>): CompanionsAsked => ({
  ...{ own: [], looks: [], proposes: proposes(OWN), named: new Map(), withAlways: true },
  always: { targets: [], text: () => '1 Bearing' },
  ...more,
})
const BEARINGS = { targets: [target('1', ['LH', 'RH'], 2)], text: () => '1 Bearing' }
const said = (wants: readonly Want[]) =>
  wants.map(({ partId: id, quantity, looks, goesWith }) => {
    const name = HUB.lines.find((line) => line.partId === id)?.description ?? CLEANER.description
    return `${name} ${quantity}${looks.length > 0 ? ` by ${looks.join('|')}` : ''}${goesWith ? `, ${goesWith}` : ''}`
  })

describe('what goes with a planned service', () => {
  it('is certain with what is renewed, and hangs on the look with what is looked at; what may be considered stays out', () => {
    // By hand: two bearings bring a seal each and 0.2 l of cleaner for the job. The shoes of the left wheel, found worn, bring
    // those of the right one; the cleaner is there already. A valve is only to be considered.
    const { wants } = companionWants(
      asked({
        own: [want('1', 2), want('5', 2, ['shoes'])],
        always: BEARINGS,
        looks: [{ key: 'shoes', text: '5 Shoe', targets: [target('5', ['LH'], 2)] }],
      }),
    )
    expect(said(wants)).toEqual([
      'Bearing 2',
      'Seal 2, goes with 1 Bearing: A new bearing gets a new seal',
      'Brake cleaner 200, goes with 1 Bearing: Clean before it goes together',
      'Shoe 2 by shoes',
      'Shoe 2 by shoes, goes with 5 Shoe: Shoes are renewed on both wheels',
    ])
  })

  it('brings cleaner with the look where nothing else is renewed', () => {
    const { wants } = companionWants(
      asked({
        own: [want('1', 1, ['bearing'])],
        looks: [{ key: 'bearing', text: '1 Bearing', targets: [target('1', ['LH'], 1)] }],
      }),
    )
    expect(said(wants)).toEqual([
      'Bearing 1 by bearing',
      'Seal 1 by bearing, goes with 1 Bearing: A new bearing gets a new seal',
      'Brake cleaner 200 by bearing, goes with 1 Bearing: Clean before it goes together',
    ])
  })

  it('counts a gasket under which two things are looked at once, whichever of them is worn', () => {
    const look = (item: string) => ({ key: `look ${item}`, text: item, targets: [target(item, ['LH'], 1)] })
    const { wants } = companionWants(
      asked({
        own: [want('6', 1, ['look 6']), want('7', 1, ['look 7'])],
        always: BEARINGS,
        looks: [look('6'), look('7')],
      }),
    )
    expect(said(wants).filter((one) => one.startsWith('Gasket'))).toEqual([
      'Gasket 1 by look 6|look 7, goes with 6 or 7: A gasket is used once',
    ])
  })

  it('leaves out what the list itself or an open job names, but no more than that', () => {
    const named = new Map([[partId('2'), 1]])
    const { wants } = companionWants(asked({ own: [want('1', 2)], always: BEARINGS, named }))
    expect(said(wants)[1]).toBe('Seal 1, goes with 1 Bearing: A new bearing gets a new seal')
    const all = new Map([[partId('2'), 5]])
    expect(said(companionWants(asked({ own: [want('1', 2)], always: BEARINGS, named: all })).wants)).toEqual([
      'Bearing 2',
      'Brake cleaner 200, goes with 1 Bearing: Clean before it goes together',
    ])
  })

  it('what goes with the rest in any case is no longer looked at', () => {
    // The seals come new with the bearings, so the look at them takes nothing more.
    const { wants } = companionWants(
      asked({
        own: [want('1', 2), want('2', 2, ['seals'])],
        always: BEARINGS,
        looks: [{ key: 'seals', text: '2 Seal', targets: [target('2', ['LH', 'RH'], 2)] }],
      }),
    )
    expect(said(wants).filter((one) => one.startsWith('Seal'))).toEqual([
      'Seal 2, goes with 1 Bearing: A new bearing gets a new seal',
    ])
  })
})

const lookItems = ['1', '5', '6', '7']
const SHIPPED = RULES.filter(({ when, then }) => when.unless === undefined && then.what !== 'act').slice(0, 60)

describe('needs of a planned service', () => {
  it('never fall when a rule is added: neither what is certain nor what is needed when all looks find something', () => {
    const drawn = fc.record({
      rules: fc.subarray([...OWN, ...SHIPPED]),
      more: fc.constantFrom(...OWN, ...SHIPPED),
      always: fc.subarray(lookItems),
      looks: fc.subarray(lookItems),
    })
    fc.assert(
      fc.property(drawn, ({ rules, more, always, looks }) => {
        const looked = looks.filter((item) => !always.includes(item))
        const sums = (all: readonly Rule[]) => {
          const { wants } = companionWants(
            asked({
              own: [...always.map((item) => want(item, 1)), ...looked.map((item) => want(item, 1, [item]))],
              always: { targets: always.map((item) => target(item, ['LH'], 1)), text: () => '' },
              looks: looked.map((item) => ({ key: item, text: item, targets: [target(item, ['LH'], 1)] })),
              proposes: proposes(all),
            }),
          )
          const total = new Map<number, { certain: number; most: number }>()
          for (const { partId: id, quantity, looks: by } of wants) {
            const of = total.get(id) ?? { certain: 0, most: 0 }
            total.set(id, { certain: of.certain + (by.length === 0 ? quantity : 0), most: of.most + quantity })
          }
          return total
        }
        const [before, after] = [sums(rules), sums([...rules.filter(({ id }) => id !== more.id), more])]
        for (const [id, { certain, most }] of before) {
          expect(after.get(id)?.certain ?? 0).toBeGreaterThanOrEqual(certain)
          expect(after.get(id)?.most ?? 0).toBeGreaterThanOrEqual(most)
        }
      }),
      { numRuns: 150 },
    )
  })

  it('shared by several looks come to what each of them asks for alone, and to what all of them ask for', () => {
    expect(
      sharedLayers(
        [
          { look: 'a', quantity: 5 },
          { look: 'b', quantity: 5 },
        ],
        5,
      ),
    ).toEqual([{ looks: ['a', 'b'], quantity: 5 }])
    const each = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 5 })
    fc.assert(
      fc.property(each, fc.nat(60), (quantities, drawn) => {
        const [most, sum] = [Math.max(...quantities), quantities.reduce((all, one) => all + one, 0)]
        const all = Math.min(sum, Math.max(most, drawn))
        const layers = sharedLayers(
          quantities.map((quantity, at) => ({ look: String(at), quantity })),
          all,
        )
        const of = (looks: readonly string[]) =>
          layers.reduce((total, one) => total + (one.looks.some((look) => looks.includes(look)) ? one.quantity : 0), 0)
        for (const [at, quantity] of quantities.entries()) expect(of([String(at)])).toBe(quantity)
        expect(of(quantities.map((_, at) => String(at)))).toBeGreaterThanOrEqual(all)
      }),
    )
  })
})
