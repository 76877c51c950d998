import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { partSearch } from '../../lib/db/part-search.ts'
import { thesaurusNow, wordsAdd, wordsChange, wordsRemove, workshopWords } from '../../lib/db/search-words.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { WordGroup } from '../../lib/search/schema.ts'
import { SYMPTOM_GROUPS, searchTerms, THESAURUS_GROUPS, thesaurusOf } from '../../lib/search/thesaurus.ts'
import { searchNormal } from '../../lib/search/words.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let person: string
beforeAll(async () => {
  person = await aPerson('Nell Arkwood')
  await aPart({ number: 'LP-1', description: 'Linch pin, 10' })
})

const code = (error: unknown) => (isRefusal(error) ? error.code : String(error))
const found = async (typed: string) => (await partSearch(typed)).map((part) => part.number)

describe('words of the workshop', () => {
  test('count from the moment they are saved, and no longer than they stand there', async () => {
    expect(await found('dolly peg')).toEqual([])
    const { id } = await wordsAdd(asWriter(person), { words: ['Dolly peg', 'linch pin'] })
    expect(await found('dolly peg')).toEqual(['LP-1'])
    expect(await found('DOLLY PEGS')).toEqual(['LP-1'])
    expect(await found('doly peg')).toEqual(['LP-1'])
    await wordsChange(asWriter(person), { groupId: id, words: ['drop peg', 'linch pin'] })
    expect(await found('dolly peg')).toEqual([])
    expect(await found('drop peg')).toEqual(['LP-1'])
    await wordsRemove(asWriter(person), { groupId: id })
    expect(await found('drop peg')).toEqual([])
    expect(await workshopWords()).toEqual([])
  })

  test('a word of the workshop with a slip in it is understood', async () => {
    const { id } = await wordsAdd(asWriter(person), { words: ['whatsit peg', 'linch pin'] })
    expect(await found('whatist peg')).toEqual(['LP-1'])
    await wordsRemove(asWriter(person), { groupId: id })
  })

  test('the same words are entered once, in whatever order and spelling; the same press once', async () => {
    const writer = asWriter(person)
    const { id } = await wordsAdd(writer, { words: ['Peg', 'stub'] })
    expect(await wordsAdd(writer, { words: ['Peg', 'stub'] })).toEqual({ id, words: ['Peg', 'stub'] })
    expect(await wordsAdd(asWriter(person), { words: ['STUB', 'peg'] }).catch(code)).toBe('search/words-twice')
    expect(await wordsChange(asWriter(person), { groupId: id, words: ['stub', 'peg'] })).toEqual({
      id,
      words: ['stub', 'peg'],
    })
    await wordsRemove(asWriter(person), { groupId: id })
    expect(await wordsRemove(asWriter(person), { groupId: id }).catch(code)).toBe('search/words-gone')
    expect(await wordsChange(asWriter(person), { groupId: id, words: ['a', 'b'] }).catch(code)).toBe(
      'search/words-gone',
    )
  })

  test('stand beside the words of the trade, which stay as they are', async () => {
    const { id } = await wordsAdd(asWriter(person), { words: ['split pin', 'fiddly pin'] })
    const thesaurus = await thesaurusNow()
    const others = searchTerms('split pin', thesaurus)[0]!.others
    expect(others).toEqual(expect.arrayContaining(['fiddly pin', 'cotter pin']))
    await wordsRemove(asWriter(person), { groupId: id })
  })
})

describe('a line of words as typed', () => {
  test('is parted at commas and line ends; the same word twice counts once', () => {
    expect(WordGroup.parse(' Dolly  pin,drop pin;\nDROP-PIN, , ')).toEqual(['Dolly pin', 'drop pin'])
  })

  test.each([
    '',
    'one word',
    'pin, PIN',
    ',,,',
    '--, ??',
    `a, ${'b'.repeat(61)}`,
    Array.from({ length: 13 }, (_, at) => `w${at}`).join(),
  ])('"%s" is refused', (typed) => {
    expect(WordGroup.safeParse(typed).success).toBe(false)
  })
})

describe('the list of words of the trade', () => {
  test('has more than a hundred and twenty lines, and symptoms beside them', () => {
    expect(THESAURUS_GROUPS.length).toBeGreaterThan(120)
    expect(SYMPTOM_GROUPS.length).toBeGreaterThan(12)
  })

  test('every two words of one line lead to each other', () => {
    const everything = thesaurusOf([...THESAURUS_GROUPS, ...SYMPTOM_GROUPS])
    for (const group of [...THESAURUS_GROUPS, ...SYMPTOM_GROUPS])
      for (const word of group) {
        const [term, ...more] = searchTerms(`${word} `, everything)
        expect(more, word).toEqual([])
        expect([term!.typed, ...term!.others], word).toEqual(expect.arrayContaining(group.map(searchNormal)))
      }
  })

  test('so do the words of any list that somebody may write', () => {
    const word = fc.string({
      unit: fc.constantFrom('b', 'c', 'd', 'k', 'n', 'o', 'r', 's', ' ', '-'),
      minLength: 1,
      maxLength: 9,
    })
    const list = fc.array(fc.array(word, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 4 })
    fc.assert(
      fc.property(list, (groups) => {
        const thesaurus = thesaurusOf(groups)
        for (const group of groups) {
          const normal = group.map(searchNormal).filter((one) => one !== '')
          for (const one of normal) {
            const terms = searchTerms(one, thesaurus)
            expect(terms).toHaveLength(1)
            expect([terms[0]!.typed, ...terms[0]!.others]).toEqual(expect.arrayContaining(normal))
          }
        }
      }),
      { seed: 95, numRuns: 300 },
    )
  })
})
