import type { Metadata } from 'next'
import Link from 'next/link'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { ordersList } from '@/lib/db/buying.ts'
import { buyingSettings } from '@/lib/db/buying-settings.ts'
import { invoicesUnsettled } from '@/lib/db/invoice-read.ts'
import { jobsWaiting } from '@/lib/db/jobs-waiting.ts'
import { draftsList } from '@/lib/db/order-draft-read.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import styles from '../buying.module.css'
import { OrderState } from '../order-state.tsx'
import { type WaitingJob, WaitingJobs } from '../waiting-jobs.tsx'
import { DraftsList } from './drafts-list.tsx'

export const metadata: Metadata = { title: 'Orders' }

type OrderRow = Awaited<ReturnType<typeof ordersList>>[number]

export default async function OrdersPage() {
  await signedIn()
  const [orders, drafts, gone, { buyerLimitMinor }, unsettled] = await Promise.all([
    ordersList(),
    draftsList('open', new Date()),
    draftsList('gone', new Date(), 20),
    buyingSettings(),
    invoicesUnsettled(),
  ])
  const today = new Date().toISOString().slice(0, 10)
  // What is longest due comes first: that is whom to ring.
  const open = orders.filter((order) => order.state === 'ordered').sort((a, b) => (a.dueOn < b.dueOn ? -1 : 1))
  const closed = orders.filter((order) => order.state !== 'ordered')
  const late = open.filter((order) => order.dueOn < today)
  const waiting = await jobsWaiting(late.flatMap((order) => order.duePartIds))
  const lateJobs = new Map(
    late.map((order) => [order.id, order.duePartIds.flatMap((partId) => waiting.get(partId) ?? [])]),
  )
  return (
    <main className="page" id="page">
      <PageHead up={paths.buying()} from="Order list" title="Orders">
        <div className="row">
          <Link className="button" href={paths.chase()} prefetch={false}>
            Chase
          </Link>
          <Link className="button" href={paths.invoices()} prefetch={false}>
            Invoices{unsettled > 0 ? `, ${counted(unsettled, 'with differences', 'with differences')}` : null}
          </Link>
        </div>
      </PageHead>
      <div className="stack loose">
        {drafts.length > 0 ? (
          <section className="stack tight" aria-labelledby="drafts">
            <h2 id="drafts">Drafts</h2>
            <DraftsList rows={drafts} caption="Drafts, newest first" limitMinor={buyerLimitMinor} />
          </section>
        ) : null}
        {orders.length === 0 ? (
          <p className="empty">
            Nothing has been ordered yet. An order is made on the <Link href={paths.buying()}>order list</Link>.
          </p>
        ) : null}
        {orders.length > 0 ? (
          <section className="stack tight" aria-labelledby="open">
            <h2 id="open">On their way</h2>
            {open.length === 0 ? (
              <p className="soft">Nothing is due.</p>
            ) : (
              <Orders rows={open} today={today} caption="Open orders, longest due first" lateJobs={lateJobs} />
            )}
          </section>
        ) : null}
        {closed.length > 0 ? (
          <section className="stack tight" aria-labelledby="closed">
            <h2 id="closed">Done</h2>
            <Orders rows={closed} today={today} caption="Received and cancelled orders, newest first" />
          </section>
        ) : null}
        {gone.length > 0 ? (
          <details>
            <summary className="button quiet">Discarded and merged drafts</summary>
            <DraftsList rows={gone} caption="Discarded and merged drafts, newest first" limitMinor={null} />
          </details>
        ) : null}
      </div>
    </main>
  )
}

function Orders(props: {
  rows: OrderRow[]
  today: string
  caption: string
  /** By order: who waits for what is late. */
  lateJobs?: ReadonlyMap<number, WaitingJob[]>
}) {
  const { rows, today, caption, lateJobs } = props
  return (
    <table className="parts fold">
      <caption className="visually-hidden">{caption}</caption>
      <thead>
        <tr>
          <th scope="col">Order</th>
          <th scope="col">Supplier</th>
          <th scope="col">Stands</th>
          <th scope="col">Ordered</th>
          <th scope="col">Due</th>
          <th scope="col" className="right">
            Lines due
          </th>
          <th scope="col" className="right">
            Goods
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((order) => (
          <tr key={order.id}>
            <td className="number">
              <Link href={paths.order(order.id)} prefetch={false}>
                {order.number}
              </Link>
            </td>
            <td className="wide">{order.supplier}</td>
            <td className="wide">
              <OrderState order={order} today={today} />
              <LateJobs jobs={lateJobs?.get(order.id) ?? []} />
            </td>
            <td className={`wide ${styles.money}`} data-label="Ordered">
              <When at={order.orderedAt} />
            </td>
            <td className={`wide ${styles.money}`} data-label="Due">
              <When at={order.dueOn} />
            </td>
            <td className="right wide" data-label="Lines due">
              {order.linesDue} of {order.lines}
            </td>
            <td className={`right wide ${styles.money}`} data-label="Goods">
              {moneyFormat(order.goodsMinor, order.currency)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function LateJobs({ jobs }: { jobs: WaitingJob[] }) {
  if (jobs.length === 0) return null
  return (
    <p className="small">
      <WaitingJobs jobs={jobs} /> {new Set(jobs.map((job) => job.id)).size === 1 ? 'waits' : 'wait'} for it
    </p>
  )
}
