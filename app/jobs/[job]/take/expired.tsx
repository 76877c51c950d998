import { BatchName } from '@/app/_parts/batch-name.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { BatchLine } from '@/lib/db/batch-read.ts'
import { quantityFormat, quantityTypedAs, type StockUnit } from '@/lib/measure/quantity.ts'
import { take } from '../actions.ts'

/** Batches past their date of a line that comes short: never proposed, taken only with a reason. */
export function Expired(props: {
  jobId: number
  needId: number
  /** What the shelf cannot give, minor units. */
  short: number
  unit: StockUnit
  lines: readonly BatchLine[]
  today: string
  mayTake: boolean
}) {
  const { jobId, needId, short, unit, today, mayTake } = props
  return props.lines.map((line) => {
    const shown = quantityTypedAs(Math.min(short, line.quantity), unit)
    return (
      <div key={`${line.id} ${line.binId}`} className="stack tight">
        <p className="small">
          {quantityFormat(line.quantity, unit)} in {line.bin} are not proposed: <BatchName batch={line} today={today} />
        </p>
        {mayTake ? (
          <details>
            <summary className="button quiet">
              Take from it all the same<span className="visually-hidden">, batch {line.code}</span>
            </summary>
            <ActionForm
              action={take}
              formKey={freshKey()}
              hidden={{
                jobId,
                [`take.${needId}.${line.binId}@${line.id}.${shown.unit}`]: shown.value,
              }}
              submit={`Take ${quantityFormat(Math.min(short, line.quantity), unit)}`}
              submitClassName="button"
              aria-label={`Take expired batch ${line.code}`}
            >
              <p className="caution">
                What is past its date may fail: old seals leak, old sealant does not cure, old grease has parted. Ask
                the maker’s sheet or whoever is responsible for the machine first.
              </p>
              <Field name="expiredWhy" label="Why" maxLength={200} autoComplete="off" />
            </ActionForm>
          </details>
        ) : null}
      </div>
    )
  })
}
