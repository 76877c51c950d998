'use client'

import { useEffect, useRef } from 'react'
import type { ActionState } from './answer.ts'

/** What the last answer says: a refusal with what to do next, or that it is done. Takes the focus to where it is needed. */
export function FormAnswer({ state }: { state: ActionState<unknown> }) {
  const alert = useRef<HTMLDivElement>(null)
  useEffect(() => {
    if (!state || state.ok) return
    const wrong = alert.current?.closest('form')?.querySelector<HTMLElement>('[aria-invalid="true"]')
    const to = wrong ?? alert.current
    to?.focus()
  }, [state])

  if (!state) return null
  if (state.ok) {
    return state.says ? (
      <p className="done" role="status">
        {state.says}
      </p>
    ) : null
  }
  return (
    <div className="alert" role="alert" tabIndex={-1} ref={alert}>
      <p className="strong">{state.happened}</p>
      <p>{state.next}</p>
      {state.code === 'people/not-signed-in' ? (
        <p>
          <a href="/sign-in" target="_blank" rel="noopener">
            Sign in on a new page
          </a>
          ; what you entered stays here.
        </p>
      ) : null}
      {state.faults.length > 0 ? (
        <ul>
          {state.faults.map((fault) => (
            <li key={fault}>{fault}</li>
          ))}
        </ul>
      ) : null}
    </div>
  )
}
