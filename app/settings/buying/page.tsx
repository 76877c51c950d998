import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { buyingSettings } from '@/lib/db/buying-settings.ts'
import { taxInput, taxSays } from '@/lib/invoice/tax.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { saveBuying } from './actions.ts'

export const metadata: Metadata = { title: 'Ordering' }

export default async function BuyingSettingsPage() {
  const who = await signedIn()
  const kept = await buyingSettings()
  const { currency } = settingsRead()
  return (
    <main className="page narrow" id="page">
      <PageHead
        up={paths.settings()}
        from="Settings"
        about="who approves an order, when one is chased, and tax"
        title="Ordering"
      >
        <Link className="button" href={paths.orders()} prefetch={false}>
          Orders
        </Link>
      </PageHead>
      {mayDo(who.roles, 'buying.approve') ? (
        <ActionForm
          action={saveBuying}
          formKey={freshKey()}
          submit="Save"
          className="stack loose"
          aria-label="Ordering"
        >
          <Field
            name="buyerLimitMinor"
            label={`A buyer approves orders of goods up to, ${currency}`}
            hint="Above it a manager approves. Left empty, whoever orders approves any order."
            inputMode="decimal"
            className="input-number"
            autoComplete="off"
            defaultValue={kept.buyerLimitMinor === null ? '' : (kept.buyerLimitMinor / 100).toFixed(2)}
          />
          <Field
            name="confirmDays"
            label="Chase an order without a confirmation after, days"
            hint="Left empty, confirmations are not waited for."
            inputMode="numeric"
            className="input-number"
            autoComplete="off"
            defaultValue={kept.confirmDays === null ? '' : String(kept.confirmDays)}
          />
          <Field
            name="tax"
            label="Tax on what suppliers sell, per cent"
            hint="A supplier may have its own. Shown apart on orders and invoices; prices, costs and stock value stay without tax. Left empty, no tax is shown."
            inputMode="decimal"
            className="input-number"
            autoComplete="off"
            defaultValue={kept.taxThousandths === null ? '' : taxInput(kept.taxThousandths)}
          />
        </ActionForm>
      ) : (
        <div className="stack">
          <MayNot right="buying.approve" />
          <ul>
            <li>
              {kept.buyerLimitMinor === null
                ? 'Whoever orders approves any order.'
                : `A buyer approves orders of goods up to ${moneyFormat(kept.buyerLimitMinor, currency)}, a manager above.`}
            </li>
            <li>
              {kept.confirmDays === null
                ? 'Confirmations are not waited for.'
                : `An order without a confirmation is chased after ${counted(kept.confirmDays, 'day')}.`}
            </li>
            <li>
              {kept.taxThousandths === null
                ? 'No tax is shown on orders.'
                : `Orders show ${taxSays(kept.taxThousandths)} tax apart, unless the supplier has its own rate.`}
            </li>
          </ul>
        </div>
      )}
    </main>
  )
}
