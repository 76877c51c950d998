import { describe, expect, test } from 'vitest'
import { suggestionsCompare } from '../../lib/companion/compare.ts'
import type { Rule } from '../../lib/companion/rule.ts'
import { OWN_PREFIX, reasonsMarked, ruleBook, ruleBookWith, ruleChangeOf } from '../../lib/companion/rule-book.ts'
import { ruleSays } from '../../lib/companion/rule-words.ts'
import { RULES } from '../../lib/companion/rules/index.ts'
import { companionSuggest } from '../../lib/companion/suggest.ts'
import { aJob, aLine, aPart } from './builders.ts'

const shipped = (id: string): Rule => RULES.find((rule) => rule.id === id)!
/** Common practice, no source: what is bled is bled into something. */
const own: Rule = {
  id: 'own-7',
  words: 'A new wheel cylinder is bled: have the bottle and the hose at hand.',
  family: 'check',
  source: 'practice of this workshop',
  strength: 'should',
  when: { what: 'target', partClass: ['wheel-cylinder'] },
  then: { what: 'act', stage: 'bring' },
}

describe('the rules a job is planned with', () => {
  test('are the shipped ones where the workshop said nothing', () => {
    const book = ruleBook(RULES, [])
    expect(book.inForce).toEqual(RULES)
    expect(new Set(book.entries.map((entry) => `${entry.origin} ${entry.state}`))).toEqual(new Set(['shipped on']))
    expect(book.faulty).toEqual([])
  })

  test('a rule that is switched off is not applied, and still known for the jobs it was applied to', () => {
    const book = ruleBook(RULES, [{ ruleId: 'brake-friction-pair', state: 'off', content: null }])
    expect(book.inForce.map((rule) => rule.id)).not.toContain('brake-friction-pair')
    expect(book.inForce).toHaveLength(RULES.length - 1)
    expect(book.known).toEqual(RULES)
  })

  test('a changed rule keeps the shipped condition, and says what the workshop says', () => {
    const book = ruleBook(RULES, [
      {
        ruleId: 'brake-drum-pair',
        state: 'on',
        content: { strength: 'consider', words: 'Look at the other drum too.' },
      },
    ])
    const entry = book.entries.find((one) => one.rule.id === 'brake-drum-pair')!
    expect(entry).toMatchObject({ origin: 'changed', state: 'on', shipped: shipped('brake-drum-pair') })
    expect(entry.rule).toEqual({
      ...shipped('brake-drum-pair'),
      strength: 'consider',
      words: 'Look at the other drum too.',
    })
  })

  test('a rule of the workshop stands behind the shipped ones and is applied like them', () => {
    const book = ruleBook(RULES, [{ ruleId: 'own-7', state: 'on', content: own }])
    expect(book.inForce.at(-1)).toEqual(own)
    const job = aJob({
      lines: [aLine('4', 'wheel-cylinder')],
      targets: [{ item: '4', positions: [], quantity: 1 }],
    })
    const suggested = companionSuggest({ ...job, rules: book.inForce })
    expect(suggested.find((one) => one.key === 'act:own-7')).toMatchObject({ strength: 'should', kind: 'act' })
    expect(companionSuggest({ ...job, rules: RULES }).some((one) => one.key === 'act:own-7')).toBe(false)
  })

  test('a change that no longer fits falls back to the shipped rule and is named', () => {
    const book = ruleBook(RULES, [
      { ruleId: 'brake-drum-pair', state: 'on', content: { words: '{massKg} kg: two people.' } },
    ])
    expect(book.entries.find((one) => one.rule.id === 'brake-drum-pair')).toMatchObject({ origin: 'shipped' })
    expect(book.faulty).toEqual([{ ruleId: 'brake-drum-pair', why: expect.stringContaining('massKg') }])
  })

  test('an own rule that cannot be read is silent and named; the others are applied', () => {
    const book = ruleBook(RULES, [
      { ruleId: 'own-8', state: 'on', content: { ...own, id: 'own-8', strength: 'perhaps' } },
      { ruleId: 'own-9', state: 'on', content: own },
      { ruleId: 'own-7', state: 'on', content: own },
    ])
    expect(book.faulty.map((one) => one.ruleId)).toEqual(['own-8', 'own-9'])
    expect(book.inForce).toHaveLength(RULES.length + 1)
  })

  test('a change of a rule that is no longer shipped is named, a switch of one is not', () => {
    const book = ruleBook(RULES, [
      { ruleId: 'gone-with-the-years', state: 'on', content: { strength: 'must' } },
      { ruleId: 'gone-as-well', state: 'off', content: null },
    ])
    expect(book.faulty.map((one) => one.ruleId)).toEqual(['gone-with-the-years'])
    expect(book.inForce).toEqual(RULES)
  })

  test('a draft takes the place of what was decided before', () => {
    const off = ruleBook(RULES, [{ ruleId: 'own-7', state: 'off', content: own }])
    const tried = ruleBookWith(RULES, off, { ruleId: 'own-7', state: 'on', content: { ...own, strength: 'must' } })
    expect(off.inForce).toHaveLength(RULES.length)
    expect(tried.inForce.at(-1)).toMatchObject({ id: 'own-7', strength: 'must' })
  })

  test('no shipped rule has an id of the workshop’s kind', () => {
    expect(RULES.filter((rule) => rule.id.startsWith(OWN_PREFIX))).toEqual([])
  })
})

test('only what differs from the shipped rule is kept as a change', () => {
  const rule = shipped('brake-drum-pair')
  expect(ruleChangeOf(rule, rule)).toBeNull()
  expect(ruleChangeOf(rule, { ...rule, strength: 'must' })).toEqual({ strength: 'must' })
  const consumable = RULES.find((one) => one.then.what === 'consumable' && one.then.amount)!
  const more = { ...consumable, then: { ...consumable.then, amount: { each: 3 }, per: 'line' as const } } as Rule
  expect(ruleChangeOf(consumable, more)).toMatchObject({ amount: { each: 3 } })
})

describe('the quantity of a consumable follows the change of the workshop', () => {
  const rule: Rule = {
    ...own,
    words: 'Wipe the seat of the wheel cylinder.',
    family: 'cleaning',
    when: { what: 'target', partClass: ['wheel-cylinder'] },
    then: { what: 'consumable', partClass: ['wiping-cloth'], amount: { each: 2 }, per: 'job' },
  }
  const job = aJob({
    lines: [aLine('4', 'wheel-cylinder', { quantity: 1 })],
    targets: [{ item: '4', positions: ['LH', 'RH'], quantity: 2 }],
    positions: [
      { code: 'LH', label: 'left', pairedWith: 'RH' },
      { code: 'RH', label: 'right' },
    ],
    shelf: [aPart(31, 'wiping-cloth')],
  })
  const quantity = (content: unknown) =>
    companionSuggest({ ...job, rules: ruleBook([rule], [{ ruleId: rule.id, state: 'on', content }]).inForce })[0]
      ?.quantity

  test('two for the job; five for the job; three for each of two wheels are six', () => {
    expect(quantity(null)).toBe(2)
    expect(quantity({ amount: { each: 5 } })).toBe(5)
    expect(quantity({ amount: { each: 3 }, per: 'position' })).toBe(6)
  })
})

test('a reason says whose rule it is, but for the shipped ones', () => {
  const book = ruleBook(RULES, [
    { ruleId: 'own-7', state: 'on', content: own },
    { ruleId: 'brake-drum-pair', state: 'on', content: { strength: 'must' } },
  ])
  const reasons = ['own-7', 'brake-drum-pair', 'brake-friction-pair'].map((ruleId) => ({ ruleId }))
  expect(reasonsMarked(reasons, book)).toEqual([
    { ruleId: 'own-7', origin: 'own' },
    { ruleId: 'brake-drum-pair', origin: 'changed' },
    { ruleId: 'brake-friction-pair' },
  ])
})

test('two runs side by side say what came, what went and what differs', () => {
  const lines = [aLine('4', 'wheel-cylinder'), aLine('5', 'brake-drum')]
  const job = aJob({ lines, targets: [{ item: '4', positions: [], quantity: 1 }] })
  const run = (rules: readonly Rule[]) =>
    companionSuggest({ ...job, rules }).map((one) => ({ ...one, jobKey: `1:${one.key}` }))
  const before = run([own])
  expect(suggestionsCompare(before, run([])).map((change) => change.kind)).toEqual(['removed'])
  expect(suggestionsCompare(run([]), before).map((change) => change.kind)).toEqual(['added'])
  expect(suggestionsCompare(before, before).map((change) => change.kind)).toEqual(['same'])
  expect(suggestionsCompare(before, run([{ ...own, strength: 'must' }]))[0]).toMatchObject({
    kind: 'changed',
    differs: ['strength'],
  })
})

describe('a rule in plain words', () => {
  test('says when, then, and nothing of the program', () => {
    expect(ruleSays(shipped('brake-friction-pair'))).toBe(
      'When a brake shoe or brake pad is renewed, at a position that another one wears with, then renew the same part at the position it wears with.',
    )
    expect(ruleSays(own)).toBe('When a wheel cylinder is renewed, then see to it (have at hand).')
  })

  test.each(RULES.map((rule) => [rule.id, rule] as const))('%s: no name of the schema is left', (_, rule) => {
    expect(ruleSays({ ...rule, when: { ...rule.when, unless: undefined } })).not.toMatch(
      /undefined|\b[a-z]+[A-Z]\w+\b|\b(shaft|hub|wheel|brake|hot|gasket|oil|bearing)-[a-z]+/,
    )
  })
})
