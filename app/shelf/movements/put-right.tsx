import { MayNot } from '@/app/_parts/may-not.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { MovementLine } from '@/lib/db/movement-line.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { MOVEMENT_KINDS } from '@/lib/stock/movement.ts'
import { putRight } from '../actions.ts'

/** Undoing one movement: what it was, and the reason that the ledger will keep. */
export function PutRight({ movement, mayReverse }: { movement: MovementLine; mayReverse: boolean }) {
  const { id, kind, quantity, unit, number, bin, reversedById, whyNotReversible } = movement
  const back =
    quantity > 0
      ? `takes ${quantityFormat(quantity, unit)} out of ${bin} again`
      : `puts ${quantityFormat(-quantity, unit)} back into ${bin}`
  return (
    <section className="sheet stack" id="right" aria-labelledby="right-head">
      <h2 id="right-head">Put movement {id} right</h2>
      <p>
        {MOVEMENT_KINDS[kind].says}: {quantityFormat(Math.abs(quantity), unit)} of {number}, bin {bin}, by{' '}
        {movement.person}.
      </p>
      {reversedById !== null ? (
        <p className="done" role="status">
          Movement {id} is put right by movement {reversedById}.
        </p>
      ) : whyNotReversible !== null ? (
        <p className="alert">
          It cannot be put right here: {whyNotReversible}.{' '}
          {movement.job ? 'Write a correction in the service book.' : ''}
        </p>
      ) : mayReverse ? (
        <ActionForm
          action={putRight}
          formKey={freshKey()}
          hidden={{ movementId: id }}
          submit="Put right"
          aria-label={`Put movement ${id} right`}
        >
          <p>
            This {back}
            {movement.order ? `, and it is due again on order ${movement.order.number}` : ''}. Both lines stay in the
            ledger.
          </p>
          <Field name="reason" label="What was wrong" maxLength={200} autoComplete="off" />
        </ActionForm>
      ) : (
        <MayNot right="stock.reverse" />
      )}
    </section>
  )
}
