import { PartPicker } from '@/app/_parts/part-picker.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { consignmentRead } from '@/lib/db/consignment-read.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { drop, offLine, send } from '../actions.ts'
import { PackFrom } from './pack-from.tsx'

/** Which batches of a line were chosen, or went. */
export function lotsSay({ lots, unit }: Consignment['lines'][number]): string {
  return lots.map((lot) => `, ${quantityFormat(lot.quantity, unit)} of batch ${lot.says}`).join('')
}

type Consignment = Awaited<ReturnType<typeof consignmentRead>>

/** Filling the box: find a part, say how many from which bin; then send all of it at once. */
export function Packing({ consignment, query }: { consignment: Consignment; query: string }) {
  const { id, from, lines } = consignment
  return (
    <>
      <section className="stack tight" aria-labelledby="box">
        <h2 id="box">In the box</h2>
        {lines.length === 0 ? (
          <p className="empty">Nothing yet. Find a part below and say how many go along.</p>
        ) : (
          <ul className="plain-list stack tight">
            {lines.map((line) => (
              <li key={line.id} className="row spread">
                <span>
                  <span className="number strong">{line.number}</span> {line.description}:{' '}
                  {quantityFormat(line.sent, line.unit)} from {line.fromBin}
                  {lotsSay(line)}
                </span>
                <ActionForm
                  action={offLine}
                  formKey={freshKey()}
                  hidden={{ lineId: line.id }}
                  submit="Take out"
                  submitClassName="button quiet"
                  aria-label={`Take ${line.number} out of the box`}
                />
              </li>
            ))}
          </ul>
        )}
        {lines.length > 0 ? (
          <ActionForm
            action={send}
            formKey={freshKey()}
            hidden={{ consignmentId: id }}
            submit={`Send ${counted(lines.length, 'line')}`}
            submitClassName="button primary big"
            aria-label="Send the consignment"
          />
        ) : null}
      </section>
      <section className="stack" aria-labelledby="add">
        <h2 id="add">Put a part in</h2>
        <PartPicker
          query={query}
          action={paths.consignment(id)}
          pick={(part) => <PackFrom part={part} consignmentId={id} storeId={from.id} />}
        />
      </section>
      <ActionForm
        action={drop}
        formKey={freshKey()}
        hidden={{ consignmentId: id }}
        submit="Send nothing after all"
        submitClassName="button quiet"
        aria-label="Give up this consignment"
      />
    </>
  )
}
