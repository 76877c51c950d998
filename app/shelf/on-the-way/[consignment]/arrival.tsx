import { type BinChoice, BinField } from '@/app/_parts/bin-field.tsx'
import { QuantityField } from '@/app/_parts/quantity-field.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { consignmentRead } from '@/lib/db/consignment-read.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { PUT_AWAY_WHY } from '@/lib/stock/put-away.ts'
import { arrive, lost } from '../actions.ts'

type Consignment = Awaited<ReturnType<typeof consignmentRead>>

/** What arrived and where it goes; set to begin with as if all of it had come. What did not can be said to be lost. */
export function Arrival(props: { consignment: Consignment; bins: readonly BinChoice[]; mayWriteOff: boolean }) {
  const { consignment, bins, mayWriteOff } = props
  const open = consignment.lines.filter((line) => line.open > 0)
  return (
    <>
      <section className="stack" aria-labelledby="arrived">
        <h2 id="arrived">Arrived</h2>
        <ActionForm
          action={arrive}
          formKey={freshKey()}
          hidden={{ consignmentId: consignment.id }}
          enterGoesOn
          aria-label="What arrived"
        >
          <p className="soft">Count what came. Put 0 where a line is not in the box; it stays on the way.</p>
          <ul className="plain-list stack">
            {open.map((line) => (
              // What is on the way is in the key: after a short arrival the field begins at what is left.
              <li key={`${line.id} ${line.open}`} className="row end">
                <p>
                  <span className="number strong">{line.number}</span> {line.description}
                  <br />
                  <span className="soft small">{quantityFormat(line.open, line.unit)} on the way</span>
                </p>
                <QuantityField
                  name={`came.${line.id}`}
                  label={
                    <>
                      Came<span className="visually-hidden"> of {line.number}</span>
                    </>
                  }
                  unit={line.unit}
                  value={line.open}
                />
                <BinField
                  name={`bin.${line.id}`}
                  label={
                    <>
                      Into bin<span className="visually-hidden">, {line.number}</span>
                    </>
                  }
                  bins={bins}
                  now={line.into.map(({ binId, why }) => ({ binId, says: PUT_AWAY_WHY[why] }))}
                  nowSays="Proposed"
                />
              </li>
            ))}
          </ul>
          <div className="main-action">
            <SubmitButton className="button primary big">Put away</SubmitButton>
          </div>
        </ActionForm>
      </section>
      {mayWriteOff ? (
        <details>
          <summary className="button quiet">Something will not arrive</summary>
          <ul className="plain-list stack">
            {open.map((line) => (
              // As above: once some of it came, what can be lost is what is left.
              <li key={`${line.id} ${line.open}`}>
                <ActionForm
                  action={lost}
                  formKey={freshKey()}
                  hidden={{ lineId: line.id }}
                  submit="Book out as lost"
                  submitClassName="button"
                  aria-label={`${line.number} is lost`}
                >
                  <p>
                    <span className="number strong">{line.number}</span> {line.description},{' '}
                    {quantityFormat(line.open, line.unit)} on the way
                  </p>
                  <QuantityField name="quantity" label="Lost" unit={line.unit} value={line.open} />
                  <Field name="reason" label="What became of it" maxLength={200} autoComplete="off" />
                </ActionForm>
              </li>
            ))}
          </ul>
        </details>
      ) : null}
    </>
  )
}
