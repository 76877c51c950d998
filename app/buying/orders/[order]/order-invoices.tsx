import Link from 'next/link'
import { InvoiceStateSays } from '@/app/buying/invoices/invoice-state.tsx'
import { WaitsFor } from '@/app/buying/invoices/waits-for.tsx'
import { paths } from '@/app/paths.ts'
import { invoicesList, linesToInvoice } from '@/lib/db/invoice-read.ts'
import { counted } from '@/lib/measure/counted.ts'
import { dateSays } from '@/lib/measure/date.ts'
import { moneyFormat } from '@/lib/measure/money.ts'

/** The invoices of an order, and what of it came and is on none yet. */
export async function OrderInvoices({ orderId, mayOrder }: { orderId: number; mayOrder: boolean }) {
  const [rows, lines] = await Promise.all([invoicesList({ orderId }), linesToInvoice(orderId)])
  if (rows.length === 0 && !mayOrder) return null
  return (
    <section className="stack tight no-print" aria-labelledby="invoices">
      <h2 id="invoices">Invoices</h2>
      {rows.length === 0 ? <p className="soft">No invoice of it is entered.</p> : null}
      <ul className="plain-list">
        {rows.map((row) => (
          <li key={row.id}>
            <Link href={paths.invoice(row.id)} prefetch={false}>
              Invoice {row.number}
            </Link>{' '}
            of {dateSays(row.day)}, {moneyFormat(row.totalMinor, row.currency)}
            {row.orders.length === 1 ? '' : `, for orders ${row.orders.map(({ number }) => number).join(', ')}`}:{' '}
            <InvoiceStateSays state={row.state} />
            {row.creditedMinor > 0
              ? `, ${moneyFormat(row.creditedMinor, row.currency)} credited: it comes to ${moneyFormat(row.totalMinor - row.creditedMinor, row.currency)}`
              : null}
            {row.differences.map((one) => (
              <div className="small" key={one.id}>
                {one.says}
                <WaitsFor owed={one} currency={row.currency} />
              </div>
            ))}
          </li>
        ))}
      </ul>
      {lines > 0 ? <p>{counted(lines, 'line has come and is', 'lines have come and are')} on no invoice yet.</p> : null}
      {mayOrder ? (
        <div>
          <Link className="button" href={paths.invoiceNew(orderId)} prefetch={false}>
            Enter an invoice
          </Link>
        </div>
      ) : null}
    </section>
  )
}
