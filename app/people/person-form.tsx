'use client'

import { type FormEvent, startTransition, useActionState, useEffect, useId, useMemo } from 'react'
import { type UseFormRegisterReturn, useForm } from 'react-hook-form'
import type { ServerAction } from '@/app/_server/action.ts'
import type { ActionState } from '@/app/_server/answer.ts'
import { FieldFrame, fieldTies } from '@/app/_server/field.tsx'
import { SubmitButton } from '@/app/_server/form.tsx'
import { FormAnswer } from '@/app/_server/form-answer.tsx'
import { FormStateContext } from '@/app/_server/form-state.tsx'
import { KeyField } from '@/app/_server/key-field.tsx'
import { FirstManagerInput, PersonCreateInput, SignInInput } from '@/lib/people/schema.ts'
import { schemaResolver } from './resolver.ts'
import { ROLE_OPTIONS } from './role-options.tsx'

/** The forms that ask for a name and a secret; checked while typing with the schema that the action uses. */
const KINDS = {
  'sign-in': { schema: SignInInput, secretFor: 'current-password', asksAgain: false, asksRoles: false },
  'first-manager': { schema: FirstManagerInput, secretFor: 'new-password', asksAgain: true, asksRoles: false },
  create: { schema: PersonCreateInput, secretFor: 'new-password', asksAgain: false, asksRoles: true },
} as const

interface PersonFields {
  name: string
  secret: string
  secretAgain: string
  roles: string[]
}

const NEW_SECRET_HINT = 'A PIN of 4 to 12 digits, or a password of at least 8 characters.'

export interface PersonFormProps<A> {
  kind: keyof typeof KINDS
  action: ServerAction<A>
  formKey: string
  submit: string
  /** Chosen before; then it is not asked for. */
  name?: string
  /** Where to go after signing in. */
  next?: string
  /** A number pad for a PIN, the full keyboard for a password. */
  keyboard?: 'numeric' | 'text'
}

export function PersonForm<A>({ kind, action, formKey, submit, name, next, keyboard = 'numeric' }: PersonFormProps<A>) {
  const { schema, secretFor, asksAgain, asksRoles } = KINDS[kind]
  const [state, send, isPending] = useActionState<ActionState<A>, FormData>(action, null)
  const { register, handleSubmit, reset, resetField, formState } = useForm<PersonFields>({
    resolver: useMemo(() => schemaResolver<PersonFields>(schema), [schema]),
  })
  const refused = state && !state.ok ? state : null
  const faultOf = (field: keyof PersonFields) => formState.errors[field]?.message ?? refused?.fields[field]
  const context = useMemo(() => ({ refused, isPending }), [refused, isPending])

  useEffect(() => {
    if (state?.ok) reset()
    // A wrong PIN is typed afresh, not corrected blind.
    else if (state) resetField('secret', { defaultValue: '' })
  }, [state, reset, resetField])

  function onSubmit(event: FormEvent<HTMLFormElement>) {
    // Without scripts this does not run, and the form goes to the action as it is.
    event.preventDefault()
    if (isPending) return
    const form = new FormData(event.currentTarget)
    void handleSubmit(() => startTransition(() => send(form)))(event)
  }

  const typedName = refused?.values.name
  return (
    <FormStateContext value={context}>
      <form className="stack" action={send} onSubmit={onSubmit} noValidate>
        <KeyField initial={formKey} answered={state?.ok ? state.key : null} />
        {next ? <input type="hidden" name="next" value={next} /> : null}
        <FormAnswer state={state} />
        {name === undefined ? (
          <TypedField
            label="Name"
            field={register('name')}
            fault={faultOf('name')}
            defaultValue={typeof typedName === 'string' ? typedName : undefined}
            autoComplete={kind === 'create' ? 'off' : 'username'}
          />
        ) : (
          <input type="hidden" defaultValue={name} autoComplete="username" {...register('name')} />
        )}
        <TypedField
          label={kind === 'sign-in' && keyboard === 'numeric' ? 'PIN' : 'PIN or password'}
          hint={kind === 'sign-in' ? undefined : NEW_SECRET_HINT}
          field={register('secret')}
          fault={faultOf('secret')}
          type="password"
          inputMode={keyboard}
          autoComplete={secretFor}
        />
        {asksAgain ? (
          <TypedField
            label="The same a second time"
            field={register('secretAgain')}
            fault={faultOf('secretAgain')}
            type="password"
            inputMode={keyboard}
            autoComplete={secretFor}
          />
        ) : null}
        {asksRoles ? <RoleTicks field={register('roles')} fault={faultOf('roles')} /> : null}
        <SubmitButton className="button primary big">{submit}</SubmitButton>
      </form>
    </FormStateContext>
  )
}

function TypedField(props: {
  label: string
  hint?: string
  field: UseFormRegisterReturn
  fault: string | undefined
  type?: 'text' | 'password'
  inputMode?: 'numeric' | 'text'
  autoComplete: string
  defaultValue?: string
}) {
  const { label, hint, field, fault, type = 'text', ...input } = props
  const id = useId()
  return (
    <FieldFrame id={id} label={label} hint={hint} fault={fault}>
      <input {...input} type={type} {...fieldTies(id, hint, fault)} {...field} />
    </FieldFrame>
  )
}

function RoleTicks({ field, fault }: { field: UseFormRegisterReturn; fault: string | undefined }) {
  const id = useId()
  return (
    <fieldset className="field" aria-describedby={fault ? `${id}-fault` : undefined}>
      <legend>Roles</legend>
      {ROLE_OPTIONS.map(({ value, label }) => (
        <label className="tick" key={value}>
          <input type="checkbox" value={value} aria-invalid={fault ? true : undefined} {...field} />
          <span>{label}</span>
        </label>
      ))}
      {fault ? (
        <p className="fault" id={`${id}-fault`}>
          {fault}
        </p>
      ) : null}
    </fieldset>
  )
}
