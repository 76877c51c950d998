import { z } from 'zod'
import { searchNormal } from './words.ts'

export const WORDS_IN_GROUP_MAX = 12
export const WORD_LENGTH_MAX = 60

const GroupId = z.coerce.number({ error: 'choose a line of the list' }).int().positive()

/**
 * Words that name one thing, separated by commas or line ends. Kept as typed, with single spaces; the same word in another
 * spelling counts once. Example: "Dolly pin, drop pin" is ["Dolly pin", "drop pin"].
 */
export const WordGroup = z
  .string({ error: 'enter at least two words for one thing, with a comma between them' })
  .max(2_000, 'that is more than anybody calls one thing; enter at most twelve words')
  .transform((text) => {
    const seen = new Set<string>()
    return text
      .split(/[,;\n\r]+/)
      .map((word) =>
        word
          .normalize('NFC')
          .replace(/\p{C}+/gu, ' ')
          .trim()
          .replace(/\s+/gu, ' '),
      )
      .filter((word) => {
        const normal = searchNormal(word)
        return normal !== '' && !seen.has(normal) && Boolean(seen.add(normal))
      })
  })
  .pipe(
    z
      .array(z.string().max(WORD_LENGTH_MAX, `a word has at most ${WORD_LENGTH_MAX} characters`))
      .min(2, 'enter at least two words for one thing, with a comma between them')
      .max(WORDS_IN_GROUP_MAX, `enter at most ${WORDS_IN_GROUP_MAX} words for one thing`),
  )

export const WordsAddInput = z.object({ words: WordGroup })
export type WordsAddInput = z.infer<typeof WordsAddInput>

export const WordsChangeInput = z.object({ groupId: GroupId, words: WordGroup })
export type WordsChangeInput = z.infer<typeof WordsChangeInput>

export const WordsRemoveInput = z.object({ groupId: GroupId })
export type WordsRemoveInput = z.infer<typeof WordsRemoveInput>

/** Under which a group is unique: its words folded, in the order of the alphabet. */
export function wordGroupKey(words: readonly string[]): string {
  return words.map(searchNormal).sort().join('|')
}
