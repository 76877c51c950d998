import Link from 'next/link'
import { KeepForm } from '@/app/_parts/old-unit-forms.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import { enterDeposit, setDeposit } from '@/app/shelf/old-units/actions.ts'
import { depositsOwed } from '@/lib/db/deposit-read.ts'
import type { PartCard } from '@/lib/db/part.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { mayDo, type Role } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'

/** The deposit each supplier asks on the part, what is owed for its old units, and what was kept before there were books. */
export async function ExchangePart({ part, roles }: { part: PartCard; roles: readonly Role[] }) {
  if (part.unit !== 'each' || part.offers.length === 0) return null
  const { suppliers, without, owedMinor } = await depositsOwed(todayIs(), part.id)
  const { currency } = settingsRead()
  const mayReturn = mayDo(roles, 'buying.return')
  const isExchange = part.offers.some((offer) => offer.depositMinor !== null) || owedMinor > 0
  // Few parts are: on the card of a split pin it is folded away.
  if (!isExchange) return mayReturn ? <Deposits part={part} summary="Make it an exchange part" /> : null
  const pieces = suppliers.reduce((sum, owes) => sum + owes.pieces, 0)
  return (
    <section className="stack tight" aria-labelledby="exchange">
      <h2 id="exchange">Exchange part</h2>
      <p>
        {pieces === 0
          ? 'No deposit is owed on it now.'
          : `${moneyFormat(owedMinor, currency)} deposit is owed on ${counted(pieces, 'piece')} until ${pieces === 1 ? 'its old unit is' : 'the old units are'} back.`}{' '}
        {without.length > 0 ? `${counted(without.length, 'old unit')} kept without a deposit. ` : ''}
        <Link href={paths.oldUnits()}>Old units</Link>
        <br />
        <span className="soft">The deposit is in neither the cost of the part nor the value of the stock.</span>
      </p>
      {mayReturn ? <Deposits part={part} summary="Deposit asked by a supplier" /> : null}
      {mayReturn ? <Before part={part} currency={currency} /> : null}
      {mayDo(roles, 'stock.issue') ? (
        <details>
          <summary className="button quiet">Keep an old unit from before</summary>
          <KeepForm of={{ partId: part.id, number: part.number }} />
        </details>
      ) : null}
    </section>
  )
}

function Deposits({ part, summary }: { part: PartCard; summary: string }) {
  return (
    <details>
      <summary className="button quiet">{summary}</summary>
      <p className="soft">
        A starter, alternator, pump, injector or turbo that is bought rebuilt often has a deposit on it until the old
        unit is back.
      </p>
      <ul className="plain-list stack">
        {part.offers.map((offer) => (
          <li key={offer.supplierId}>
            <ActionForm
              action={setDeposit}
              formKey={freshKey()}
              hidden={{ partId: part.id, supplierId: offer.supplierId }}
              submit="Save"
              submitClassName="button"
              aria-label={`Deposit that ${offer.supplier} asks`}
            >
              <p className="strong">
                {offer.supplier}
                {offer.supplierNumber ? <span className="number small"> {offer.supplierNumber}</span> : null}
              </p>
              <Field
                name="deposit"
                label={`Deposit on one piece, ${offer.currency}`}
                hint="Leave empty where the supplier charges none. Orders that stand keep what they were placed with."
                inputMode="decimal"
                autoComplete="off"
                className="input-number"
                defaultValue={offer.depositMinor === null ? '' : (offer.depositMinor / 100).toFixed(2)}
              />
              <Field
                name="returnDays"
                label="Old unit back within, days"
                hint="From receipt. Leave empty where the supplier sets no limit."
                inputMode="numeric"
                autoComplete="off"
                className="input-number"
                defaultValue={offer.returnDays === null ? '' : String(offer.returnDays)}
              />
            </ActionForm>
          </li>
        ))}
      </ul>
    </details>
  )
}

function Before({ part, currency }: { part: PartCard; currency: string }) {
  return (
    <details>
      <summary className="button quiet">Enter a deposit paid before</summary>
      <ActionForm
        action={enterDeposit}
        formKey={freshKey()}
        hidden={{ partId: part.id }}
        submit="It is owed"
        submitClassName="button"
        aria-label={`Deposit paid before on ${part.number}`}
      >
        <p className="soft">
          For one piece that was bought without an order here. A receipt at its order opens its own.
        </p>
        <SelectField name="supplierId" label="Supplier" defaultValue={String(part.offers[0]!.supplierId)}>
          {part.offers.map((offer) => (
            <option key={offer.supplierId} value={offer.supplierId}>
              {offer.supplier}
            </option>
          ))}
        </SelectField>
        <Field
          name="amount"
          label={`Deposit, ${currency}`}
          inputMode="decimal"
          autoComplete="off"
          className="input-number"
        />
        <Field name="dueOn" type="date" label="Old unit back by (may be left empty)" />
      </ActionForm>
    </details>
  )
}
