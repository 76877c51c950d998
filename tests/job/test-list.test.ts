import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { measuredAnew, type TestMeasure } from '../../lib/job/measurement.ts'
import {
  type TestDraft,
  testDraftRow,
  testsAlike,
  testsHistory,
  testsTogether,
  testsTurned,
} from '../../lib/job/test-draft.ts'
import {
  TestListInput,
  type TestRow,
  TestRowInput,
  testRowOf,
  testsChangeSays,
  testsKept,
  testsOfRows,
} from '../../lib/job/test-list.ts'

const row = (text: string, more: Partial<TestRow> = {}): TestRow => ({
  text,
  what: '',
  unit: '',
  least: '',
  most: '',
  eachSide: false,
  stage: 'release',
  ...more,
})
const lining = row('Lining measured.', { what: 'Lining thickness', unit: 'mm', least: '4', eachSide: true })

function faultsOf(rows: TestRow[]): Record<string, string> {
  const read = TestListInput.safeParse({ figureId: '3', version: '0', tests: JSON.stringify(rows) })
  return read.success ? {} : Object.fromEntries(read.error.issues.map((one) => [one.path.join('.'), one.message]))
}

describe('limits that cannot be are refused with what to type instead', () => {
  test.each([
    [{ unit: '' }, { 'tests.0.unit': 'give the unit: mm, bar, N m' }],
    [{ what: '' }, { 'tests.0.what': 'say what is measured: lining thickness' }],
    [{ least: '' }, { 'tests.0.least': 'give the lowest value, the highest, or both' }],
    [{ least: '4 mm' }, { 'tests.0.least': '“4 mm” is no number: type it alone, such as 4.2' }],
    [{ most: '3,9' }, { 'tests.0.most': 'below the lowest (4): nothing could pass; change one of them' }],
    [{ least: '200000' }, { 'tests.0.least': 'at most 100000: choose a larger unit' }],
    [{ text: 'ok' }, { 'tests.0.text': 'say what is tested, in a few words' }],
  ])('%j', (change, faults) => {
    expect(faultsOf([{ ...lining, ...change }])).toEqual(faults)
  })

  test('a range of one value, a limit below nothing and no limit on one side are none of these', () => {
    expect(faultsOf([{ ...lining, most: '4' }])).toEqual({})
    expect(faultsOf([{ ...lining, least: '-3', most: '0,5' }])).toEqual({})
    expect(faultsOf([{ ...lining, least: '', most: '22' }])).toEqual({})
  })

  test('the same words twice are one test: the second is pointed at, and a list has an end', () => {
    expect(faultsOf([row('Turns freely.'), row(' turns  FREELY. ')])).toEqual({
      'tests.1.text': 'stands in the list twice: change the words, or take one out',
    })
    expect(faultsOf(Array.from({ length: 41 }, (_, at) => row(`Test number ${at}`)))).toEqual({
      tests: 'a list has 40 tests at most',
    })
    expect(TestListInput.safeParse({ figureId: '3', version: '0', tests: '[{' }).error?.issues[0]?.message).toBe(
      'the list did not arrive whole: send it again',
    )
  })
})

describe('a tick belongs to the words it was set for', () => {
  const before = testsKept([
    'Turns freely.',
    { text: 'Lining measured.', measure: { what: 'Lining', unit: 'mm', least: 4 } },
  ])
  const known = new Map(before.map((one) => [one.key, one.text]))
  const parsed = (rows: TestRow[]) => rows.map((one) => TestRowInput.parse(one))

  test('moved and with other limits a test is the same; with other words it is another, and keys are never given twice', () => {
    const [turns, measured] = before.map(testRowOf)
    const moved = testsOfRows(parsed([{ ...measured!, least: '5' }, turns!]), known)
    expect(moved.map((one) => one.key)).toEqual([1, 0])
    expect(moved[0]!.measure).toEqual({ what: 'Lining', unit: 'mm', least: 5 })
    const other = testsOfRows(parsed([{ ...turns!, text: 'Turns freely, no play.' }, measured!]), known)
    expect(other.map((one) => one.key)).toEqual([2, 1])
    // Given up and taken up again it is the same test.
    const again = testsOfRows(parsed([row('turns  freely.')]), new Map([...known, [7, 'Other words.']]))
    expect(again.map((one) => one.key)).toEqual([0])
  })

  test('whatever is sent, each test has a key of its own, and none that stood for other words', () => {
    const words = ['aaa', 'bbb', 'ccc', 'ddd']
    const history = fc.uniqueArray(fc.tuple(fc.integer({ min: 0, max: 6 }), fc.constantFrom(...words, 'eee')), {
      selector: ([, text]) => text,
    })
    fc.assert(
      fc.property(fc.shuffledSubarray(words), history, (sent, past) => {
        const names = new Map(past)
        const kept = testsOfRows(parsed(sent.map((text) => row(text))), names)
        expect(kept.map((one) => one.text)).toEqual(sent)
        expect(new Set(kept.map((one) => one.key)).size).toBe(kept.length)
        for (const { key, text } of kept) expect(names.get(key) ?? text).toBe(text)
      }),
      { seed: 94 },
    )
  })

  test('what changed is told in words', () => {
    const [turns, measured] = before
    expect(testsChangeSays(before, before)).toBe('')
    expect(testsChangeSays(before, [measured!, turns!])).toBe('')
    const after = [
      { ...measured!, measure: { what: 'Lining', unit: 'mm', least: 5 } },
      { ...turns!, key: 9, text: 'No play.' },
    ]
    expect(testsChangeSays(before, after)).toBe(
      'new: “No play.”; changed: “Lining measured.”; taken out: “Turns freely.”',
    )
  })
})

describe('a value that was measured when the limits were others', () => {
  const before: TestMeasure = { what: 'Lining thickness', unit: 'mm', least: 4 }
  const check = { state: 'done', measured: 4.5, note: null }
  test.each([
    ['the same limits', before, check],
    ['lower limits', { ...before, least: 3 }, check],
    ['higher limits', { ...before, least: 5 }, { ...check, state: 'open' }],
    ['another unit', { ...before, unit: 'in' }, { state: 'open', measured: null, note: null }],
    ['another thing', { ...before, what: 'Drum depth' }, { state: 'open', measured: null, note: null }],
    ['no measurement any more', null, check],
  ])('%s', (_, now, after) => {
    expect(measuredAnew(check, before, now)).toEqual(after)
  })

  test('let go with a reason, or outside before, it is judged anew; set aside it stays so', () => {
    const letGo = { state: 'done', measured: 3, note: 'driver knows' }
    expect(measuredAnew(letGo, before, { ...before, least: 3.5 })).toEqual({ state: 'open', measured: 3, note: null })
    expect(measuredAnew({ ...letGo, state: 'open', note: null }, before, { ...before, least: 2 }).state).toBe('done')
    const aside = { state: 'not-applicable', measured: null, note: 'no brake' }
    expect(measuredAnew(aside, null, before)).toEqual(aside)
    // A tick says nothing of a value.
    expect(measuredAnew({ state: 'done', measured: null, note: null }, null, before).state).toBe('open')
  })
})

describe('the list while it is written', () => {
  const draft = (id: string, text: string): TestDraft => ({ ...row(text), id, measures: false })
  const rows = [draft('a', 'first'), draft('b', 'second')]
  const texts = (list: readonly TestDraft[]) => list.map((one) => one.text)

  test('tests move by one place and not over the ends', () => {
    expect(texts(testsTurned(rows, { do: 'later', id: 'a' }))).toEqual(['second', 'first'])
    expect(texts(testsTurned(rows, { do: 'earlier', id: 'a' }))).toEqual(['first', 'second'])
    expect(texts(testsTurned(rows, { do: 'later', id: 'b' }))).toEqual(['first', 'second'])
    expect(texts(testsTurned(rows, { do: 'drop', id: 'a' }))).toEqual(['second'])
    expect(texts(testsTurned(rows, { do: 'add', id: 'c' }))).toEqual(['first', 'second', ''])
    expect(texts(rows)).toEqual(['first', 'second'])
  })

  test('fields for a value that were closed again are not sent', () => {
    const typed = { ...draft('a', 'first'), what: 'Play', unit: 'mm', most: '2' }
    expect(testDraftRow({ ...typed, measures: true }).what).toBe('Play')
    expect(testDraftRow(typed)).toEqual(row('first'))
  })

  test('0,15 is 0.15 and a space more is nothing: the list is as it is in the book', () => {
    const kept = [row('first', { what: 'Play', unit: 'mm', most: '0.15' })]
    expect(testsAlike([row(' first', { what: 'Play ', unit: 'mm', most: '0,15' })], kept)).toBe(true)
    expect(testsAlike([row('first', { what: 'Play', unit: 'mm', most: '0.16' })], kept)).toBe(false)
    expect(testsAlike([row('first', { what: 'Play', unit: 'mm', least: '0.15' })], kept)).toBe(false)
  })

  test('two lists together are theirs, and what stands in mine alone', () => {
    expect(texts(testsTogether([draft('x', 'Second '), draft('y', 'third')], rows))).toEqual([
      'Second ',
      'third',
      'first',
    ])
  })
})

describe('a list of tests that is being written', () => {
  const draft = (id: string, text: string): TestDraft => ({ ...row(text), id, measures: false })
  const mine = [draft('a', 'Wheel turns freely.'), draft('b', 'No drips.')]

  test('is there again when another list was opened over it, with what was typed before', () => {
    const typed = testsHistory({ rows: mine, past: [] }, { do: 'set', id: 'b', change: { text: 'No drips at 5 bar.' } })
    const opened = testsHistory(typed, { do: 'put', rows: [draft('c', 'Guard in place.')] })
    expect(opened.rows.map(({ text }) => text)).toEqual(['Guard in place.'])
    expect(testsHistory(opened, { do: 'undo' })).toEqual(typed)
  })

  test('goes back step by step to where it began, and no further', () => {
    const steps = [
      { do: 'add', id: 'd' },
      { do: 'drop', id: 'a' },
      { do: 'later', id: 'b' },
    ] as const
    const done = steps.reduce(testsHistory, { rows: mine, past: [] as TestDraft[][] })
    expect(done.rows.map(({ id }) => id)).toEqual(['d', 'b'])
    const back = [1, 2, 3, 4].reduce((history) => testsHistory(history, { do: 'undo' }), done)
    expect(back).toEqual({ rows: mine, past: [] })
  })
})
