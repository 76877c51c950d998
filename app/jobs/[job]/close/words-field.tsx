'use client'

import { useRef } from 'react'
import { FieldFrame, fieldTies } from '@/app/_server/field.tsx'
import { useFieldState } from '@/app/_server/form-state.tsx'
import { theirsOf, wordsTogether } from '@/lib/job/words.ts'

/**
 * Words of the job that two people may write at once. When somebody else saved other ones, theirs stand under the field and the
 * person chooses: both, theirs, or what was typed here. Nothing is sent before the button under the form is pressed.
 */
export function WordsField({
  name,
  label,
  hint,
  defaultValue,
}: {
  name: string
  label: string
  hint: string
  defaultValue: string
}) {
  const { id, fault, typed } = useFieldState(name)
  const { fault: theirs } = useFieldState(theirsOf(name))
  const area = useRef<HTMLTextAreaElement>(null)
  const mine = typeof typed === 'string' ? typed : defaultValue
  const put = (text: string) => {
    if (!area.current) return
    area.current.value = text
    area.current.focus()
  }
  const choices = theirs
    ? [
        { says: 'Both together', text: wordsTogether(theirs, mine) },
        { says: 'Theirs', text: theirs },
        { says: 'Mine', text: mine },
      ]
    : []
  return (
    <FieldFrame id={id} label={label} hint={hint} fault={fault}>
      <textarea ref={area} {...fieldTies(id, hint, fault)} name={name} defaultValue={mine} />
      {choices.length > 0 ? (
        <span className="row">
          {choices.map(({ says, text }) => (
            <button
              key={says}
              type="button"
              className="button"
              aria-label={`${says}: ${label}`}
              onClick={() => put(text)}
            >
              {says}
            </button>
          ))}
        </span>
      ) : null}
    </FieldFrame>
  )
}
