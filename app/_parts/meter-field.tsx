'use client'

import type { ReactNode } from 'react'
import { Field, SelectField } from '@/app/_server/field.tsx'
import { useFormState } from '@/app/_server/form-state.tsx'
import { METER_REASONS } from '@/lib/machine/meter.ts'

/**
 * The hour meter. A reading that cannot follow the last one is refused, and only then it is asked why it may be right: asked
 * each time, people would answer without looking.
 */
export function MeterField(props: {
  label: string
  hint?: ReactNode
  className?: string
  defaultValue?: string | undefined
}) {
  const { refused } = useFormState()
  const asks = refused !== null && (refused.code.startsWith('machine/meter-') || Boolean(refused.values.meterReason))
  return (
    <>
      <Field name="hours" inputMode="decimal" {...props} />
      {asks ? (
        <SelectField name="meterReason" label="If the reading is right, why" defaultValue="">
          <option value="">It was wrong, I corrected it</option>
          {METER_REASONS.map((reason) => (
            <option key={reason}>{reason}</option>
          ))}
        </SelectField>
      ) : null}
    </>
  )
}
