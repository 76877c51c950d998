import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { search } from '../../lib/db/search.ts'
import { searchFilterRead } from '../../lib/db/search-filter.ts'
import { questionRead } from '../../lib/search/question.ts'
import { useWorkshop } from '../support/database.ts'
import { searchWorkshop } from './workshop.ts'

useWorkshop()
beforeAll(async () => {
  await searchWorkshop()
})

const TAKES = { parts: 5, figures: 2, machines: 2, jobs: 2 }
/** Operators and signs of the index and of the database, in and out of words. */
const piece = fc.oneof(
  fc.constantFrom(
    'AND',
    'OR',
    'NOT',
    'NEAR(',
    '"',
    "'",
    '*',
    '^',
    ':',
    '(',
    ')',
    '{',
    '}',
    '-',
    '+',
    '\\',
    '%',
    ';',
    '--',
  ),
  fc.constantFrom('\0', '\uffff', '\ud800', '\u202e', '🔩', '½', 'ß', '٣', '×', '\n', 'description :', 'part_words'),
  fc.constantFrom('split', 'pin', 'brake', '5 x 40', 'AB-12', 'binds'),
  fc.string({ unit: 'binary', maxLength: 6 }),
)

describe('whatever is typed', () => {
  test('search answers and does not break', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(piece, { maxLength: 10 }), fc.constantFrom('', ' '), async (pieces, between) => {
        const answer = await search(pieces.join(between), TAKES)
        expect(answer.parts.length).toBeLessThanOrEqual(TAKES.parts)
      }),
      { seed: 91, numRuns: 150 },
    )
  })

  test('so does what narrows it', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(piece, { maxLength: 5 }), async (pieces) => {
        const text = pieces.join(' ')
        const { filter } = await searchFilterRead({ machine: text, partClass: text, onShelf: true })
        await search('pin', TAKES, filter)
      }),
      { seed: 92, numRuns: 40 },
    )
  })

  test.each([
    ['five thousand letters', 'x'.repeat(5_000)],
    ['five thousand words', 'pin '.repeat(5_000)],
    ['five thousand quotes', '"'.repeat(5_000)],
    ['five thousand bolts', '🔩'.repeat(5_000)],
    ['five thousand zeros', '0'.repeat(5_000)],
    ['nothing', ''],
    ['spaces', '   '],
    ['a zero byte', 'split\0pin'],
  ])('%s is a question like any other', async (_, typed) => {
    await search(typed, TAKES)
  })

  test('a zero byte parts words as a space does', async () => {
    expect((await search('split\0pin', TAKES)).parts[0]?.number).toBe('SP-540')
  })

  test('taking a question apart answers plain words for every text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (text) => {
        const question = questionRead(text)
        expect(question.terms.length).toBeLessThanOrEqual(12)
        expect(question.terms.every(({ typed }) => typed !== '' && typed.isWellFormed())).toBe(true)
      }),
      { seed: 93 },
    )
  })
})
