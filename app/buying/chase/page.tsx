import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { UnsafeBadge } from '@/app/_parts/unsafe-badge.tsx'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { chaseMailto, chaseSays } from '@/lib/buying/chase.ts'
import { invoicesUnsettled } from '@/lib/db/invoice-read.ts'
import { type ChaseRow, chaseList } from '@/lib/db/order-chase.ts'
import { workshopName } from '@/lib/db/workshop.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { CallForm } from './call-form.tsx'

export const metadata: Metadata = { title: 'Chase' }

export default async function ChasePage() {
  const who = await signedIn()
  const [rows, workshop, unsettled] = await Promise.all([chaseList(todayIs()), workshopName(), invoicesUnsettled()])
  const mayOrder = mayDo(who.roles, 'buying.order')
  return (
    <main className="page" id="page">
      <PageHead up={paths.orders()} from="Orders" about="late, or not confirmed; longest waiting first" title="Chase">
        {unsettled === 0 ? null : (
          <Link className="button" href={paths.invoices()} prefetch={false}>
            {counted(unsettled, 'invoice')} with differences
          </Link>
        )}
      </PageHead>
      <div className="stack loose">
        {rows.length === 0 ? (
          <p className="empty">
            Nobody has to be called. An order comes onto this list when the day it was due is past, or when the supplier
            has not confirmed it in the days set under <Link href={paths.buyingSettings()}>Ordering</Link>.
          </p>
        ) : null}
        {rows.length > 0 && !mayOrder ? <MayNot right="buying.order" /> : null}
        {rows.map((row) => (
          <section className="sheet stack" key={row.orderId} aria-labelledby={`order-${row.orderId}`}>
            <h2 id={`order-${row.orderId}`}>
              <Link href={paths.order(row.orderId)} prefetch={false}>
                Order {row.number}
              </Link>
              , {row.supplier.name}
            </h2>
            <p className="strong">
              <span aria-hidden="true">{row.chase.why === 'late' ? '▲' : '☐'} </span>
              {chaseSays(row.chase, row.orderedOn)}
            </p>
            <HeldUp row={row} />
            <Supplier row={row} workshop={workshop} />
            <Lines row={row} />
            <Calls row={row} />
            {mayOrder ? <CallForm row={row} /> : null}
          </section>
        ))}
      </div>
    </main>
  )
}

function HeldUp({ row }: { row: ChaseRow }) {
  if (row.heldUp.length === 0) return <p className="soft">No open job waits for it.</p>
  return (
    <ul className="plain-list" aria-label="Waits for it">
      {row.heldUp.map((job) => (
        <li key={job.id}>
          Waits for it:{' '}
          <Link href={paths.job(job.id)} prefetch={false}>
            job {job.number}
          </Link>
          ,{' '}
          <Link href={paths.machine(job.machineId)} prefetch={false}>
            {job.machine}
          </Link>{' '}
          {job.isUnsafe ? <UnsafeBadge /> : null}
        </li>
      ))}
    </ul>
  )
}

function Supplier({ row, workshop }: { row: ChaseRow; workshop: string | null }) {
  const { supplier, supplierReference, number, lines } = row
  const { email } = supplier
  return (
    <dl className="facts">
      <dt>Contact</dt>
      <dd>
        {supplier.contact ?? (
          <Link href={paths.supplier(supplier.id)} prefetch={false}>
            none kept, enter one
          </Link>
        )}
      </dd>
      {email ? (
        <>
          <dt>E-mail</dt>
          <dd>
            <a href={chaseMailto({ number, email, supplierReference, workshop, lines })}>{email}</a>
          </dd>
        </>
      ) : null}
      {supplier.customerNumber ? (
        <>
          <dt>Our customer number</dt>
          <dd className="number">{supplier.customerNumber}</dd>
        </>
      ) : null}
      {supplierReference ? (
        <>
          <dt>Their order number</dt>
          <dd className="number">{supplierReference}</dd>
        </>
      ) : null}
    </dl>
  )
}

function Lines({ row }: { row: ChaseRow }) {
  return (
    <ul className="plain-list" aria-label="Still due">
      {row.lines.map((line) => (
        <li key={line.id}>
          {quantityFormat(line.due, line.unit)} of{' '}
          <Link href={paths.part(line.partId)} className="number" prefetch={false}>
            {line.number}
          </Link>{' '}
          {line.description}, due <When at={line.dueOn} />
          {line.isConfirmed ? ', confirmed' : ''}
        </li>
      ))}
    </ul>
  )
}

function Calls({ row }: { row: ChaseRow }) {
  if (row.calls.length === 0) return null
  return (
    <ul className="plain-list" aria-label="Calls, newest first">
      {row.calls.map((call) => (
        <li key={call.id}>
          <When at={call.at} time />, {call.person}: {call.words}
          {call.promisedOn === null ? null : (
            <>
              {' '}
              (promised <When at={call.promisedOn} />)
            </>
          )}
        </li>
      ))}
    </ul>
  )
}
