'use client'

import { useRef, useState } from 'react'
import { FieldFrame, fieldTies } from '@/app/_server/field.tsx'
import { useFieldState } from '@/app/_server/form-state.tsx'
import type { Choice } from './choice.ts'

/** Several of a long list: chosen ones stand as buttons that take them off again. */
export function Chips(props: {
  name: string
  label: string
  hint?: string
  choices: readonly Choice[]
  initial: readonly string[]
  onEdited: () => void
}) {
  const { name, label, hint, choices, initial, onEdited } = props
  const { id, fault } = useFieldState(name)
  const [chosen, setChosen] = useState<readonly string[]>(initial)
  const select = useRef<HTMLSelectElement>(null)
  const set = (next: readonly string[]) => {
    setChosen(next)
    onEdited()
  }
  const says = (value: string) => choices.find((choice) => choice.value === value)?.says ?? value
  return (
    <FieldFrame id={id} label={label} hint={hint} fault={fault}>
      {chosen.length > 0 ? (
        <ul className="plain-list row" aria-label={`Chosen: ${label}`}>
          {chosen.map((value) => (
            <li key={value}>
              <input type="hidden" name={`${name}[]`} value={value} />
              <button
                type="button"
                className="button"
                aria-label={`Take off: ${says(value)}`}
                onClick={() => {
                  set(chosen.filter((one) => one !== value))
                  select.current?.focus()
                }}
              >
                {says(value)} <span aria-hidden="true">✕</span>
              </button>
            </li>
          ))}
        </ul>
      ) : null}
      <div className="row">
        <select ref={select} {...fieldTies(id, hint, fault)} defaultValue="">
          <option value="">any</option>
          {choices.map((choice) => (
            <option key={choice.value} value={choice.value}>
              {choice.says}
            </option>
          ))}
        </select>
        <button
          type="button"
          className="button"
          aria-label={`Add: ${label}`}
          onClick={() => {
            const value = select.current?.value ?? ''
            if (value !== '' && !chosen.includes(value)) set([...chosen, value])
            if (select.current) select.current.value = ''
          }}
        >
          Add
        </button>
      </div>
    </FieldFrame>
  )
}
