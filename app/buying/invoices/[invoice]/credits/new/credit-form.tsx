import { unitSays } from '@/app/_parts/quantity-field.tsx'
import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import styles from '@/app/buying/buying.module.css'
import { enterCredit } from '@/app/buying/credits/actions.ts'
import type { CreditExpected } from '@/lib/db/credit-read.ts'
import { CREDIT_REASONS, creditReason } from '@/lib/invoice/credit.ts'
import { taxSays } from '@/lib/invoice/tax.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { CreditReckoned } from './credit-reckoned.tsx'

const whole = (minor: number) => (minor / 100).toFixed(2)

/** The credit note of an invoice, filled with what is open but for its number, day and total: those are read off the paper. */
export function CreditForm({ expected, also }: { expected: CreditExpected; also: readonly number[] }) {
  const { invoiceId, currency, owed, lines, totals } = expected
  const amount = (name: string, label: string, value: number | null, hint?: string) => (
    <Field
      name={name}
      label={`${label}, ${currency}`}
      hint={hint}
      inputMode="decimal"
      className="input-number"
      autoComplete="off"
      defaultValue={value === null ? undefined : whole(value)}
    />
  )
  return (
    <ActionForm
      action={enterCredit}
      formKey={freshKey()}
      hidden={{ invoiceId, also: also.join(' ') }}
      aria-label="Credit note"
      className="stack"
    >
      <div className={styles.receive}>
        <Field name="number" label="Number of the credit note" maxLength={60} autoComplete="off" />
        <Field name="day" type="date" label="Dated" />
      </div>
      {owed.length === 0 ? null : (
        <>
          <Owed expected={expected} />
          <div className={styles.receive}>
            <SelectField name="how" label="The credit note gives" defaultValue="lines">
              <option value="lines">an amount for each</option>
              <option value="sum">one sum for all</option>
            </SelectField>
            {amount(
              'sum',
              'One sum, without tax',
              null,
              'Taken for the differences from the top. Else leave it empty.',
            )}
          </div>
        </>
      )}
      {lines.length === 0 ? null : <SentBack expected={expected} isOpen={owed.length === 0} />}
      <div className={styles.receive}>
        {amount('tax', `Tax at ${taxSays(totals.taxThousandths)}`, totals.taxMinor)}
        {amount('total', 'Total of the credit note', null)}
      </div>
      <CreditReckoned owed={owed} lines={lines} currency={currency} totals={totals} />
      <div className="row">
        <SubmitButton>Keep the credit note</SubmitButton>
      </div>
    </ActionForm>
  )
}

/** The differences of which something is open, each with the amount that the credit note gives for it. */
function Owed({ expected: { owed, currency, invoices } }: { expected: CreditExpected }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Differences that are to be credited</caption>
      <thead>
        <tr>
          <th scope="col">Reason</th>
          <th scope="col">Difference</th>
          <th scope="col">Open</th>
          <th scope="col" className="right">
            Credited, {currency}
          </th>
        </tr>
      </thead>
      <tbody>
        {owed.map((one) => (
          <tr key={one.id}>
            <td className="strong">{CREDIT_REASONS[creditReason(one.kind)]}</td>
            <td className={`wide ${styles.why}`}>
              {one.says}
              {one.state === 'open' ? <div className="small">not disputed yet: it is by a credit note</div> : null}
              {invoices.length === 1 ? null : <div className="small">invoice {one.invoice}</div>}
            </td>
            <td className="wide" data-label="Open">
              {moneyFormat(one.openMinor, currency)} of {moneyFormat(one.owedMinor, currency)}
            </td>
            <td className={`right ${styles.quantity}`} data-label={`Credited, ${currency}`}>
              <Field
                name={`credit.${one.id}`}
                label={`Credited for ${one.says}, ${currency}`}
                labelHidden
                inputMode="decimal"
                className="input-number"
                autoComplete="off"
                defaultValue={whole(one.openMinor)}
              />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** Goods of the invoice that went back to the supplier: no difference of it, so nothing is expected. */
function SentBack({ expected: { lines, currency, number }, isOpen }: { expected: CreditExpected; isOpen: boolean }) {
  return (
    <details open={isOpen}>
      <summary className="button quiet">Goods were sent back</summary>
      <div className="stack tight">
        <p className="soft small">
          Beside each part how many of them went back, and what the credit note gives for them without tax. It books
          nothing off the shelf: scrap them at their part, with that reason.
        </p>
        <table className="parts fold">
          <caption className="visually-hidden">Goods of invoice {number} that were sent back</caption>
          <thead>
            <tr>
              <th scope="col">Part number</th>
              <th scope="col">Description</th>
              <th scope="col">At most</th>
              <th scope="col" className="right">
                Sent back
              </th>
              <th scope="col" className="right">
                Credited, {currency}
              </th>
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <tr key={line.lineId}>
                <td className="number">{line.number}</td>
                <td className={`wide ${styles.why}`}>{line.description}</td>
                <td className="wide" data-label="At most">
                  {quantityFormat(line.left, line.unit)}, {moneyFormat(line.invoiced.priceMinor, currency)}{' '}
                  {line.unit === 'each' ? 'each' : `a ${line.unit}`}
                </td>
                <td className={`right ${styles.quantity}`} data-label="Sent back">
                  <Field
                    name={`back.${line.lineId}.${line.unit}`}
                    label={`How many of ${line.number} were sent back, ${unitSays(line.unit)}`}
                    labelHidden
                    inputMode={line.unit === 'each' ? 'numeric' : 'decimal'}
                    className="input-number"
                    autoComplete="off"
                  />
                </td>
                <td className={`right ${styles.quantity}`} data-label={`Credited, ${currency}`}>
                  <Field
                    name={`backFor.${line.lineId}`}
                    label={`Credited for ${line.number} sent back, ${currency}`}
                    labelHidden
                    inputMode="decimal"
                    className="input-number"
                    autoComplete="off"
                  />
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  )
}
