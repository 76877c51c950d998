import Link from 'next/link'
import { BatchOutField } from '@/app/_parts/batch-fields.tsx'
import { type BinChoice, BinField } from '@/app/_parts/bin-field.tsx'
import { QuantityField } from '@/app/_parts/quantity-field.tsx'
import { StockState } from '@/app/_parts/stock-state.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { BatchLine } from '@/lib/db/batch-read.ts'
import type { BinPart } from '@/lib/db/shelf.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo, type Role } from '@/lib/people/role.ts'
import { BIN_KINDS, type BinKind } from '@/lib/stock/bin-kind.ts'
import { move, take } from '../../actions.ts'

/** One part of a bin with what can be done about it here: take from it, move it. */
export function PartInBin(props: {
  part: BinPart
  bin: { id: number; kind: BinKind }
  bins: readonly BinChoice[]
  roles: readonly Role[]
  /** Its batches in this bin, the first to expire first. */
  lots: readonly BatchLine[]
}) {
  const { part, bins, roles } = props
  const { id: binId, kind } = props.bin
  const { partId, number, unit, quantity } = part
  const here = { partId, binId }
  const out = { lots: props.lots, unit, today: todayIs(), partId, of: number }
  return (
    <li className="sheet stack" id={`part-${partId}`} data-scan-row={`part-${partId}`}>
      <div className="row spread">
        <h2>
          <Link href={paths.part(partId)} prefetch={false}>
            <span className="number">{number}</span>
          </Link>{' '}
          {part.description}
        </h2>
        <p className="strong">{quantity === 0 ? 'none here' : `${quantityFormat(quantity, unit)} here`}</p>
      </div>
      <p className="soft">
        In all: <StockState stock={part.stock} unit={unit} reorderPoint={part.reorderPoint} />
      </p>
      {kind !== 'on-the-way' ? (
        <p className="row">
          <Link className="button quiet" href={paths.book({ part: partId, bin: binId, as: 'back' })} prefetch={false}>
            Put back<span className="visually-hidden"> {number}</span>
          </Link>
          <Link className="button quiet" href={paths.book({ part: partId, bin: binId, as: 'scrap' })} prefetch={false}>
            Scrap<span className="visually-hidden"> {number}</span>
          </Link>
        </p>
      ) : null}
      {/* An emptied bin keeps the forms, so that their answer stays to be read. */}
      {mayDo(roles, 'stock.issue') && BIN_KINDS[kind].free ? (
        <details>
          <summary className="button quiet">Take {number} without a job</summary>
          <ActionForm
            action={take}
            formKey={freshKey()}
            hidden={here}
            submit="Take from shelf"
            submitClassName="button"
            aria-label={`Take ${number}`}
          >
            <p className="small soft">
              For the yard or a neighbour. What goes into a machine is taken on its job; without one it is{' '}
              <Link href={paths.book({ part: partId, bin: binId })} prefetch={false}>
                taken for a machine, a cost centre or a person
              </Link>
              .
            </p>
            <QuantityField name="quantity" label="Take" unit={unit} />
            <BatchOutField {...out} use />
            <Field name="reason" label="What for" maxLength={200} autoComplete="off" />
          </ActionForm>
        </details>
      ) : null}
      {mayDo(roles, 'stock.transfer') && kind !== 'on-the-way' && bins.length > 0 ? (
        <details>
          <summary className="button quiet">Move {number} to another bin</summary>
          <ActionForm
            action={move}
            formKey={freshKey()}
            hidden={{ partId, fromBinId: binId }}
            submit="Move"
            submitClassName="button"
            aria-label={`Move ${number}`}
          >
            <QuantityField name="quantity" label="Move" unit={unit} value={quantity === 0 ? undefined : quantity} />
            <BatchOutField {...out} use={false} />
            <BinField name="toBinId" label="To bin" bins={bins} />
          </ActionForm>
        </details>
      ) : null}
    </li>
  )
}
