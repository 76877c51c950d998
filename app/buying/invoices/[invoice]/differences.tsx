import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { InvoiceView } from '@/lib/db/invoice-read.ts'
import { DIFFERENCE_STATES } from '@/lib/invoice/invoice.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { decideDifference } from '../actions.ts'

type Difference = InvoiceView['differences'][number]

/** What the invoice says otherwise, each to be accepted with a reason or disputed. */
export function Differences({ invoice, mayDecide }: { invoice: InvoiceView; mayDecide: boolean }) {
  const { differences, currency } = invoice
  if (differences.length === 0) return <p>None: it is as ordered, and all of it came.</p>
  return (
    <ul className="plain-list stack">
      {differences.map((one) => (
        <li className="sheet stack tight" key={one.id}>
          <p className="strong">{one.says}</p>
          <p>
            <State one={one} />
            {one.amountMinor === 0
              ? null
              : `, ${moneyFormat(Math.abs(one.amountMinor), currency)} ${one.amountMinor > 0 ? 'more' : 'less'} than expected`}
          </p>
          {one.reason === null || one.decidedAt === null ? null : (
            <p className="small">
              <When at={one.decidedAt} />, {one.person}: {one.reason}
            </p>
          )}
          {!mayDecide || one.state === 'gone' ? null : one.state === 'open' ? (
            <Decide one={one} />
          ) : (
            <details>
              <summary className="button quiet">
                Decide otherwise<span className="visually-hidden">: {one.says}</span>
              </summary>
              <Decide one={one} />
            </details>
          )}
        </li>
      ))}
    </ul>
  )
}

function State({ one }: { one: Difference }) {
  const { shape, says } = DIFFERENCE_STATES[one.state]
  return (
    <span className="stock-state">
      <span className="shape" aria-hidden="true">
        {shape}
      </span>
      <span>{says}</span>
    </span>
  )
}

function Decide({ one }: { one: Difference }) {
  const about = <span className="visually-hidden">, {one.says}</span>
  return (
    <ActionForm
      key={one.state}
      action={decideDifference}
      formKey={freshKey()}
      hidden={{ differenceId: one.id, seen: one.state }}
      aria-label={`Decide: ${one.says}`}
    >
      <Field name="reason" label={<>Why, or what the supplier was told{about}</>} maxLength={300} autoComplete="off" />
      <div className="row">
        <SubmitButton className="button" name="as" value="accepted">
          Accept it{about}
        </SubmitButton>
        <SubmitButton className="button" name="as" value="disputed">
          Dispute it{about}
        </SubmitButton>
      </div>
    </ActionForm>
  )
}
