'use client'

import { useState } from 'react'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { quantityInput } from '@/lib/measure/quantity.ts'
import type { BuyPart } from '@/lib/winter/buy-list.ts'
import { setQuantity } from '../../actions.ts'

/** Another quantity than the proposed one; the form comes when it is asked for, since a list has hundreds of lines. */
export function ByHand({ planId, part, quantity }: { planId: number; part: BuyPart; quantity: number }) {
  const [isOpen, setOpen] = useState(false)
  const hidden = { planId, partId: part.partId, unit: part.unit }
  if (!isOpen)
    return (
      <button type="button" className="button quiet no-print" onClick={() => setOpen(true)}>
        Change<span className="visually-hidden"> {part.number}</span>
      </button>
    )
  return (
    <div className="row end no-print">
      <ActionForm action={setQuantity} hidden={hidden} className="row end" aria-label={`Quantity of ${part.number}`}>
        <Field
          name="quantity"
          label={`Quantity, ${part.unit}`}
          inputMode="decimal"
          autoComplete="off"
          className="input-number"
          defaultValue={quantityInput(quantity, part.unit)}
        />
        <SubmitButton className="button">Keep</SubmitButton>
      </ActionForm>
      {part.byHand === null ? null : (
        <ActionForm
          action={setQuantity}
          hidden={{ ...hidden, quantity: '' }}
          submit="As proposed"
          submitClassName="button"
          className=""
        />
      )}
    </div>
  )
}
