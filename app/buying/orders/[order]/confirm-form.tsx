import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { confirmOrder } from '@/app/buying/actions.ts'
import { dateSays } from '@/lib/measure/date.ts'
import type { OrderView } from './order-read.ts'

/** What the supplier confirmed: one day for all lines, another beside a line where it comes another day. */
export function ConfirmForm({ order }: { order: OrderView }) {
  const due = order.lines.filter((line) => line.due > 0)
  return (
    <details className="no-print">
      <summary className="button">{order.isConfirmed ? 'Confirmed again' : 'Confirmed by the supplier'}</summary>
      <ActionForm
        action={confirmOrder}
        formKey={freshKey()}
        hidden={{ orderId: order.id }}
        submit="Keep the confirmation"
        submitClassName="button"
        aria-label="Confirmation of the supplier"
      >
        {due.map((line) => (
          <input key={line.id} type="hidden" name="due" value={line.id} />
        ))}
        <Field
          name="all"
          type="date"
          label="All lines come on"
          hint="Leave it empty if only single lines are confirmed."
        />
        <Field
          name="reference"
          label="Order number of the supplier (may be left empty)"
          maxLength={60}
          autoComplete="off"
          defaultValue={order.supplierReference ?? ''}
        />
        {due.length > 1 ? (
          <fieldset className="stack">
            <legend>Lines that come another day</legend>
            {due.map((line) => (
              <Field
                key={line.id}
                name={`day.${line.id}`}
                type="date"
                label={`${line.number} ${line.description}`}
                hint={line.confirmedOn === null ? undefined : `confirmed for ${dateSays(line.confirmedOn)}`}
              />
            ))}
          </fieldset>
        ) : null}
      </ActionForm>
    </details>
  )
}
