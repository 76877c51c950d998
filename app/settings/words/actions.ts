'use server'

import { action } from '@/app/_server/action.ts'
import { wordsAdd, wordsChange, wordsRemove } from '@/lib/db/search-words.ts'
import { WordsAddInput, WordsChangeInput, WordsRemoveInput } from '@/lib/search/schema.ts'

export const addWords = action({
  right: 'search.words',
  schema: WordsAddInput,
  run: wordsAdd,
  then: ({ words }) => ({ says: `From now on each of these finds the others: ${words.join(', ')}.` }),
})

export const changeWords = action({
  right: 'search.words',
  schema: WordsChangeInput,
  run: wordsChange,
  then: ({ words }) => ({ says: `From now on each of these finds the others: ${words.join(', ')}.` }),
})

export const removeWords = action({
  right: 'search.words',
  schema: WordsRemoveInput,
  run: wordsRemove,
  then: () => ({ says: 'The line is taken off.' }),
})
