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
          <Credited one={one} currency={currency} />
          {one.reason === null || one.decidedAt === null ? null : (
            <p className="small">
              <When at={one.decidedAt} />, {one.person}: {one.reason}
            </p>
          )}
          {!mayDecide || one.state === 'gone' || one.state === 'credited' ? null : one.state === 'open' ? (
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

/** What credit notes gave back for it, and what is still open. */
function Credited({ one, currency }: { one: Difference; currency: string }) {
  const money = (minor: number) => moneyFormat(minor, currency)
  return (
    <>
      {one.state === 'disputed' && one.openMinor > 0 ? (
        <p>
          Waits for a credit note: open {money(one.openMinor)} of {money(one.owedMinor)}, without tax.
        </p>
      ) : one.creditedMinor > 0 ? (
        <p>{money(one.creditedMinor)} credited, without tax.</p>
      ) : null}
      {one.beyondMinor > 0 ? (
        <p className="strong">
          <span aria-hidden="true">▲ </span>
          {money(one.beyondMinor)} of it{' '}
          {one.creditedMinor > one.beyondMinor ? 'is' : 'was right to be credited then and is'} no difference any more.
          The supplier may charge it again: look for it on the next invoice.
        </p>
      ) : null}
    </>
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
