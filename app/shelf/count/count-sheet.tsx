'use client'

import { type KeyboardEvent, useActionState, useEffect, useMemo, useRef } from 'react'
import type { ServerAction } from '@/app/_server/action.ts'
import type { ActionState } from '@/app/_server/answer.ts'
import { Field, FieldFrame, fieldTies } from '@/app/_server/field.tsx'
import { SubmitButton } from '@/app/_server/form.tsx'
import { FormAnswer } from '@/app/_server/form-answer.tsx'
import { FormStateContext } from '@/app/_server/form-state.tsx'
import { KeyField } from '@/app/_server/key-field.tsx'
import type { CountedLine, SheetBin, SheetLine } from '@/lib/db/count-sheet.ts'
import styles from './count.module.css'

const UNITS = { each: 'pieces', litre: 'litres', kilogram: 'kilograms', metre: 'metres' } as const
const SAYS = { right: '✓ right', 'put-right': '✓ put right' } as const

interface Shown {
  /** What the last save says of the line. */
  last: CountedLine | undefined
  typed: string
  reason: string
}

/** One sheet for a bin or a walk through a store: what was counted, line by line, and one button for all of it. */
export function CountSheet(props: { bins: readonly SheetBin[]; save: ServerAction<CountedLine[]>; formKey: string }) {
  /** What was typed, for the lines that come back. */
  const sent = useRef<FormData | null>(null)
  const [state, send, isPending] = useActionState<ActionState<CountedLine[]>, FormData>(props.save, null)
  const refused = state && !state.ok ? state : null
  const formState = useMemo(() => ({ refused, isPending }), [refused, isPending])
  const form = useRef<HTMLFormElement>(null)
  const lines = state?.ok ? state.answer : []

  useEffect(() => {
    // The first line that was not booked is the next to be counted.
    if (state?.ok) form.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus()
  }, [state])

  /** Enter goes on to the next line, as on paper; the button is pressed once, at the end. */
  function onKeyDown(event: KeyboardEvent<HTMLFormElement>) {
    if (event.key !== 'Enter' || !(event.target instanceof HTMLInputElement)) return
    event.preventDefault()
    const stops = [...event.currentTarget.querySelectorAll<HTMLElement>('input[type="text"], button[type="submit"]')]
    stops[stops.indexOf(event.target) + 1]?.focus()
  }

  function shown(binId: number, partId: number): Shown {
    const last = lines.find((line) => line.binId === binId && line.partId === partId)
    const of = (field: string) => {
      const name = `${field}.${binId}.${partId}`
      const value = refused ? refused.values[name] : last?.state === 'refused' ? sent.current?.get(name) : ''
      return typeof value === 'string' ? value : ''
    }
    return { last, typed: of('counted'), reason: of('reason') }
  }

  return (
    <FormStateContext value={formState}>
      <form
        ref={form}
        action={send}
        onKeyDown={onKeyDown}
        onSubmit={(event) => {
          if (isPending) event.preventDefault()
          else sent.current = new FormData(event.currentTarget)
        }}
        className="stack loose"
        aria-label="Count sheet"
      >
        <KeyField initial={props.formKey} answered={state?.ok ? state.key : null} />
        <FormAnswer state={state} />
        {props.bins.map((bin) => (
          <section
            key={bin.id}
            className="stack tight"
            aria-labelledby={`bin-${bin.id}`}
            data-scan-row={`bin-${bin.id}`}
          >
            <h2 id={`bin-${bin.id}`}>
              Bin <span className="number">{bin.code}</span>
            </h2>
            <ul className={`plain-list ${styles.lines}`}>
              {bin.lines.map((line) => (
                <Line key={line.partId} bin={bin} line={line} shown={shown(bin.id, line.partId)} />
              ))}
            </ul>
          </section>
        ))}
        <Field
          name="reason"
          label="Why, for every line that differs (may be left empty)"
          hint="Left empty, each line that differs is asked for a second count and its own reason."
          type="text"
          maxLength={200}
          autoComplete="off"
        />
        <div className="main-action">
          <SubmitButton className="button primary big">Save the counts</SubmitButton>
        </div>
      </form>
    </FormStateContext>
  )
}

function Line({ bin, line, shown }: { bin: SheetBin; line: SheetLine; shown: Shown }) {
  const { last, typed, reason } = shown
  const at = `${bin.id}.${line.partId}`
  const fault = last?.state === 'refused' ? last.says : undefined
  const asksReason = last?.code === 'stock/no-reason'
  const id = `count-${at}`
  const label = (
    <>
      {UNITS[line.unit]}
      <span className="visually-hidden">
        {' '}
        of {line.number} counted in bin {bin.code}
      </span>
    </>
  )
  return (
    <li className={styles.line} data-scan-row={`part-${line.partId}`}>
      <p>
        <span className="number strong">{line.number}</span> {line.description}
        {last && last.state !== 'refused' ? <span className={styles.booked}>{SAYS[last.state]}</span> : null}
      </p>
      <input type="hidden" name={`expected.${at}`} value={line.expected} />
      <input type="hidden" name={`unit.${at}`} value={line.unit} />
      <div className={styles.fields}>
        <FieldFrame id={id} label={label} fault={fault}>
          {/* The key: after a save the field starts at what is to be counted again, or empty. */}
          <input
            key={`${last?.state} ${typed}`}
            {...fieldTies(id, null, fault)}
            type="text"
            name={`counted.${at}`}
            className="input-number"
            inputMode={line.unit === 'each' ? 'numeric' : 'decimal'}
            enterKeyHint="next"
            autoComplete="off"
            defaultValue={typed}
          />
        </FieldFrame>
        {asksReason ? (
          <FieldFrame id={`${id}-why`} label="Why it differs">
            <input
              id={`${id}-why`}
              type="text"
              name={`reason.${at}`}
              maxLength={200}
              autoComplete="off"
              enterKeyHint="next"
              defaultValue={reason}
            />
          </FieldFrame>
        ) : null}
      </div>
    </li>
  )
}
