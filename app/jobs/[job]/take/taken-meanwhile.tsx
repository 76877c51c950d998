'use client'

import { useFormState } from '@/app/_server/form-state.tsx'

/** The way on when somebody else took from the same list: the list as it is now, with what is still to be taken. */
export function TakenMeanwhile({ list }: { list: string }) {
  const { refused } = useFormState()
  if (refused?.code !== 'job/taken-meanwhile') return null
  return (
    <p>
      {/* Loaded anew as a whole: the quantities in this form belong to a list that is no longer so. */}
      <a className="button" href={list}>
        Show the list as it is now
      </a>
    </p>
  )
}
