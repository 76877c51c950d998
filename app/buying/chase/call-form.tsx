import { Field, TickGroup } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { ChaseRow } from '@/lib/db/order-chase.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { noteCall } from './actions.ts'

/** What was said on the telephone, and the new day for the lines it goes for. */
export function CallForm({ row }: { row: ChaseRow }) {
  const { orderId, number, lines } = row
  const named = <span className="visually-hidden">, order {number}</span>
  return (
    <details>
      <summary className="button">Note a call{named}</summary>
      <ActionForm
        key={row.calls.length}
        action={noteCall}
        formKey={freshKey()}
        hidden={lines.length === 1 ? { orderId, line: lines[0]!.id } : { orderId }}
        submit="Keep the call"
        submitClassName="button primary"
        aria-label={`Call about order ${number}`}
      >
        <Field name="words" label={<>With whom, and what was said{named}</>} maxLength={400} autoComplete="off" />
        <Field
          name="promisedOn"
          type="date"
          label={<>New day{named}</>}
          hint="Leave it empty if none was named: the order stays on this list."
        />
        {lines.length === 1 ? null : (
          <TickGroup
            name="line"
            legend="The new day is for"
            options={lines.map((line) => ({
              value: String(line.id),
              label: `${quantityFormat(line.due, line.unit)} of ${line.number} ${line.description}`,
            }))}
            ticked={lines.map((line) => String(line.id))}
          />
        )}
      </ActionForm>
    </details>
  )
}
