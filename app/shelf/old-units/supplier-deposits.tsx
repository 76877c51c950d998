import Link from 'next/link'
import type { BinChoice } from '@/app/_parts/bin-field.tsx'
import { DepositDue } from '@/app/_parts/deposit-due.tsx'
import { OldUnitCaution } from '@/app/_parts/old-unit-forms.tsx'
import { OldUnitFrom } from '@/app/_parts/old-unit-says.tsx'
import { When } from '@/app/_parts/when.tsx'
import { Field, TickGroup } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { DepositRow, SupplierOwes } from '@/lib/db/deposit-read.ts'
import { SEND_CAUTION } from '@/lib/deposit/deposit-text.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { mayDo, type Role } from '@/lib/people/role.ts'
import { giveUp, sendBack } from './actions.ts'
import { UnitMore } from './unit-more.tsx'

interface Props {
  owes: SupplierOwes
  currency: string
  roles: readonly Role[]
  bins: readonly BinChoice[]
}

/** What one supplier owes, due first, and the note that takes its old units back. */
export function SupplierDeposits({ owes, currency, roles, bins }: Props) {
  const mayReturn = mayDo(roles, 'buying.return')
  const ready = owes.deposits.filter((deposit) => deposit.unit !== null && deposit.sent === null)
  return (
    <section className="sheet stack" aria-labelledby={`supplier-${owes.id}`}>
      <h2 id={`supplier-${owes.id}`}>
        {owes.name}: {moneyFormat(owes.owedMinor, currency)}
      </h2>
      <ul className="plain-list stack">
        {owes.deposits.map((deposit) => (
          <li key={deposit.id} className="stack tight">
            <Deposit deposit={deposit} currency={currency} />
            {deposit.unit !== null && deposit.sent === null ? (
              <UnitMore unit={deposit.unit} roles={roles} bins={bins} />
            ) : null}
            {mayReturn && deposit.unit === null ? <GiveUp deposit={deposit} currency={currency} /> : null}
          </li>
        ))}
      </ul>
      {mayReturn && ready.length > 0 ? (
        <ActionForm
          action={sendBack}
          formKey={freshKey()}
          hidden={{ supplierId: owes.id }}
          submit="Send back and make the note"
          aria-label={`Send back to ${owes.name}`}
        >
          <OldUnitCaution words={SEND_CAUTION} />
          <TickGroup
            name="unitIds"
            legend={`Goes back to ${owes.name}`}
            options={ready.map(({ unit, owedMinor }) => ({
              value: String(unit!.id),
              label: (
                <>
                  <span className="number">{unit!.number}</span>
                  {unit!.serialNumber ? `, serial number ${unit!.serialNumber}` : ''}
                  {unit!.bin ? `, bin ${unit!.bin.code}` : ''}, {moneyFormat(owedMinor, currency)}
                </>
              ),
            }))}
            ticked={ready.map(({ unit }) => String(unit!.id))}
          />
          <Field
            name="words"
            label="How it goes (may be left empty)"
            hint="For example: carrier, own van, collected."
            maxLength={200}
            autoComplete="off"
          />
        </ActionForm>
      ) : null}
    </section>
  )
}

function Deposit({ deposit, currency }: { deposit: DepositRow; currency: string }) {
  const { partId, number, description, order, openedAt, owedMinor, dueOn, unit, sent } = deposit
  return (
    <p>
      <Link href={paths.part(partId)} className="number strong" prefetch={false}>
        {number}
      </Link>{' '}
      {description}: <span className="strong">{moneyFormat(owedMinor, currency)}</span>
      <br />
      {sent ? (
        <>
          ◧ sent on{' '}
          <Link href={paths.returnNote(sent.noteId)} prefetch={false}>
            return note {sent.number}
          </Link>
          , not answered yet
        </>
      ) : (
        <DepositDue on={dueOn} />
      )}
      <br />
      <span className="small">
        {order ? (
          <>
            <Link href={paths.order(order.id)} prefetch={false}>
              Order {order.number}
            </Link>
            , received <When at={openedAt} />
          </>
        ) : (
          <>
            Paid before, entered <When at={openedAt} />
          </>
        )}
      </span>
      <br />
      {unit ? (
        <>
          <OldUnitFrom unit={unit} /> {unit.bin ? <span className="badge">bin {unit.bin.code}</span> : null}
        </>
      ) : (
        <span className="small">No old unit kept for it yet.</span>
      )}
    </p>
  )
}

function GiveUp({ deposit, currency }: { deposit: DepositRow; currency: string }) {
  return (
    <details>
      <summary className="button quiet">
        No old unit will go back<span className="visually-hidden"> for {deposit.number}</span>
      </summary>
      <ActionForm
        action={giveUp}
        formKey={freshKey()}
        hidden={{ depositId: deposit.id }}
        submit="Settle the deposit"
        submitClassName="button"
        aria-label={`No old unit will go back for ${deposit.number}`}
      >
        <p>What is not credited is lost.</p>
        <Field
          name="credited"
          label={`Credited all the same, ${currency} (may be left empty)`}
          hint="For example where the part went back unused."
          inputMode="decimal"
          autoComplete="off"
          className="input-number"
        />
        <Field name="reason" label="Why" maxLength={200} autoComplete="off" />
      </ActionForm>
    </details>
  )
}
