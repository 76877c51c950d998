'use client'

import { type KeyboardEvent, useActionState, useEffect, useMemo, useRef, useState } from 'react'
import { When } from '@/app/_parts/when.tsx'
import type { ServerAction } from '@/app/_server/action.ts'
import type { ActionState } from '@/app/_server/answer.ts'
import { Field, FieldFrame, fieldTies, SelectField } from '@/app/_server/field.tsx'
import { SubmitButton } from '@/app/_server/form.tsx'
import { FormAnswer } from '@/app/_server/form-answer.tsx'
import { FormStateContext } from '@/app/_server/form-state.tsx'
import { KeyField } from '@/app/_server/key-field.tsx'
import type { CountedLine, MovedSays, SheetBin, SheetLine } from '@/lib/db/count-sheet.ts'
import type { CountState } from '@/lib/stock/count.ts'
import { COUNT_REASON_CODES, COUNT_REASONS } from '@/lib/stock/count-reasons.ts'
import styles from './count.module.css'

const UNITS = { each: 'pieces', litre: 'litres', kilogram: 'kilograms', metre: 'metres' } as const
const SAYS: Partial<Record<CountedLine['state'], string>> = {
  right: '✓ right',
  booked: '✓ put right',
  waiting: '▲ waits for approval',
}
const ASKS: Partial<Record<CountState, string>> = {
  recount: 'Count again',
  reason: 'Counted, differs: count again and say why',
  'sent-back': 'Sent back: count again',
}
/** Nothing more is to be done here by whoever counts. */
const isDone = ({ state }: CountedLine) => SAYS[state] !== undefined
/** The count as typed still stands, so it belongs to the moment at which its bin was opened. */
const STILL_STANDS: readonly CountedLine['state'][] = ['moved', 'reason', 'refused']

interface Shown {
  /** What the last save says of the line. */
  last: CountedLine | undefined
  of: (field: string) => string
}

/** One sheet for a bin or a walk through a store: what was counted, line by line, and one button for all of it. */
export function CountSheet(props: {
  bins: readonly SheetBin[]
  /** Number of the last movement when the sheet was made. */
  asOf: number
  /** The lines stay as they were first shown: what is counted is due no more, and may be asked for again all the same. */
  stays: boolean
  save: ServerAction<CountedLine[]>
  formKey: string
}) {
  const [first] = useState(props.bins)
  const bins = props.stays ? first : props.bins
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
      const value = refused ? refused.values[name] : last && !isDone(last) ? sent.current?.get(name) : ''
      return typeof value === 'string' ? value : ''
    }
    return { last, of }
  }

  // Only of a list that was empty when it came: once the last due line is counted, what came of it is still to be seen.
  if (bins.length === 0) return <p className="empty">Nothing is due here.</p>
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
        {bins.map((bin) => (
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
                <Line key={line.partId} bin={bin} line={line} asOf={props.asOf} shown={shown(bin.id, line.partId)} />
              ))}
            </ul>
          </section>
        ))}
        <fieldset className="stack tight">
          <legend>Why, for every line that differs (may be left empty)</legend>
          <SelectField
            name="reason"
            label="Reason"
            hint="Left empty, each line that differs is asked for its own."
            defaultValue=""
          >
            <Reasons none="Ask on each line" />
          </SelectField>
          <Field name="words" label="In words" type="text" maxLength={200} autoComplete="off" />
        </fieldset>
        <div className="main-action">
          <SubmitButton className="button primary big">Save the counts</SubmitButton>
        </div>
      </form>
    </FormStateContext>
  )
}

function Reasons({ none }: { none: string }) {
  return (
    <>
      <option value="">{none}</option>
      {COUNT_REASON_CODES.map((code) => (
        <option key={code} value={code}>
          {COUNT_REASONS[code]}
        </option>
      ))}
    </>
  )
}

function Line({ bin, line, asOf, shown }: { bin: SheetBin; line: SheetLine; asOf: number; shown: Shown }) {
  const { last, of } = shown
  const at = `${bin.id}.${line.partId}`
  const fault = last && !isDone(last) ? last.says : undefined
  const asksReason = last?.state === 'reason' || last?.state === 'recount'
  // What is counted again is asked blind: the first figure would lead the eye.
  const typed = last?.state === 'recount' ? '' : of('counted')
  const stands = last !== undefined && STILL_STANDS.includes(last.state)
  const opened = stands ? of('asOf') : String(asOf)
  const done = last && isDone(last) ? SAYS[last.state] : undefined
  const asked = last ? undefined : line.asks && ASKS[line.asks]
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
        {done ? <span className={styles.booked}>{done}</span> : null}
        {asked ? <span className={styles.booked}>▲ {asked}</span> : null}
      </p>
      <input type="hidden" name={`asOf.${at}`} value={opened} />
      <input type="hidden" name={`unit.${at}`} value={line.unit} />
      <div className={styles.fields}>
        <FieldFrame id={id} label={label} fault={fault}>
          {/* The key: after a save the field starts at what was counted, or empty. */}
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
        {last?.state === 'moved' || (stands && of('cut') !== '') ? (
          <Cut id={`${id}-cut`} name={`cut.${at}`} opened={opened} moved={last?.moved ?? []} kept={of('cut')} />
        ) : null}
        {asksReason ? (
          <>
            <FieldFrame id={`${id}-why`} label="Why it differs">
              <select id={`${id}-why`} name={`reason.${at}`} defaultValue={of('reason')} key={of('reason')}>
                <Reasons none="Choose" />
              </select>
            </FieldFrame>
            <FieldFrame id={`${id}-words`} label="In words">
              <input
                id={`${id}-words`}
                type="text"
                name={`words.${at}`}
                maxLength={200}
                autoComplete="off"
                enterKeyHint="next"
                defaultValue={of('words')}
              />
            </FieldFrame>
          </>
        ) : null}
      </div>
    </li>
  )
}

/** What moved in the bin since it was opened, and up to where it had happened when they counted. */
function Cut(props: { id: string; name: string; opened: string; moved: readonly MovedSays[]; kept: string }) {
  const { id, name, opened, moved, kept } = props
  // Answered before: the answer goes along with the count that it belongs to.
  if (moved.length === 0) return <input type="hidden" name={name} value={kept} />
  return (
    <div className="stack tight">
      <ol className="plain-list" aria-label="Moved since the bin was opened">
        {moved.map((one) => (
          <li key={one.id}>
            <When at={one.at} time />: {one.says}
          </li>
        ))}
      </ol>
      <FieldFrame id={id} label="When did you count?">
        <select id={id} name={name} defaultValue={kept} key={kept} required>
          <option value="">Choose</option>
          <option value={opened}>Before {moved.length === 1 ? 'that' : 'all of that'}</option>
          {moved.map((one) => (
            <option key={one.id} value={one.id}>
              After: {one.says}
            </option>
          ))}
        </select>
      </FieldFrame>
    </div>
  )
}
