import Link from 'next/link'
import { BatchFields } from '@/app/_parts/batch-fields.tsx'
import { type BinChoice, BinField } from '@/app/_parts/bin-field.tsx'
import { PackField } from '@/app/_parts/pack-field.tsx'
import { unitSays } from '@/app/_parts/quantity-field.tsx'
import { Field, SelectField, Tick } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { receiveOrder } from '@/app/buying/actions.ts'
import styles from '@/app/buying/buying.module.css'
import { DepositOnReceipt } from '@/app/buying/deposit-beside.tsx'
import { paths } from '@/app/paths.ts'
import type { PartPackRow } from '@/lib/db/part-pack.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, quantityInput } from '@/lib/measure/quantity.ts'
import type { BatchRule } from '@/lib/stock/batch.ts'
import type { BinKind } from '@/lib/stock/bin-kind.ts'
import { PUT_AWAY_WHY, type PutAway } from '@/lib/stock/put-away.ts'
import { AllCame } from './all-came.tsx'
import { NotePrice } from './note-price.tsx'
import type { OrderView } from './order-read.ts'

type Line = OrderView['lines'][number] & { into: readonly PutAway[]; packs: readonly PartPackRow[]; rule: BatchRule }
type Bin = BinChoice & { kind: BinKind }

/**
 * The lines still due, each with what came and where it goes. The fields begin empty, so that what nobody counted is not booked;
 * one press fills in what is due. Enter goes down the lines and ends at the button: a whole delivery is put away without the mouse.
 */
export function ReceiveLines(props: {
  orderId: number
  lines: readonly Line[]
  bins: readonly Bin[]
  today: string
  currency: string
}) {
  const { orderId, lines, bins, today, currency } = props
  return (
    <ActionForm
      action={receiveOrder}
      formKey={freshKey()}
      hidden={{ orderId }}
      enterGoesOn
      aria-label="Receive what came"
    >
      <p className="soft">
        Count what came and compare it with the delivery note. A line left empty did not come. Enter goes to the next
        line.
      </p>
      <AllCame />
      <ul className="plain-list">
        {lines.map((line) => (
          // The amount due is in the key: after a part delivery the field begins at what is left.
          <li key={`${line.id} ${line.due}`} className={`${styles.receive} ${styles.line}`}>
            <p>
              <span className="number strong">{line.number}</span> {line.description}
              <br />
              <span className="soft small">
                {quantityFormat(line.due, line.unit)} due
                {line.received > 0 ? `, ${quantityFormat(line.received, line.unit)} received` : ''}
                {`; ${moneyFormat(line.priceMinor, currency)} ${line.unit === 'each' ? 'each' : `a ${line.unit}`} agreed`}
                {line.supplierNumber ? `; on the note perhaps as ${line.supplierNumber}` : ''}
              </span>
              <DepositOnReceipt line={line} />
            </p>
            <Field
              name={`receive.${line.id}.${line.unit}`}
              label={
                <>
                  Came<span className="visually-hidden"> of {line.number}</span>
                  {line.packs.length > 0 ? '' : `, ${unitSays(line.unit)}`}
                </>
              }
              inputMode={line.unit === 'each' ? 'numeric' : 'decimal'}
              autoComplete="off"
              enterKeyHint="next"
              className="input-number"
              data-due={quantityInput(line.due, line.unit)}
            />
            <PackField name={`pack.${line.id}`} of={line.number} unit={line.unit} packs={line.packs} />
            <BatchFields rule={line.rule} of={line.number} partId={line.partId} today={today} line={line.id} />
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
            <NotAsOrdered line={line} bins={bins} currency={currency} />
          </li>
        ))}
      </ul>
      <div className="main-action">
        <SubmitButton className="button primary big">Put on shelf</SubmitButton>
      </div>
    </ActionForm>
  )
}

function NotAsOrdered({ line, bins, currency }: { line: Line; bins: readonly Bin[]; currency: string }) {
  const quarantine = bins.filter((bin) => bin.kind === 'quarantine')
  const at = `${line.id}.${line.unit}`
  const named = <span className="visually-hidden"> ({line.number})</span>
  return (
    <details className={styles.notAsOrdered}>
      <summary className="button quiet">Not as ordered{named}</summary>
      <div className="stack">
        <NotePrice line={line} currency={currency} />
        {quarantine.length === 0 ? (
          <p className="soft">
            What came damaged is kept apart: set up a quarantine bin under{' '}
            <Link href={paths.stores()}>Stores and bins</Link> first.
          </p>
        ) : (
          <>
            <Field
              name={`damaged.${at}`}
              label={
                <>
                  Damaged, {unitSays(line.unit)}
                  {named}
                </>
              }
              hint="Not among those above. They go into quarantine and are free for nobody."
              inputMode={line.unit === 'each' ? 'numeric' : 'decimal'}
              autoComplete="off"
              className="input-number"
            />
            <SelectField
              name={`damagedBin.${line.id}`}
              label={<>Damaged ones into{named}</>}
              defaultValue={String(quarantine[0]!.id)}
            >
              {quarantine.map((bin) => (
                <option key={bin.id} value={bin.id}>
                  {bin.code}, {bin.store}
                </option>
              ))}
            </SelectField>
            <Field
              name={`damage.${line.id}`}
              label={<>What is wrong with them{named}</>}
              maxLength={200}
              autoComplete="off"
            />
          </>
        )}
        <Tick name={`over.${at}`} label={<>Keep what came beyond the order{named}</>} />
        <Tick name={`rest.${at}`} label={<>The rest will not come{named}</>} />
        <Field
          name={`wrong.${at}`}
          label={<>Something else came instead: what{named}</>}
          hint="Only noted, for the supplier. Nothing of it is booked."
          maxLength={200}
          autoComplete="off"
        />
      </div>
    </details>
  )
}
