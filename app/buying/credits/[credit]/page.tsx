import type { Metadata } from 'next'
import Link from 'next/link'
import { cache, Fragment } from 'react'
import { found, idOf } from '@/app/_parts/found.ts'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import styles from '@/app/buying/buying.module.css'
import { paths } from '@/app/paths.ts'
import { type CreditView, creditRead } from '@/lib/db/credit-read.ts'
import { taxSays } from '@/lib/invoice/tax.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { withdrawCredit } from '../actions.ts'
import { CreditStateSays } from '../credit-state.tsx'

interface Props {
  params: Promise<{ credit: string }>
}

const creditOf = cache((text: string) => found(creditRead(idOf(text))))

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  await signedIn()
  return { title: `Credit note ${(await creditOf((await params).credit)).number}` }
}

export default async function CreditPage({ params }: Props) {
  const who = await signedIn()
  const credit = await creditOf((await params).credit)
  const isWithdrawn = credit.state === 'withdrawn'
  return (
    <main className="page" id="page">
      <PageHead
        up={paths.invoices()}
        from="Invoices"
        about="given back by the supplier"
        title={`Credit note ${credit.number}`}
      />
      <div className="stack loose">
        <dl className="facts">
          <dt>Supplier</dt>
          <dd>
            <Link href={paths.supplier(credit.supplier.id)} prefetch={false}>
              {credit.supplier.name}
            </Link>
          </dd>
          <dt>{credit.invoices.length === 1 ? 'Invoice' : 'Invoices'}</dt>
          <dd>
            {credit.invoices.map((invoice, at) => (
              <Fragment key={invoice.id}>
                {at === 0 ? null : ', '}
                <Link href={paths.invoice(invoice.id)} prefetch={false}>
                  {invoice.number}
                </Link>
                {credit.invoices.length === 1 ? null : ` (${moneyFormat(invoice.shareMinor, credit.currency)})`}
              </Fragment>
            ))}
          </dd>
          <dt>Stands</dt>
          <dd>
            <CreditStateSays state={credit.state} />
          </dd>
          <dt>Dated</dt>
          <dd>
            <When at={credit.day} />
          </dd>
          <dt>Entered</dt>
          <dd>
            <When at={credit.enteredAt} />, {credit.person}
          </dd>
        </dl>
        {isWithdrawn ? <p className="done">Withdrawn: it was entered wrongly and counts for nothing.</p> : null}
        <section className="stack tight" aria-labelledby="lines">
          <h2 id="lines">What is credited</h2>
          <Lines credit={credit} />
          <Sums credit={credit} />
          <p className="soft small">
            Nothing on the shelf, in the ledger or of what stock is worth changes by it. Goods that went back are taken
            off the shelf at their part.
          </p>
        </section>
        {mayDo(who.roles, 'buying.order') && !isWithdrawn ? (
          <details>
            <summary className="button quiet">Withdraw the credit note</summary>
            <ActionForm
              action={withdrawCredit}
              formKey={freshKey()}
              hidden={{ creditNoteId: credit.id }}
              submit="Withdraw it"
              submitClassName="button"
              aria-label="Withdraw the credit note"
            >
              <p>
                For one that was entered wrongly. It stays to be read, what it gave back is open again, and its number
                can be entered anew.
              </p>
              <Field name="reason" label="What was wrong" maxLength={300} autoComplete="off" />
            </ActionForm>
          </details>
        ) : null}
      </div>
    </main>
  )
}

function Lines({ credit: { lines, currency, invoices } }: { credit: CreditView }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Lines of the credit note</caption>
      <thead>
        <tr>
          <th scope="col">Reason</th>
          <th scope="col">For</th>
          <th scope="col" className="right">
            Quantity
          </th>
          <th scope="col" className="right">
            Credited
          </th>
        </tr>
      </thead>
      <tbody>
        {lines.map((line) => (
          <tr key={line.id}>
            <td className="strong">{line.reason}</td>
            <td className={`wide ${styles.why}`}>
              {line.says ?? line.part?.description}
              {line.part === null ? null : (
                <div className="small">
                  <Link href={paths.part(line.part.id)} className="number" prefetch={false}>
                    {line.part.number}
                  </Link>
                </div>
              )}
              {invoices.length === 1 ? null : <div className="small">invoice {line.invoice.number}</div>}
            </td>
            <td className="right" data-label="Quantity">
              {line.part === null || line.quantity === 0 ? '–' : quantityFormat(line.quantity, line.part.unit)}
            </td>
            <td className={`right ${styles.money}`} data-label="Credited">
              {moneyFormat(line.amountMinor, currency)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function Sums({ credit }: { credit: CreditView }) {
  const money = (minor: number) => <span className="strong">{moneyFormat(minor, credit.currency)}</span>
  return (
    <div className={styles.foot}>
      <p>Without tax {money(credit.netMinor)}</p>
      <p>
        Tax {taxSays(credit.taxThousandths)} {money(credit.taxMinor)}
      </p>
      <p>Total {money(credit.totalMinor)}</p>
      {credit.homeMinor === null ? null : (
        <p>At the rate of the order {moneyFormat(credit.homeMinor, settingsRead().currency)}</p>
      )}
    </div>
  )
}
