import type { Metadata } from 'next'
import Link from 'next/link'
import { cache, Fragment } from 'react'
import { found, idOf } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { TotalsFoot } from '@/app/buying/totals-foot.tsx'
import { paths } from '@/app/paths.ts'
import { invoiceRead } from '@/lib/db/invoice-read.ts'
import { mayDo } from '@/lib/people/role.ts'
import { withdrawInvoice } from '../actions.ts'
import { InvoiceStateSays } from '../invoice-state.tsx'
import { Differences } from './differences.tsx'
import { InvoiceCredits } from './invoice-credits.tsx'
import { InvoiceLines } from './invoice-lines.tsx'

interface Props {
  params: Promise<{ invoice: string }>
}

const invoiceOf = cache((text: string) => found(invoiceRead(idOf(text))))

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  await signedIn()
  return { title: `Invoice ${(await invoiceOf((await params).invoice)).number}` }
}

export default async function InvoicePage({ params }: Props) {
  const who = await signedIn()
  const invoice = await invoiceOf((await params).invoice)
  const mayOrder = mayDo(who.roles, 'buying.order')
  const isWithdrawn = invoice.state === 'withdrawn'
  return (
    <main className="page" id="page">
      <PageHead
        up={paths.invoices()}
        from="Invoices"
        about="held against order and receipt"
        title={`Invoice ${invoice.number}`}
      />
      <div className="stack loose">
        <dl className="facts">
          <dt>Supplier</dt>
          <dd>
            <Link href={paths.supplier(invoice.supplier.id)} prefetch={false}>
              {invoice.supplier.name}
            </Link>
          </dd>
          <dt>{invoice.orders.length === 1 ? 'Order' : 'Orders'}</dt>
          <dd>
            {invoice.orders.map((order, at) => (
              <Fragment key={order.id}>
                {at === 0 ? null : ', '}
                <Link href={paths.order(order.id)} prefetch={false}>
                  {order.number}
                </Link>
              </Fragment>
            ))}
          </dd>
          <dt>Stands</dt>
          <dd>
            <InvoiceStateSays state={invoice.state} />
          </dd>
          <dt>Dated</dt>
          <dd>
            <When at={invoice.day} />
          </dd>
          <dt>Entered</dt>
          <dd>
            <When at={invoice.enteredAt} />, {invoice.person}
          </dd>
        </dl>
        {isWithdrawn ? <p className="done">Withdrawn: it was entered wrongly and counts for nothing.</p> : null}
        <section className="stack tight" aria-labelledby="differences">
          <h2 id="differences">Differences</h2>
          {invoice.differences.length > 0 && !mayOrder ? <MayNot right="buying.order" /> : null}
          <Differences invoice={invoice} mayDecide={mayOrder && !isWithdrawn} />
        </section>
        <InvoiceCredits invoice={invoice} mayOrder={mayOrder} />
        <section className="stack tight" aria-labelledby="lines">
          <h2 id="lines">What is invoiced</h2>
          <InvoiceLines invoice={invoice} />
          <TotalsFoot totals={invoice.totals} currency={invoice.currency} />
          <p className="soft small">
            Totals are those of the invoice. Nothing on the shelf, in the ledger or of what stock is worth changes by
            it.
          </p>
        </section>
        {mayOrder && !isWithdrawn ? (
          <details>
            <summary className="button quiet">Withdraw the invoice</summary>
            <ActionForm
              action={withdrawInvoice}
              formKey={freshKey()}
              hidden={{ invoiceId: invoice.id }}
              submit="Withdraw it"
              submitClassName="button"
              aria-label="Withdraw the invoice"
            >
              <p>For one that was entered wrongly. It stays to be read, and its number can be entered anew.</p>
              <Field name="reason" label="What was wrong" maxLength={300} autoComplete="off" />
            </ActionForm>
          </details>
        ) : null}
      </div>
    </main>
  )
}
