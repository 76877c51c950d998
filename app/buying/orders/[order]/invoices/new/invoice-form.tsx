import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import styles from '@/app/buying/buying.module.css'
import { enterInvoice } from '@/app/buying/invoices/actions.ts'
import { LineQuantity, PartNumber } from '@/app/buying/line-cells.tsx'
import type { InvoiceExpected } from '@/lib/db/invoice-read.ts'
import { taxInput } from '@/lib/invoice/tax.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { Reckoned } from './reckoned.tsx'

const whole = (minor: number) => (minor / 100).toFixed(2)

/** The invoice of an order, filled with what is expected but for its number, day and total: those are read off the paper. */
export function InvoiceForm({ expected }: { expected: InvoiceExpected }) {
  const { orderId, currency, lines, totals, hasDeposits, orders } = expected
  const isOfSeveral = orders.length > 1
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
    <ActionForm action={enterInvoice} formKey={freshKey()} hidden={{ orderId }} aria-label="Invoice" className="stack">
      <div className={styles.receive}>
        <Field name="number" label="Number of the invoice" maxLength={60} autoComplete="off" />
        <Field name="day" type="date" label="Dated" />
      </div>
      <table className="parts fold">
        <caption className="visually-hidden">Lines of the invoice</caption>
        <thead>
          <tr>
            <th scope="col">Part number</th>
            <th scope="col">Description</th>
            <th scope="col">Came</th>
            <th scope="col" className="right">
              Invoiced
            </th>
            <th scope="col" className="right">
              Price, {currency}
            </th>
          </tr>
        </thead>
        {orders.map((order) => (
          <tbody key={order.id}>
            {isOfSeveral ? (
              <tr>
                <th colSpan={5} scope="rowgroup" className="wide">
                  Order {order.number}
                </th>
              </tr>
            ) : null}
            {lines.map((line) =>
              line.order === order.number ? (
                <Line key={line.lineId} line={line} currency={currency} isOfSeveral={isOfSeveral} />
              ) : null,
            )}
          </tbody>
        ))}
      </table>
      <p className="soft small">
        The lines begin at what came, at the price on the delivery note where one was noted, else at the agreed one.
        Change what the invoice says otherwise: it is kept as a difference to accept or dispute. A line at 0 is not on
        this invoice. Prices are without tax.
      </p>
      <div className={styles.receive}>
        {amount('carriage', 'Carriage', totals.carriageMinor)}
        {hasDeposits ? amount('deposits', 'Deposits on exchange parts', totals.depositsMinor) : null}
        <Field
          name="rate"
          label="Tax rate, per cent"
          inputMode="decimal"
          className="input-number"
          autoComplete="off"
          defaultValue={taxInput(totals.taxThousandths ?? 0)}
        />
        {amount('tax', 'Tax', totals.taxMinor)}
        {amount('total', 'Total of the invoice', null)}
      </div>
      <Reckoned lines={lines} currency={currency} totals={totals} />
      <div className="row">
        <SubmitButton>Keep the invoice</SubmitButton>
      </div>
    </ActionForm>
  )
}

type LineExpected = InvoiceExpected['lines'][number]

function Line({ line, currency, isOfSeveral }: { line: LineExpected; currency: string; isOfSeveral: boolean }) {
  const each = line.unit === 'each' ? ' each' : ` a ${line.unit}`
  const of = isOfSeveral ? `${line.number}, order ${line.order}` : line.number
  return (
    <tr>
      <td>
        <PartNumber line={{ ...line, supplierNumber: null }} />
      </td>
      <td className={`wide ${styles.why}`}>{line.description}</td>
      <td className="wide" data-label="Came">
        {cameSays(line)}
      </td>
      <td className={`right ${styles.quantity}`} data-label="Invoiced">
        <LineQuantity
          line={{ ...line, number: of, partId: line.lineId, quantity: line.expected }}
          says="How many are invoiced of"
        />
      </td>
      <td className={`right ${styles.quantity}`} data-label="Price">
        <Field
          name={`price.${line.lineId}`}
          label={`Price invoiced of ${of}, ${currency}${each}`}
          labelHidden
          inputMode="decimal"
          className="input-number"
          autoComplete="off"
          defaultValue={whole(line.invoiced.priceMinor)}
        />
        <span className="soft small">
          agreed {moneyFormat(line.priceMinor, currency)}
          {line.unit === 'each' ? null : ` a ${line.unit}`}
          {line.notedMinor === null ? null : `, ${moneyFormat(line.notedMinor, currency)} on the delivery note`}
        </span>
      </td>
    </tr>
  )
}

function cameSays({ came, before, damaged, unit }: LineExpected): string {
  const show = (quantity: number) => quantityFormat(quantity, unit)
  return [
    came === 0 ? 'nothing yet' : show(came),
    ...(damaged > 0 ? [`${show(damaged)} of it damaged`] : []),
    ...(before > 0 ? [`${show(before)} invoiced already`] : []),
  ].join(', ')
}
