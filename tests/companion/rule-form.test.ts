import { describe, expect, test } from 'vitest'
import { ruleBook } from '../../lib/companion/rule-book.ts'
import {
  DRAFT_ID,
  RULE_FORM_EMPTY,
  RuleForm,
  ruleDecided,
  ruleFormOf,
  ruleFormRead,
} from '../../lib/companion/rule-form.ts'
import { RULES } from '../../lib/companion/rules/index.ts'

const known = new Set(RULES.map((rule) => rule.id))
const form = (more: Partial<RuleForm> = {}): RuleForm => ({
  ...RULE_FORM_EMPTY,
  words: 'Grease the cam before the shoes go on.',
  classes: ['brake-shoe'],
  ...more,
})
const read = (more: Partial<RuleForm> = {}) => ruleFormRead(form(more), 'own-3', known)

test.each(RULES.map((rule) => [rule.id, rule] as const))('%s goes into the form and comes back the same', (_, rule) => {
  expect(ruleFormRead(ruleFormOf(rule), rule.id, known)).toEqual({ rule, faults: null })
})

describe('a form becomes a rule', () => {
  test('as it is filled in', () => {
    expect(read({ then: 'consumable', thenClasses: ['grease'], kilogram: '0,02', per: 'position' }).rule).toEqual({
      id: 'own-3',
      words: 'Grease the cam before the shoes go on.',
      family: 'check',
      source: 'practice of this workshop',
      strength: 'should',
      when: { what: 'target', partClass: ['brake-shoe'] },
      then: { what: 'consumable', partClass: ['grease'], amount: { kilogram: 0.02 }, per: 'position' },
    })
  })

  test('what is asked for brings the conditions it cannot do without', () => {
    expect(read({ then: 'same-part-at-paired-position' }).rule?.when).toMatchObject({ paired: true })
    expect(read({ then: 'opposite-station' }).rule?.when).toMatchObject({ has: ['stations'] })
    expect(read({ then: 'same-part-at-other-end' }).rule?.when).toMatchObject({ has: ['ends'] })
    const grease = { then: 'consumable', thenClasses: ['grease'], formula: 'bearing-grease', kilogram: '3' }
    expect(read(grease).rule).toMatchObject({
      when: { has: ['outsideMm', 'widthMm'] },
      then: { formula: 'bearing-grease' },
    })
    expect(read(grease).rule?.then).not.toHaveProperty('amount')
  })

  test('models, age and season are conditions; what is left empty is none', () => {
    const machine = { models: ' Dunmarrow T6, T8 ,', ageHours: '1000', ageYears: '5', seasonFrom: '10', seasonTo: '3' }
    expect(read(machine).rule?.when).toEqual({
      what: 'target',
      partClass: ['brake-shoe'],
      model: ['Dunmarrow T6', 'T8'],
      age: { hours: 1000, years: 5 },
      season: { from: 10, to: 3 },
    })
    expect(ruleFormOf(read(machine).rule!)).toMatchObject({ ...machine, models: 'Dunmarrow T6, T8' })
    expect(read({ ageYears: '6' }).rule?.when).toMatchObject({ age: { years: 6 } })
    expect(Object.keys(read().rule!.when)).toEqual(['what', 'partClass'])
  })

  test('a list that was sent as one text, or not at all, is a list', () => {
    const sent = RuleForm.parse({ words: 'x', classes: 'brake-shoe' })
    expect(sent).toMatchObject({ classes: ['brake-shoe'], joints: [], grade: '' })
  })
})

describe('a form that is no rule is refused field by field, in words', () => {
  const faults: [string, Partial<RuleForm>, Record<string, string>][] = [
    [
      'words that say nothing',
      { words: 'Grease.' },
      { words: 'say what is to be done and why in 10 to 220 characters' },
    ],
    ['no source', { source: '' }, { source: expect.stringContaining('practice of this workshop') }],
    ['no strength', { strength: '' }, { strength: 'choose how strongly it is asked for' }],
    ['a class that nobody knows', { classes: ['left-handed-hammer'] }, { classes: expect.any(String) }],
    ['a thread in words', { threadOver: 'eight' }, { threadOver: 'enter millimetres, 0 or more' }],
    ['half a piece', { piecesMin: '2,5' }, { piecesMin: 'enter a whole number from 2 to 400' }],
    ['a mass below nothing', { massOver: '-4' }, { massOver: 'enter kilograms above 0' }],
    [
      'a consumable without amount and kind',
      { then: 'consumable' },
      { thenClasses: 'choose at least one kind of part', each: 'enter an amount in at least one unit' },
    ],
    [
      'an amount that cannot be',
      { then: 'consumable', thenClasses: ['grease'], litre: '0' },
      { litre: 'enter litres above 0, at most 1000' },
    ],
    [
      'the pair of what only comes off',
      { what: 'disturbed', then: 'rest-of-set' },
      { what: 'this is asked for only where the part is renewed: choose that' },
    ],
    ['a target anew', { then: 'same-line' }, { then: expect.stringContaining('on the list already') }],
    [
      'words that name a part of an act for the job',
      { words: 'Look at item {item} twice.' },
      { perLine: expect.stringContaining('tick') },
    ],
    [
      'a number that no condition gives',
      { words: 'It weighs {massKg} kg: two people.', perLine: 'yes' },
      { words: expect.stringContaining('massKg') },
    ],
    [
      'a torque without the threads it is meant for',
      { then: 'torque-note', treatment: 'oiled' },
      { torqueStates: 'choose the threads that the stated torque is given for' },
    ],
    ['a model longer than any name', { models: 'T'.repeat(81) }, { models: expect.stringContaining('80 characters') }],
    ['an age of no hours', { ageHours: '0' }, { ageHours: 'enter whole hours from 1 to 100000' }],
    ['an age in words', { ageYears: 'old' }, { ageYears: 'enter whole years from 1 to 100' }],
    ['a season without end', { seasonFrom: '10' }, { seasonTo: 'choose the last month' }],
    ['a season without beginning', { seasonTo: '3' }, { seasonFrom: 'choose the first month' }],
    ['a rule that is not there', { unless: ['brake-friction-pair', 'nowhere'] }, { unless: expect.any(String) }],
  ]
  test.each(faults)('%s', (_, more, expected) => {
    const { rule, faults: found } = read(more)
    expect(rule).toBeNull()
    expect(found).toEqual(expected)
    for (const sentence of Object.values(found ?? {}))
      expect(sentence).not.toMatch(/Invalid|Too small|Too big|expected|perLine/)
  })
})

describe('what a form decides', () => {
  const book = ruleBook(RULES, [])

  test('of a shipped rule only words, source, strength and quantity: its condition stays', () => {
    const shipped = RULES.find((rule) => rule.id === 'brake-drum-pair')!
    const { decision } = ruleDecided(book, shipped.id, {
      ...ruleFormOf(shipped),
      strength: 'must',
      classes: ['wheel'],
      then: 'act',
    })
    expect(decision).toEqual({ ruleId: shipped.id, state: 'on', content: { strength: 'must' } })
  })

  test('a shipped rule filled in as it is shipped is no change', () => {
    const shipped = RULES.find((rule) => rule.then.what === 'consumable')!
    expect(ruleDecided(book, shipped.id, ruleFormOf(shipped)).decision?.content).toBeNull()
  })

  test('a new rule is one of the workshop', () => {
    expect(ruleDecided(book, DRAFT_ID, form()).decision).toMatchObject({ state: 'on', content: { id: DRAFT_ID } })
  })
})
