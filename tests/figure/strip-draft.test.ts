import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  type DraftLine,
  draftEdges,
  draftOf,
  draftsTogether,
  EMPTY_DRAFT,
  type StripAct,
  type StripDraft,
  stripTurn,
} from '../../lib/figure/strip-draft.ts'
import { stripDone, stripHistory, stripRedo, stripUndo } from '../../lib/figure/strip-history.ts'
import { stripOrderCheckLines } from '../../lib/figure/strip-order.ts'

/** Hub and drum brake (common practice, no source): split pin 19 holds nut 18, nut 18 holds hub 12; drum 14, shoe 5. */
const BRAKE: DraftLine[] = [
  { item: '5', name: 'Brake shoe' },
  { item: '8', name: 'Hold-down spring', attaches: '5' },
  { item: '12', name: 'Hub' },
  { item: '14', name: 'Brake drum, 300 x 60' },
  { item: '18', name: 'Castle nut', attaches: '12' },
  { item: '19', name: 'Split pin', attaches: '18' },
  { item: '20', name: 'Dust cap' },
]
const says = (draft: StripDraft) =>
  draft.steps.map((step) => `${step.item}${step.after.length > 0 ? ` after ${step.after.join(' ')}` : ''}`)

function did(acts: readonly StripAct[], from: StripDraft = EMPTY_DRAFT): StripDraft {
  return acts.reduce((draft, act) => {
    const turned = stripTurn(draft, act, BRAKE)
    if ('refused' in turned) throw new Error(turned.refused)
    return turned.draft
  }, from)
}
const tap = (item: string): StripAct => ({ do: 'tap', item })

describe('parts tapped in the order they come off', () => {
  test('hang on each other, and what holds a part comes off before it by itself', () => {
    expect(says(did([tap('20'), tap('12'), tap('14')]))).toEqual([
      '20',
      '19 after 20',
      '18 after 19',
      '12 after 18',
      '14 after 12',
    ])
  })

  test('a part already off is taken in hand, and the next one comes off after that: a branch', () => {
    const draft = did([tap('20'), tap('14'), tap('20'), tap('12')])
    expect(says(draft)).toEqual(['20', '14 after 20', '19 after 20', '18 after 19', '12 after 18'])
    expect(draft.head).toBe('12')
  })

  test('a part may come off by itself', () => {
    expect(says(did([tap('20'), { do: 'by-itself' }, tap('14')]))).toEqual(['20', '14'])
  })

  test('branches meet again in a part that comes off after both', () => {
    const draft = did([tap('20'), { do: 'by-itself' }, tap('14'), tap('5'), { do: 'after', item: '5', first: '20' }])
    expect(says(draft).at(-1)).toBe('5 after 8 20')
  })

  test('taken out, the chain closes over the gap', () => {
    expect(says(did([tap('20'), tap('14'), tap('5'), { do: 'remove', item: '14' }]))).toEqual([
      '20',
      '8 after 20',
      '5 after 8',
    ])
  })

  test('two neighbours change places in their chain', () => {
    const draft = did([tap('20'), tap('14'), tap('12')])
    expect(says(did([{ do: 'earlier', item: '14' }], draft))[0]).toBe('14')
    expect(says(did([{ do: 'earlier', item: '14' }], draft))[1]).toBe('20 after 14')
    expect(did([{ do: 'later', item: '20' }], draft)).toEqual(did([{ do: 'earlier', item: '14' }], draft))
  })
})

describe('what cannot be is refused in words, and nothing changes', () => {
  const refused = (acts: readonly StripAct[], act: StripAct) => {
    const turned = stripTurn(did(acts), act, BRAKE)
    return 'refused' in turned ? turned.refused : turned.draft
  }

  test('a circle, with its loop by name', () => {
    expect(refused([tap('20'), tap('14'), tap('5')], { do: 'after', item: '20', first: '14' })).toBe(
      'That runs in a circle: 20 Dust cap before 14 Brake drum before 20 Dust cap.',
    )
  })

  test('a held part before what holds it', () => {
    expect(refused([tap('12')], { do: 'earlier', item: '12' })).toBe('18 holds 12, so it comes off first.')
    expect(refused([tap('12')], { do: 'after', item: '19', first: '12' })).toBe(
      'That runs in a circle: 19 Split pin before 18 Castle nut before 12 Hub before 19 Split pin.',
    )
  })

  test('and two orders that contradict each other', () => {
    const [mine, theirs] = [did([tap('20'), tap('14')]), did([tap('14'), tap('20')])]
    expect(draftsTogether(mine, theirs, BRAKE)).toEqual({
      refused: 'That runs in a circle: 20 Dust cap before 14 Brake drum before 20 Dust cap.',
    })
  })
})

test('two orders that agree go together, with the notes of both', () => {
  const mine = did([tap('20'), tap('14'), { do: 'note', item: '14', note: 'two persons' }])
  const theirs = did([
    tap('14'),
    tap('5'),
    { do: 'note', item: '14', note: 'slacken the adjuster' },
    { do: 'minutes', item: '14', minutes: '15' },
  ])
  const both = draftsTogether(mine, theirs, BRAKE)
  expect('draft' in both && says(both.draft)).toEqual(['20', '14 after 20', '8 after 14', '5 after 8'])
  expect('draft' in both && both.draft.steps[1]).toMatchObject({
    note: 'two persons; slacken the adjuster',
    minutes: '15',
  })
})

describe('undo and redo', () => {
  test('go act by act, typing counts as one, and taking a part in hand as none', () => {
    const acts: StripAct[] = [
      tap('20'),
      tap('14'),
      { do: 'note', item: '14', note: 's' },
      { do: 'note', item: '14', note: 'sl' },
      tap('20'),
    ]
    const history = acts.reduce((past, act) => stripDone(past, act, BRAKE), stripHistory(EMPTY_DRAFT))
    expect(history.past).toHaveLength(3)
    const back = stripUndo(history)
    expect(back.present.steps.map((step) => step.note)).toEqual(['', ''])
    expect(stripRedo(back).present.steps[1]?.note).toBe('sl')
    expect(stripUndo(stripUndo(back)).present).toEqual(EMPTY_DRAFT)
  })

  test('a refusal is said, and the next act clears it', () => {
    const history = [tap('20'), tap('14'), { do: 'after', item: '20', first: '14' } as const].reduce<
      ReturnType<typeof stripHistory>
    >((past, act) => stripDone(past, act, BRAKE), stripHistory(EMPTY_DRAFT))
    expect(history.refused).toMatch(/circle/)
    expect(history.past).toHaveLength(2)
    expect(stripDone(history, tap('5'), BRAKE).refused).toBeNull()
  })
})

describe('whatever a person does', () => {
  const item = fc.constantFrom(...BRAKE.map((line) => line.item))
  const act: fc.Arbitrary<StripAct> = fc.oneof(
    { weight: 4, arbitrary: item.map(tap) },
    fc.record({ do: fc.constant('by-itself' as const) }),
    fc.record({ do: fc.constantFrom('remove' as const, 'earlier' as const, 'later' as const), item }),
    fc.record({ do: fc.constantFrom('after' as const, 'not-after' as const), item, first: item }),
    fc.record({ do: fc.constant('note' as const), item, note: fc.string({ maxLength: 5 }) }),
  )

  test('the order can be worked through, each part stands in it once, and each after what it comes off after', () => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 40 }), (acts) => {
        const history = acts.reduce((past, one) => stripDone(past, one, BRAKE), stripHistory(EMPTY_DRAFT))
        const { steps } = history.present
        const place = new Map(steps.map((step, at) => [step.item, at]))
        expect(place.size).toBe(steps.length)
        for (const step of steps)
          for (const one of step.after) expect(place.get(one)).toBeLessThan(place.get(step.item)!)
        for (const { item: from, attaches } of BRAKE)
          if (attaches !== undefined && place.has(from) && place.has(attaches))
            expect(place.get(from)).toBeLessThan(place.get(attaches)!)
        stripOrderCheckLines(draftEdges(history.present), BRAKE)
      }),
      { seed: 81, numRuns: 400 },
    )
  })

  test('all of it can be undone and done again', () => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 25 }), (acts) => {
        const history = acts.reduce((past, one) => stripDone(past, one, BRAKE), stripHistory(EMPTY_DRAFT))
        let back = history
        for (const _ of history.past) back = stripUndo(back)
        expect(back.present.steps).toEqual([])
        for (const _ of history.past) back = stripRedo(back)
        expect(back.present.steps).toEqual(history.present.steps)
      }),
      { seed: 82, numRuns: 200 },
    )
  })

  test('what is kept opens again as it was', () => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 30 }), (acts) => {
        const { present } = acts.reduce((past, one) => stripDone(past, one, BRAKE), stripHistory(EMPTY_DRAFT))
        const kept = {
          edges: draftEdges(present),
          steps: present.steps.map(({ item: one, note }) => ({ item: one, ...(note === '' ? {} : { note }) })),
        }
        const again = draftOf(kept, BRAKE)
        expect(again.steps.map(({ item: one, note }) => [one, note])).toEqual(
          present.steps.map(({ item: one, note }) => [one, note]),
        )
        expect(new Set(draftEdges(again).map((edge) => `${edge.first} ${edge.then}`))).toEqual(
          new Set(kept.edges.map((edge) => `${edge.first} ${edge.then}`)),
        )
      }),
      { seed: 83, numRuns: 200 },
    )
  })
})
