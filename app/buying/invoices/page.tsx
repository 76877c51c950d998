import type { Metadata } from 'next'
import Link from 'next/link'
import { Fragment } from 'react'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import styles from '@/app/buying/buying.module.css'
import { paths } from '@/app/paths.ts'
import { creditsList } from '@/lib/db/credit-read.ts'
import { type InvoiceListed, invoicesList } from '@/lib/db/invoice-read.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { CreditList } from '../credits/credit-list.tsx'
import { InvoiceStateSays } from './invoice-state.tsx'
import { WaitsFor } from './waits-for.tsx'

export const metadata: Metadata = { title: 'Invoices' }

export default async function InvoicesPage() {
  await signedIn()
  const [unsettled, settled, credits] = await Promise.all([
    invoicesList('unsettled'),
    invoicesList('settled', 50),
    creditsList('last', 20),
  ])
  return (
    <main className="page" id="page">
      <PageHead
        up={paths.orders()}
        from="Orders"
        about="invoices and credit notes of suppliers, held against order and receipt"
        title="Invoices"
      />
      <div className="stack loose">
        <section className="stack tight" aria-labelledby="unsettled">
          <h2 id="unsettled">Differences to settle</h2>
          {unsettled.length === 0 ? (
            <p className="empty">
              No invoice has open differences. An invoice is entered at its <Link href={paths.orders()}>order</Link>.
            </p>
          ) : (
            <Invoices rows={unsettled} caption="Invoices with differences, newest first" />
          )}
        </section>
        <CreditList rows={credits} />
        {settled.length === 0 ? null : (
          <section className="stack tight" aria-labelledby="settled">
            <h2 id="settled">Settled</h2>
            <Invoices rows={settled} caption="Invoices that are agreed or withdrawn, newest first" />
          </section>
        )}
      </div>
    </main>
  )
}

function Invoices({ rows, caption }: { rows: readonly InvoiceListed[]; caption: string }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">{caption}</caption>
      <thead>
        <tr>
          <th scope="col">Invoice</th>
          <th scope="col">Supplier, order</th>
          <th scope="col">Stands</th>
          <th scope="col">Dated</th>
          <th scope="col" className="right">
            Total
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.id}>
            <td className="number">
              <Link href={paths.invoice(row.id)} prefetch={false}>
                {row.number}
              </Link>
            </td>
            <td className="wide">
              {row.supplier}
              {row.orders.map((order) => (
                <Fragment key={order.id}>
                  ,{' '}
                  <Link href={paths.order(order.id)} prefetch={false}>
                    order {order.number}
                  </Link>
                </Fragment>
              ))}
            </td>
            <td className="wide">
              <InvoiceStateSays state={row.state} />
              {row.differences.map((one) => (
                <div className="small" key={one.id}>
                  {one.says}
                  <WaitsFor owed={one} currency={row.currency} />
                </div>
              ))}
            </td>
            <td className={`wide ${styles.money}`} data-label="Dated">
              <When at={row.day} />
            </td>
            <td className={`right wide ${styles.money}`} data-label="Total">
              {moneyFormat(row.totalMinor, row.currency)}
              {row.creditedMinor > 0 ? (
                <div className="small">{moneyFormat(row.creditedMinor, row.currency)} credited</div>
              ) : null}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
