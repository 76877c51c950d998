'use client'

import {
  type ComponentProps,
  type FormEvent,
  type KeyboardEvent,
  type ReactNode,
  useActionState,
  useEffect,
  useMemo,
  useRef,
} from 'react'
import type { ServerAction } from './action.ts'
import type { ActionState } from './answer.ts'
import { FormAnswer } from './form-answer.tsx'
import { FormStateContext, useFormState } from './form-state.tsx'
import { KeyField } from './key-field.tsx'

export interface ActionFormProps<A> {
  action: ServerAction<A>
  /** Made on the server with `freshKey()`, for sending without scripts. */
  formKey?: string
  /** Words on the button; left out when the children bring their own `<SubmitButton>`. */
  submit?: ReactNode
  submitClassName?: string
  /** Fields that are sent but not shown. */
  hidden?: Record<string, string | number>
  className?: string
  /** Enter goes on to the next field, as on a paper list, and to the button after the last: the form is sent from there. */
  enterGoesOn?: boolean
  /** Names the form for those who listen; for pages with several. */
  'aria-label'?: string
  children?: ReactNode
}

/** Every form of every screen: sends the key, shows the answer, keeps what was typed, and is sent once however often pressed. */
export function ActionForm<A>(props: ActionFormProps<A>) {
  const [state, send, isPending] = useActionState<ActionState<A>, FormData>(props.action, null)
  const refused = state && !state.ok ? state : null
  const formState = useMemo(() => ({ refused, isPending }), [refused, isPending])
  const sent = useRef<Entered[]>([])
  // The browser's form goes back to how it came once it was sent; what was refused stands as it was entered, ticks too.
  useEffect(() => {
    if (refused) for (const one of sent.current) enterAgain(one)
  }, [refused])
  return (
    <FormStateContext value={formState}>
      <form
        action={send}
        onSubmit={(event: FormEvent<HTMLFormElement>) => {
          if (isPending) event.preventDefault()
          else sent.current = enteredIn(event.currentTarget)
        }}
        onKeyDown={props.enterGoesOn ? enterGoesOn : undefined}
        className={props.className ?? 'stack'}
        aria-label={props['aria-label']}
      >
        <KeyField initial={props.formKey} answered={state?.ok ? state.key : null} />
        {Object.entries(props.hidden ?? {}).map(([name, value]) => (
          <input type="hidden" name={name} value={value} key={name} />
        ))}
        <FormAnswer state={state} />
        {props.children}
        {props.submit === undefined ? null : (
          <SubmitButton className={props.submitClassName}>{props.submit}</SubmitButton>
        )}
      </form>
    </FormStateContext>
  )
}

interface Entered {
  field: HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement
  value: string
  checked: boolean
}

const BESIDES = new Set(['hidden', 'file', 'submit', 'button', 'password'])

function enteredIn(form: HTMLFormElement): Entered[] {
  return [...form.querySelectorAll<Entered['field']>('input, textarea, select')].flatMap((field) =>
    BESIDES.has(field.type)
      ? []
      : [{ field, value: field.value, checked: field instanceof HTMLInputElement && field.checked }],
  )
}

function enterAgain({ field, value, checked }: Entered): void {
  if (field instanceof HTMLInputElement && (field.type === 'checkbox' || field.type === 'radio'))
    field.checked = checked
  else if (field.value !== value) field.value = value
}

function enterGoesOn(event: KeyboardEvent<HTMLFormElement>) {
  if (event.key !== 'Enter' || !(event.target instanceof HTMLInputElement)) return
  event.preventDefault()
  const fields = 'input:not([type="hidden"]):not([type="checkbox"]), button[type="submit"]'
  // What is folded away is not on the way down the list.
  const stops = [...event.currentTarget.querySelectorAll<HTMLElement>(fields)].filter((stop) => stop.checkVisibility())
  const next = stops[stops.indexOf(event.target) + 1]
  next?.focus()
  if (next instanceof HTMLInputElement) next.select()
}

/** The button of a form: says when it is at work, and keeps the focus meanwhile. */
export function SubmitButton({ children, className, ...button }: Omit<ComponentProps<'button'>, 'type'>) {
  const { isPending } = useFormState()
  return (
    <button {...button} type="submit" className={className ?? 'button primary'} aria-disabled={isPending || undefined}>
      {children}
      {isPending ? <span aria-hidden="true"> …</span> : null}
      {isPending ? <span className="visually-hidden">, being sent</span> : null}
    </button>
  )
}
