import { Refusal } from '../refusal.ts'
import type { WordsAddInput, WordsChangeInput, WordsRemoveInput } from '../search/schema.ts'
import { wordGroupKey } from '../search/schema.ts'
import { SYMPTOM_GROUPS, THESAURUS, THESAURUS_GROUPS, type Thesaurus, thesaurusOf } from '../search/thesaurus.ts'
import { database, type Tx } from './client.ts'
import { type WriteContext, write } from './transaction.ts'

export interface WordsOfWorkshop {
  id: number
  words: string[]
}

const wordsRead = (text: string) => JSON.parse(text) as string[]

/** The groups that this workshop added, newest last. */
export async function workshopWords(): Promise<WordsOfWorkshop[]> {
  const rows = await database().workshopWords.findMany({ orderBy: { id: 'asc' } })
  return rows.map(({ id, words }) => ({ id, words: wordsRead(words) }))
}

// The last thesaurus that was made, kept while the words of the workshop stay the same: making one costs more than a search.
let made: { of: string; thesaurus: Thesaurus } = { of: '', thesaurus: THESAURUS }

/**
 * The words of the trade and of this workshop together. Read at every search, so that a word counts from the moment it was
 * saved, whichever process saved it.
 */
export async function thesaurusNow(): Promise<Thesaurus> {
  const rows = await database().$queryRaw<{ words: string }[]>`SELECT "words" FROM "WorkshopWords" ORDER BY "id"`
  const of = rows.map(({ words }) => words).join('\n')
  if (made.of !== of)
    made = {
      of,
      thesaurus: thesaurusOf([...THESAURUS_GROUPS, ...rows.map(({ words }) => wordsRead(words))], SYMPTOM_GROUPS),
    }
  return made.thesaurus
}

async function refuseTwice(tx: Tx, key: string, words: readonly string[], but?: number): Promise<void> {
  const same = await tx.workshopWords.findUnique({ where: { key }, select: { id: true } })
  if (same && same.id !== but)
    throw new Refusal(
      'search/words-twice',
      { words: words.join(', ') },
      { fields: { words: 'these stand on the list' } },
    )
}

export function wordsAdd(context: WriteContext, input: WordsAddInput): Promise<WordsOfWorkshop> {
  return write(context, 'search.words-add', input, async (tx) => {
    const { words } = input
    const key = wordGroupKey(words)
    await refuseTwice(tx, key, words)
    const { id } = await tx.workshopWords.create({
      data: { words: JSON.stringify(words), key, setAt: context.now, setById: context.personId },
    })
    return { id, words }
  })
}

export function wordsChange(context: WriteContext, input: WordsChangeInput): Promise<WordsOfWorkshop> {
  return write(context, 'search.words-change', input, async (tx) => {
    const { groupId: id, words } = input
    const key = wordGroupKey(words)
    await refuseTwice(tx, key, words, id)
    const { count } = await tx.workshopWords.updateMany({
      where: { id },
      data: { words: JSON.stringify(words), key, setAt: context.now, setById: context.personId },
    })
    if (count === 0) throw new Refusal('search/words-gone')
    return { id, words }
  })
}

export function wordsRemove(context: WriteContext, input: WordsRemoveInput): Promise<null> {
  return write(context, 'search.words-remove', input, async (tx) => {
    const { count } = await tx.workshopWords.deleteMany({ where: { id: input.groupId } })
    if (count === 0) throw new Refusal('search/words-gone')
    return null
  })
}
