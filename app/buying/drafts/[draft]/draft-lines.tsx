import { Field, TextField } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import styles from '@/app/buying/buying.module.css'
import { DepositBeside } from '@/app/buying/deposit-beside.tsx'
import { LineQuantity, PartNumber } from '@/app/buying/line-cells.tsx'
import { TotalsFoot } from '@/app/buying/totals-foot.tsx'
import { letterTotals } from '@/lib/buying/order-letter.ts'
import type { DraftView } from '@/lib/db/order-draft-read.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { addLine, changeDraft } from './actions.ts'

type Line = DraftView['lines'][number]
interface Props {
  draft: DraftView
  /** A draft that may be changed by this person; else its lines are shown only. */
  mayChange: boolean
}

interface Steps {
  /** This person may approve it; else the amount above which somebody else does. */
  mayApprove: boolean
  limit: string | null
  /** Where an e-mail would go; null where none can be sent. */
  mailTo: string | null
}

export function DraftLines({ draft, mayChange, ...steps }: Props & Steps) {
  const { id: draftId, version } = draft
  const table = <Table draft={draft} mayChange={mayChange} />
  if (!mayChange)
    return (
      <>
        {table}
        {draft.note ? <p>To the supplier: {draft.note}</p> : null}
      </>
    )
  return (
    <>
      {/* The version is in the key: once it is saved, or somebody else saved, the fields begin at what is kept. */}
      <ActionForm
        key={version}
        action={changeDraft}
        formKey={freshKey()}
        hidden={{ draftId, version }}
        aria-label="Lines of the draft"
      >
        {table}
        <TextField name="note" label="Words to the supplier" rows={2} maxLength={500} defaultValue={draft.note ?? ''} />
        <Next {...steps} />
      </ActionForm>
      <details>
        <summary className="button quiet">Add a line</summary>
        <ActionForm
          key={version}
          action={addLine}
          formKey={freshKey()}
          hidden={{ draftId, version }}
          submit="Add the line"
          submitClassName="button"
          aria-label="Add a line"
        >
          <Field
            name="number"
            label="Part number, ours or the supplier’s"
            autoComplete="off"
            maxLength={80}
            hint={`It must be one that ${draft.supplier.name} offers.`}
          />
          <Field
            name="quantity"
            label="Quantity"
            hint="In the part’s stock unit."
            inputMode="decimal"
            autoComplete="off"
            className="input-number"
          />
        </ActionForm>
      </details>
    </>
  )
}

/** Saves, or goes on with what is typed: nothing has to be saved first. Enter in a field saves. */
function Next({ mayApprove, limit, mailTo }: Steps) {
  return (
    <>
      {mayApprove ? null : (
        <p className="strong">
          ▲ Above {limit}: a manager approves it before it can be ordered. It is kept until then.
        </p>
      )}
      <div className="row">
        <SubmitButton className="button" name="as" value="save">
          Save the draft
        </SubmitButton>
        {mayApprove ? (
          <>
            {mailTo === null ? null : (
              <SubmitButton className="button primary" name="as" value="mail">
                Order by e-mail to {mailTo}
              </SubmitButton>
            )}
            <SubmitButton className={mailTo === null ? 'button primary' : 'button'} name="as" value="order">
              Mark as ordered
            </SubmitButton>
            <SubmitButton className="button" name="as" value="approve">
              Approve, order later
            </SubmitButton>
          </>
        ) : null}
      </div>
    </>
  )
}

function Table({ draft, mayChange }: Props) {
  const { currency } = draft
  return (
    <>
      <table className="parts fold">
        <caption className="visually-hidden">Lines of the draft</caption>
        <thead>
          <tr>
            <th scope="col">Part number, supplier’s number</th>
            <th scope="col">Description, why</th>
            <th scope="col" className="right">
              Quantity
            </th>
            <th scope="col" className="right">
              Price
            </th>
            <th scope="col" className="right">
              Cost
            </th>
          </tr>
        </thead>
        <tbody>
          {draft.lines.map((line) => (
            <tr key={line.id}>
              <td>
                <PartNumber line={line} />
              </td>
              <td className={`wide ${styles.why}`}>
                {line.description} <span className="soft small">{line.maker}</span>
                {line.reason === '' ? null : (
                  <>
                    <br />
                    <span className={styles.reason}>{line.reason}</span>
                  </>
                )}
              </td>
              <td className="right">
                {mayChange ? <LineQuantity line={line} /> : quantityFormat(line.quantity, line.unit)}
              </td>
              <td className={`right ${styles.price}`} data-label="Price">
                {moneyFormat(line.priceMinor, currency)}
                {line.unit === 'each' ? null : <span className="soft small"> a {line.unit}</span>}
                <PriceNow line={line} currency={currency} />
                <DepositBeside depositMinor={line.depositMinor} currency={currency} />
              </td>
              <td className={`right ${styles.money}`} data-label="Cost">
                {moneyFormat(line.costMinor, currency)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {mayChange ? <p className="soft small">A line at 0 is taken off when the draft is saved.</p> : null}
      <TotalsFoot totals={letterTotals(draft)} currency={currency} />
      {draft.goodsMinor < draft.supplier.minimumOrderMinor ? (
        <p className="strong">
          ▲ {moneyFormat(draft.supplier.minimumOrderMinor - draft.goodsMinor, currency)} more to the supplier’s minimum
          order
        </p>
      ) : null}
    </>
  )
}

function PriceNow({ line, currency }: { line: Line; currency: string }) {
  if (line.priceNowMinor === line.priceMinor) return null
  return (
    <>
      <br />
      <span className="strong small">
        {line.priceNowMinor === null ? 'no longer offered' : `today ${moneyFormat(line.priceNowMinor, currency)}`}
      </span>
    </>
  )
}
