'use client'

import { useFieldState } from '@/app/_server/form-state.tsx'

/**
 * Which saving of the words the form holds. After a refusal that showed somebody else's words it is the newer one: the person
 * has both texts in sight now, and what is sent next is meant.
 */
export function WordsVersion({ version }: { version: number }) {
  const { fault } = useFieldState('wordsVersion')
  return (
    <input type="hidden" name="wordsVersion" value={fault !== undefined && /^\d+$/.test(fault) ? fault : version} />
  )
}
