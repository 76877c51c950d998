import type { Metadata } from 'next'
import Link from 'next/link'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { supplierList } from '@/lib/db/supplier.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'

export const metadata: Metadata = { title: 'Suppliers' }

export default async function SuppliersPage() {
  const who = await signedIn()
  const suppliers = await supplierList(new Date())
  return (
    <main className="page stack" id="page">
      <PageHead up={paths.buying()} from="Order list" title="Suppliers">
        {mayDo(who.roles, 'buying.order') ? (
          <Link className="button" href={paths.supplierNew()} prefetch={false}>
            Enter a supplier
          </Link>
        ) : null}
      </PageHead>
      {suppliers.length === 0 ? (
        <p className="empty">
          No suppliers yet. Enter one here, or bring in a list with prices under{' '}
          <Link href={paths.exchange()}>Import and export</Link>.
        </p>
      ) : (
        <table className="parts fold">
          <caption className="visually-hidden">Suppliers by name</caption>
          <thead>
            <tr>
              <th scope="col">Supplier</th>
              <th scope="col">On their way</th>
              <th scope="col" className="right">
                Days, as they say
              </th>
              <th scope="col" className="right">
                Days, as it was
              </th>
              <th scope="col" className="right">
                On time
              </th>
              <th scope="col" className="right">
                Parts
              </th>
            </tr>
          </thead>
          <tbody>
            {suppliers.map(({ id, name, leadTimeDays, lead, onTime, offers, openOrders, lateOrders }) => (
              <tr key={id}>
                <td className="wide">
                  <Link href={paths.supplier(id)} prefetch={false}>
                    {name}
                  </Link>
                </td>
                <td className="wide" data-label="On their way">
                  {openOrders === 0 ? 'nothing' : counted(openOrders, 'order')}
                  {lateOrders > 0 ? <strong>, {lateOrders} late</strong> : null}
                </td>
                <td className="right wide" data-label="Days, as they say">
                  {leadTimeDays}
                </td>
                <td className="right wide" data-label="Days, as it was">
                  {lead.receipts === 0
                    ? 'nothing came yet'
                    : `${Math.round(lead.meanDays)} ± ${Math.round(lead.sdDays)}`}
                </td>
                <td className="right wide" data-label="On time">
                  {onTime.known === 0 ? '–' : `${onTime.onTime} of ${onTime.known}`}
                </td>
                <td className="right wide" data-label="Parts">
                  {offers.toLocaleString('en-GB')}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <p className="soft small">
        Order lines of the last two years. About two in three take so many days, give or take what stands behind ±.
      </p>
    </main>
  )
}
