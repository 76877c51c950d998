import { describe, expect, test } from 'vitest'
import { type Rule, rulesParse } from '../../lib/companion/rule.ts'
import { companionSuggest } from '../../lib/companion/suggest.ts'
import { aJob, aLine, aPart } from './builders.ts'

const rule = (id: string, more: Partial<Rule>): Rule =>
  rulesParse([
    {
      id,
      words: `The words of ${id}.`,
      family: 'cleaning',
      source: `source of ${id}`,
      strength: 'should',
      when: { what: 'disturbed' },
      then: { what: 'act' },
      ...more,
    },
  ])[0]!
const cans = (id: string, each: number, strength: Rule['strength']) =>
  rule(id, { strength, then: { what: 'consumable', partClass: ['brake-cleaner'], amount: { each }, per: 'job' } })
const suggest = (rules: Rule[]) =>
  companionSuggest(
    aJob({
      lines: [aLine('5', 'brake-shoe'), aLine('6', 'return-spring', { quantity: 3 })],
      targets: [{ item: '5', positions: [], quantity: 1 }],
      edges: [{ first: '6', then: '5' }],
      shelf: [aPart(77, 'brake-cleaner')],
      rules,
    }),
  )

describe('two rules that disagree about the same thing', () => {
  test('the larger amount and the stronger word win, whichever rule has which, and both reasons are shown', () => {
    for (const rules of [
      [cans('first-rule', 3, 'consider'), cans('second-rule', 1, 'must')],
      [cans('second-rule', 1, 'must'), cans('first-rule', 3, 'consider')],
    ]) {
      const all = suggest(rules)
      expect(all).toHaveLength(1)
      expect(all[0]).toMatchObject({ strength: 'must', quantity: 3, partId: 77 })
      expect(all[0]!.reasons.map((reason) => [reason.ruleId, reason.strength, reason.source])).toEqual([
        ['second-rule', 'must', 'source of second-rule'],
        ['first-rule', 'consider', 'source of first-rule'],
      ])
    }
  })

  test('a part is asked for as often as it is fitted, however many rules ask for it', () => {
    const renew = (id: string, strength: Rule['strength']) =>
      rule(id, {
        family: 'set',
        strength,
        when: { what: 'disturbed', partClass: ['return-spring'] },
        then: { what: 'same-line' },
      })
    const all = suggest([renew('first-rule', 'should'), renew('second-rule', 'must')])
    expect(all).toMatchObject([{ strength: 'must', quantity: 3, item: '6' }])
    expect(all[0]!.reasons.map((reason) => reason.ruleId)).toEqual(['second-rule', 'first-rule'])
  })
})
