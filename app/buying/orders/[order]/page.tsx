import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PrintButton } from '@/app/_parts/print-button.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { cancelRest, repeatOrder, splitOrder } from '@/app/buying/actions.ts'
import styles from '@/app/buying/buying.module.css'
import { OrderRecord } from '@/app/buying/order-record.tsx'
import { OrderState } from '@/app/buying/order-state.tsx'
import { SplitForm } from '@/app/buying/split-form.tsx'
import { WaitingJobs } from '@/app/buying/waiting-jobs.tsx'
import { paths } from '@/app/paths.ts'
import { letterMailto } from '@/lib/buying/order-letter.ts'
import { rulesOf } from '@/lib/db/batch-read.ts'
import { jobsWaiting } from '@/lib/db/jobs-waiting.ts'
import { orderRecord } from '@/lib/db/order-event.ts'
import { letterOf } from '@/lib/db/order-mail.ts'
import { splitOffers } from '@/lib/db/order-split.ts'
import { partPacks } from '@/lib/db/part-pack.ts'
import { putAwayOf } from '@/lib/db/put-away.ts'
import { deliveriesOf } from '@/lib/db/receiving.ts'
import { binsList } from '@/lib/db/shelf.ts'
import { workshopName } from '@/lib/db/workshop.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { ConfirmForm } from './confirm-form.tsx'
import { DeliveryList } from './delivery-list.tsx'
import { OrderInvoices } from './order-invoices.tsx'
import { orderOf } from './order-read.ts'
import { OrderSheet } from './order-sheet.tsx'
import { ReceiveLines } from './receive-lines.tsx'

interface Props {
  params: Promise<{ order: string }>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  await signedIn()
  const order = await orderOf((await params).order)
  return { title: `Order ${order.number}` }
}

export default async function OrderPage({ params }: Props) {
  const who = await signedIn()
  const order = await orderOf((await params).order)
  const due = order.lines.filter((line) => line.due > 0)
  const partIds = due.map((line) => line.partId)
  const [bins, workshop, waiting, into, packs, rules, deliveries, record] = await Promise.all([
    binsList(),
    workshopName(),
    jobsWaiting(order.state === 'ordered' ? partIds : []),
    putAwayOf(partIds, null),
    partPacks(partIds),
    rulesOf(partIds),
    deliveriesOf(order.id),
    orderRecord({ orderId: order.id }),
  ])
  const isOpen = order.state === 'ordered'
  const standing = { ...order, partReceived: order.lines.some((line) => line.received > 0) }
  return (
    <main className="page" id="page">
      <header className="page-head">
        <div>
          {workshop ? <p className={`strong ${styles.onPaper}`}>{workshop}</p> : null}
          <p className="over no-print">
            <Link href={paths.orders()} prefetch={false}>
              Orders
            </Link>
          </p>
          <h1>Order {order.number}</h1>
          <p>{order.supplier.name}</p>
        </div>
        <div className="row no-print">
          {isOpen ? (
            <a className="button" href={letterMailto(letterOf(order, workshop))}>
              Write an e-mail
            </a>
          ) : null}
          <a className="button" href={paths.orderPdf(order.id)} download>
            Order as PDF
          </a>
          <a className="button" href={paths.orderCsv(order.id)} download>
            Order as CSV
          </a>
          <PrintButton>Print the order sheet</PrintButton>
          <Link className="button" href={paths.labels({ of: 'part', order: order.id })} prefetch={false}>
            Labels for these parts
          </Link>
        </div>
      </header>
      <div className="stack loose">
        <dl className="facts">
          <dt>Ordered</dt>
          <dd>
            <When at={order.orderedAt} />
          </dd>
          <dt>{isOpen ? 'Due' : 'Was due'}</dt>
          <dd>
            <When at={order.dueOn} />
          </dd>
          <dt className="no-print">Stands</dt>
          <dd className="no-print">
            <OrderState order={standing} today={new Date().toISOString().slice(0, 10)} />
          </dd>
          {waiting.size > 0 ? (
            <>
              <dt className="no-print">Waits for it</dt>
              <dd className="no-print">
                <WaitingJobs jobs={[...waiting.values()].flat()} />
              </dd>
            </>
          ) : null}
          {order.supplier.contact ? (
            <>
              <dt className="no-print">Contact</dt>
              <dd className="no-print">{order.supplier.contact}</dd>
            </>
          ) : null}
          {order.supplierReference ? (
            <>
              <dt>Supplier’s order number</dt>
              <dd className="number">{order.supplierReference}</dd>
            </>
          ) : null}
          {order.note ? (
            <>
              <dt>To the supplier</dt>
              <dd>{order.note}</dd>
            </>
          ) : null}
        </dl>
        {order.state === 'received' ? (
          <p className="done no-print">Nothing is due any more. What came lies on the shelf.</p>
        ) : null}
        {order.state === 'cancelled' ? (
          <p className="done no-print">This order was cancelled before anything came.</p>
        ) : null}
        {isOpen && due.length > 0 ? (
          <section className="stack tight no-print" aria-labelledby="receive">
            <h2 id="receive">Receive</h2>
            {!mayDo(who.roles, 'buying.receive') ? (
              <MayNot right="buying.receive" />
            ) : bins.length === 0 ? (
              <p className="empty">
                There is no bin yet to put it in. Set it up under <Link href={paths.stores()}>Stores and bins</Link>.
              </p>
            ) : (
              <ReceiveLines
                orderId={order.id}
                lines={due.map((line) => ({
                  ...line,
                  into: into.get(line.partId) ?? [],
                  packs: packs.get(line.partId) ?? [],
                  rule: rules.get(line.partId)!,
                }))}
                today={todayIs()}
                bins={bins}
                currency={order.currency}
              />
            )}
          </section>
        ) : null}
        {isOpen && due.length > 0 && mayDo(who.roles, 'buying.order') ? <ConfirmForm order={order} /> : null}
        <DeliveryList rows={deliveries} />
        <section className="stack tight" aria-labelledby="sheet">
          <h2 id="sheet">What was ordered</h2>
          <OrderSheet order={order} />
        </section>
        <OrderInvoices orderId={order.id} mayOrder={mayDo(who.roles, 'buying.order')} />
        {isOpen && due.length > 0 && mayDo(who.roles, 'buying.order') ? (
          <details className="no-print">
            <summary className="button quiet">Order the rest elsewhere</summary>
            <SplitForm
              action={splitOrder}
              hidden={{ orderId: order.id }}
              says="Take them back onto a draft"
              lines={due.map((line) => ({ ...line, quantity: line.due }))}
              own={order.supplier}
              offers={await splitOffers(partIds, todayIs())}
              isOrder
            />
          </details>
        ) : null}
        {isOpen && mayDo(who.roles, 'buying.order') ? (
          <details className="no-print">
            <summary className="button quiet">Cancel the rest of the order</summary>
            <ActionForm
              action={cancelRest}
              formKey={freshKey()}
              hidden={{ orderId: order.id }}
              submit="Cancel the rest"
              submitClassName="button"
              aria-label="Cancel the rest of the order"
            >
              <p>
                Tell the supplier first. {counted(due.length, 'line')} {due.length === 1 ? 'is' : 'are'} no longer
                expected after this; what came stays received, and what is still needed comes back onto the{' '}
                <Link href={paths.buying()}>order list</Link>.
              </p>
            </ActionForm>
          </details>
        ) : null}
        {mayDo(who.roles, 'buying.order') ? (
          <div className="no-print">
            <ActionForm
              action={repeatOrder}
              formKey={freshKey()}
              hidden={{ orderId: order.id }}
              submit="The same again as a draft"
              submitClassName="button quiet"
              aria-label="The same again as a draft"
            />
          </div>
        ) : null}
        <OrderRecord rows={record} />
      </div>
    </main>
  )
}
