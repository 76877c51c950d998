'use client'

import { type ReactNode, useState } from 'react'
import { FieldFrame, fieldTies } from '@/app/_server/field.tsx'
import { useFieldState } from '@/app/_server/form-state.tsx'
import styles from './quantity-stepper.module.css'

/**
 * A quantity with one less and one more beside it, for gloves. What is typed stays as it is typed; a button counts on from it.
 * Without scripts the field alone does the work.
 */
export function QuantityStepper(props: {
  name: string
  label: string
  /** As it stands in the field to begin with. */
  value: string
  /** What one press changes, in the unit of the field. */
  step?: number
  /** The unit, where it is not pieces. */
  sign?: ReactNode
}) {
  const { name, label, value, step = 1, sign } = props
  const { id, fault, typed } = useFieldState(name)
  const before = typeof typed === 'string' ? typed : value
  const [text, setText] = useState(before)
  const count = (by: number) => {
    const now = Number(text.replace(',', '.').replace(/[^\d.]/g, ''))
    const next = Math.max(0, (Number.isFinite(now) ? now : 0) + by)
    setText(String(Math.round(next * 1000) / 1000))
  }
  return (
    <FieldFrame id={id} label={label} labelHidden fault={fault}>
      <span className={styles.stepper}>
        <button type="button" aria-label={`Less: ${label}`} onClick={() => count(-step)}>
          <span aria-hidden="true">−</span>
        </button>
        <input
          {...fieldTies(id, undefined, fault)}
          name={name}
          value={text}
          inputMode="decimal"
          autoComplete="off"
          onChange={(event) => setText(event.target.value)}
        />
        {sign ? <span className={styles.sign}>{sign}</span> : null}
        <button type="button" aria-label={`More: ${label}`} onClick={() => count(step)}>
          <span aria-hidden="true">+</span>
        </button>
      </span>
    </FieldFrame>
  )
}
