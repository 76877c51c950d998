'use client'

import { Tick } from '@/app/_server/field.tsx'
import { useFieldState } from '@/app/_server/form-state.tsx'

/** Asked only of who is about to put something expired on a shelf. */
export function ExpiredKept({ name }: { name: string }) {
  const { fault, typed } = useFieldState(name)
  return fault === undefined && typed === undefined ? null : (
    <Tick name={name} label="Its date is past: keep it on the shelf all the same" />
  )
}
