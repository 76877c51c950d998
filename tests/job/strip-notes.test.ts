import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { jobPlan } from '../../lib/job/plan.ts'
import type { PlanFigure, PlanLine } from '../../lib/job/plan-figure.ts'
import { stepKeyRead } from '../../lib/job/step-key.ts'

const line = (item: string, description: string, more: Partial<PlanLine> = {}): PlanLine => ({
  lineId: Number(item),
  item,
  partId: Number(item),
  partNumber: `P${item}`,
  description,
  quantity: 1,
  unit: 'each',
  partClass: 'other',
  facts: {},
  partFacts: {},
  ...more,
})

/** Drum brake (common practice, no source): nut 15 holds drum 14, drum before spring 8, spring holds shoe 5; adjuster 9 apart. */
const brake: PlanFigure = {
  id: 3,
  number: '5-04',
  title: 'Drum brake',
  positions: [
    { code: 'LH', label: 'Left wheel' },
    { code: 'RH', label: 'Right wheel' },
  ],
  lines: [
    line('5', 'Brake shoe'),
    line('8', 'Hold-down spring', { attaches: '5' }),
    line('9', 'Adjuster'),
    line('14', 'Brake drum'),
    line('15', 'Wheel nut', { attaches: '14' }),
  ],
  absentItems: [],
  strip: [
    { first: '14', then: '8' },
    { first: '14', then: '9' },
  ],
  tests: [],
}
const planOf = (figure: PlanFigure, targets: { item: string; positions: string[] }[]) =>
  jobPlan({
    figures: [figure],
    targets: targets.map((target) => ({ figureId: 3, quantity: 1, ...target })),
    rules: [],
    shelf: [],
  })
const itemsOf = (steps: { key: string }[], side?: string) =>
  steps
    .map((step) => stepKeyRead(step.key)!)
    .filter((at) => side === undefined || at.side === side)
    .map((at) => at.item)

describe('a strip order that somebody saved', () => {
  test('says its notes at the steps of the job card, not at the rebuild', () => {
    const noted = { ...brake, stripSteps: [{ item: '14', note: 'slacken the adjuster first' }] }
    const plan = planOf(noted, [{ item: '5', positions: ['LH'] }])
    expect(plan.strip.map((step) => step.text)).toContain(
      'Take off 14 Brake drum (LH) - in the way of 8. Slacken the adjuster first',
    )
    expect(plan.rebuild.map((step) => step.text).join()).not.toContain('adjuster')
  })

  test('settles which of the parts that are free to come off goes first', () => {
    const both = [
      { item: '5', positions: [] },
      { item: '9', positions: [] },
    ]
    expect(itemsOf(planOf(brake, both).strip)).toEqual(['15', '14', '8', '5', '9'])
    const saved = { ...brake, stripSteps: ['15', '14', '9', '8', '5'].map((item) => ({ item })) }
    expect(itemsOf(planOf(saved, both).strip)).toEqual(['15', '14', '9', '8', '5'])
  })
})

describe('whatever is aimed at, at whichever wheels', () => {
  const targets = fc.uniqueArray(
    fc.record({
      item: fc.constantFrom('5', '8', '9', '14', '15'),
      positions: fc.subarray(['LH', 'RH']),
    }),
    { minLength: 1, selector: (target) => target.item },
  )

  test('what several targets share comes off once, nothing else is disturbed, and the rebuild is the reverse', () => {
    fc.assert(
      fc.property(targets, (aimed) => {
        const plan = planOf(brake, aimed)
        const sides = [...new Set(aimed.flatMap((target) => target.positions))]
        for (const side of sides.length > 0 ? sides : [undefined]) {
          // What is aimed at without a side is done at each that is in hand.
          const here = aimed.filter(({ positions }) => !side || positions.length === 0 || positions.includes(side))
          const items = itemsOf(plan.strip, side)
          const alone = here.flatMap(({ item }) => itemsOf(planOf(brake, [{ item, positions: [] }]).strip))
          expect(items.length).toBe(new Set(items).size)
          expect(new Set(items)).toEqual(new Set(alone))
          expect(itemsOf(plan.rebuild, side)).toEqual(items.toReversed())
          for (const { first, then } of [...brake.strip, { first: '15', then: '14' }, { first: '8', then: '5' }])
            if (items.includes(then)) expect(items.indexOf(first)).toBeLessThan(items.indexOf(then))
        }
      }),
      { seed: 92 },
    )
  })

  test('each wheel is a walk of its own, named at each step', () => {
    const plan = planOf(brake, [
      { item: '5', positions: ['LH'] },
      { item: '9', positions: ['RH'] },
    ])
    expect(plan.strip.map((step) => /\((LH|RH)\)/.exec(step.text)?.[1])).toEqual(
      plan.strip.map((step) => stepKeyRead(step.key)!.side),
    )
    expect(itemsOf(plan.strip, 'LH')).toEqual(['15', '14', '8', '5'])
    expect(itemsOf(plan.strip, 'RH')).toEqual(['15', '14', '9'])
  })
})
