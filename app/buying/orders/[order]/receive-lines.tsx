import { type BinChoice, BinField } from '@/app/_parts/bin-field.tsx'
import { unitSays } from '@/app/_parts/quantity-field.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { receiveOrder } from '@/app/buying/actions.ts'
import styles from '@/app/buying/buying.module.css'
import { quantityFormat, quantityInput } from '@/lib/measure/quantity.ts'
import type { OrderView } from './order-read.ts'

/** The lines still due, each with what came and where it goes; set to begin with as if all of it had come. */
export function ReceiveLines(props: { orderId: number; lines: OrderView['lines']; bins: readonly BinChoice[] }) {
  const { orderId, lines, bins } = props
  return (
    <ActionForm action={receiveOrder} formKey={freshKey()} hidden={{ orderId }} aria-label="Receive what came">
      <p className="soft">
        Count what came and compare it with the delivery note. Put 0 where a line is not in the box.
      </p>
      <ul className="plain-list">
        {lines.map((line) => (
          // The amount due is in the key: after a part delivery the field begins at what is left.
          <li key={`${line.id} ${line.due}`} className={styles.receive}>
            <p>
              <span className="number strong">{line.number}</span> {line.description}
              <br />
              <span className="soft small">
                {quantityFormat(line.due, line.unit)} due
                {line.received > 0 ? `, ${quantityFormat(line.received, line.unit)} received` : ''}
                {line.supplierNumber ? `; on the note perhaps as ${line.supplierNumber}` : ''}
              </span>
            </p>
            <Field
              name={`receive.${line.id}.${line.unit}`}
              label={
                <>
                  Came<span className="visually-hidden"> of {line.number}</span>, {unitSays(line.unit)}
                </>
              }
              inputMode={line.unit === 'each' ? 'numeric' : 'decimal'}
              autoComplete="off"
              className="input-number"
              defaultValue={quantityInput(line.due, line.unit)}
            />
            <BinField
              name={`bin.${line.id}`}
              label={
                <>
                  Into bin<span className="visually-hidden">, {line.number}</span>
                </>
              }
              bins={bins}
              binId={line.binId ?? undefined}
            />
          </li>
        ))}
      </ul>
      <div className="main-action">
        <SubmitButton className="button primary big">Put on shelf</SubmitButton>
      </div>
    </ActionForm>
  )
}
