'use client'

import type { ComponentProps, ReactNode } from 'react'
import { useFieldState, useFormState } from './form-state.tsx'

interface Labelled {
  name: string
  label: ReactNode
  hint?: ReactNode
  /** Hides the label from sight, not from those who listen; for fields that a table heading names. */
  labelHidden?: boolean
}

/** Attributes that tie a control to its hint and its fault. */
export function fieldTies(id: string, hint: ReactNode, fault: string | undefined) {
  const described = [hint ? `${id}-hint` : '', fault ? `${id}-fault` : ''].filter(Boolean).join(' ')
  return { id, 'aria-describedby': described || undefined, 'aria-invalid': fault ? true : undefined }
}

/** Label, hint, control and fault belong together; every field of every form goes through here. */
export function FieldFrame(props: {
  id: string
  label: ReactNode
  labelHidden?: boolean
  hint?: ReactNode
  fault?: string
  children: ReactNode
}) {
  const { id, label, labelHidden, hint, fault, children } = props
  return (
    <div className="field">
      <label htmlFor={id} className={labelHidden ? 'visually-hidden' : undefined}>
        {label}
      </label>
      {hint ? (
        <p className="hint" id={`${id}-hint`}>
          {hint}
        </p>
      ) : null}
      {children}
      {fault ? (
        <p className="fault" id={`${id}-fault`}>
          {fault}
        </p>
      ) : null}
    </div>
  )
}

const textOf = (typed: string | string[] | undefined) => (Array.isArray(typed) ? typed[0] : typed)

/** One line of text, a number, a date, a file. */
export function Field({
  name,
  label,
  labelHidden,
  hint,
  defaultValue,
  ...input
}: Labelled & Omit<ComponentProps<'input'>, 'id' | 'name'>) {
  const { id, fault, typed } = useFieldState(name)
  const value = input.type === 'file' || input.type === 'password' ? undefined : (textOf(typed) ?? defaultValue)
  return (
    <FieldFrame id={id} label={label} labelHidden={labelHidden} hint={hint} fault={fault}>
      <input {...input} {...fieldTies(id, hint, fault)} name={name} defaultValue={value} />
    </FieldFrame>
  )
}

/** Several lines of text. */
export function TextField({
  name,
  label,
  labelHidden,
  hint,
  defaultValue,
  ...area
}: Labelled & Omit<ComponentProps<'textarea'>, 'id' | 'name'>) {
  const { id, fault, typed } = useFieldState(name)
  return (
    <FieldFrame id={id} label={label} labelHidden={labelHidden} hint={hint} fault={fault}>
      <textarea {...area} {...fieldTies(id, hint, fault)} name={name} defaultValue={textOf(typed) ?? defaultValue} />
    </FieldFrame>
  )
}

/** One of a list; the options are the children. */
export function SelectField({
  name,
  label,
  labelHidden,
  hint,
  defaultValue,
  ...select
}: Labelled & Omit<ComponentProps<'select'>, 'id' | 'name' | 'multiple'>) {
  const { id, fault, typed } = useFieldState(name)
  const value = textOf(typed) ?? defaultValue
  return (
    <FieldFrame id={id} label={label} labelHidden={labelHidden} hint={hint} fault={fault}>
      {/* The key: after an action the browser resets a select to its first option, a new one starts at its default. */}
      <select {...select} key={String(value)} {...fieldTies(id, hint, fault)} name={name} defaultValue={value} />
    </FieldFrame>
  )
}

/** One box to tick, by itself. */
export function Tick({ name, label, ticked = false }: { name: string; label: ReactNode; ticked?: boolean }) {
  const { id, fault, typed } = useFieldState(name)
  const { refused } = useFormState()
  // A box that was left empty is not sent at all: after a refusal, not sent means not ticked.
  const isTicked = refused ? typed !== undefined : ticked
  return (
    <>
      <label className="tick">
        {/* The key: as with a select, a new box starts as it should, whatever the browser resets. */}
        <input
          key={String(isTicked)}
          type="checkbox"
          name={name}
          defaultChecked={isTicked}
          {...fieldTies(id, null, fault)}
        />
        <span>{label}</span>
      </label>
      {fault ? (
        <p className="fault" id={`${id}-fault`}>
          {fault}
        </p>
      ) : null}
    </>
  )
}

/** Boxes to tick, any number of them; sent under one name. */
export function TickGroup(props: {
  name: string
  legend: ReactNode
  options: readonly { value: string; label: ReactNode }[]
  ticked?: readonly string[]
}) {
  const { name, legend, options, ticked } = props
  const { id, fault, typed } = useFieldState(name)
  const { refused } = useFormState()
  const before = typed === undefined ? (refused ? [] : (ticked ?? [])) : [typed].flat()
  return (
    <fieldset className="field" aria-describedby={fault ? `${id}-fault` : undefined}>
      <legend>{legend}</legend>
      {options.map((option) => {
        const isTicked = before.includes(option.value)
        return (
          <label className="tick" key={option.value}>
            {/* The key: as with a select, a new box starts as it should, whatever the browser resets. */}
            <input
              key={String(isTicked)}
              type="checkbox"
              name={name}
              value={option.value}
              defaultChecked={isTicked}
              aria-invalid={fault ? true : undefined}
            />
            <span>{option.label}</span>
          </label>
        )
      })}
      {fault ? (
        <p className="fault" id={`${id}-fault`}>
          {fault}
        </p>
      ) : null}
    </fieldset>
  )
}
