import Link from 'next/link'
import { CheckToday } from '@/app/_parts/check-today.tsx'
import { SpoilToday } from '@/app/_parts/spoil-today.tsx'
import { UnsafeBadge } from '@/app/_parts/unsafe-badge.tsx'
import { orderList, ordersList } from '@/lib/db/buying.ts'
import { afterRunOpen } from '@/lib/db/job-check.ts'
import { jobsList } from '@/lib/db/job-read.ts'
import { machinesList } from '@/lib/db/machine.ts'
import { chaseCount } from '@/lib/db/order-chase.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { AfterRunList } from './_parts/after-run.tsx'
import { CountsToday } from './_parts/counts-today.tsx'
import { DepositsToday } from './_parts/deposits-today.tsx'
import { Due } from './_parts/due.tsx'
import { ServicesDue } from './_parts/services-due.tsx'
import { todayIs } from './_parts/today.ts'
import { When } from './_parts/when.tsx'
import { WinterToday } from './_parts/winter-today.tsx'
import { signedIn } from './_server/signed-in.ts'
import { paths } from './paths.ts'

export const metadata = { title: { absolute: 'Today - Cotterbook' } }

/** What waits for whom: jobs for the mechanic, parts below their reorder point for storekeeper and buyer, machines that stand. */
export default async function TodayPage() {
  const who = await signedIn()
  const [jobs, machines, list, orders, afterRun, chase] = await Promise.all([
    jobsList({ state: 'open' }, 20),
    machinesList(),
    orderList(),
    ordersList(50),
    afterRunOpen(),
    chaseCount(todayIs()),
  ])
  const unsafe = machines.filter((machine) => machine.state === 'unsafe')
  const lines = list.reduce((sum, group) => sum + group.lines.length, 0)
  const today = todayIs()
  const openOrders = orders.filter((order) => order.state === 'ordered')
  const late = openOrders.filter((order) => order.dueOn < today)
  const first = who.name.split(' ')[0]
  return (
    <main className="page stack loose" id="page">
      <div className="page-head">
        <div>
          <p className="over">
            <When at={new Date()} />
          </p>
          <h1>Today, {first}</h1>
        </div>
        {mayDo(who.roles, 'job.open') ? (
          <Link className="button primary" href={paths.jobNew()}>
            Log a repair
          </Link>
        ) : null}
      </div>
      {unsafe.length > 0 ? (
        <section className="alert" aria-labelledby="unsafe">
          <h2 id="unsafe">Unsafe, do not use</h2>
          <ul className="plain-list">
            {unsafe.map((machine) => (
              <li key={machine.id}>
                <Link href={paths.machine(machine.id)}>
                  {machine.fleetNumber} {machine.name}
                </Link>
                {machine.stateReason ? `: ${machine.stateReason}` : ''}
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      <CheckToday />
      <AfterRunList open={afterRun} mayWork={mayDo(who.roles, 'job.work')} named />
      <div className="columns">
        <section className="stack tight" aria-labelledby="jobs">
          <h2 id="jobs">Open jobs</h2>
          {jobs.length === 0 ? (
            <p className="empty">No open jobs. A repair is logged from the machine, the drawing or here.</p>
          ) : (
            <ul className="plain-list stack">
              {jobs.map((job) => (
                <li key={job.id}>
                  <Link href={paths.job(job.id)} className="strong">
                    Job {job.number}, {job.machine}
                  </Link>{' '}
                  {job.unsafe ? <UnsafeBadge /> : null}
                  <br />
                  {job.complaint}
                  {job.waiting > 0 ? (
                    <>
                      {' '}
                      <span className="badge">{counted(job.waiting, 'part')} not on the shelf</span>
                      {job.waitsDueOn !== null ? (
                        <span className="small">
                          {' '}
                          <Due on={job.waitsDueOn} of="order" />
                        </span>
                      ) : null}
                    </>
                  ) : null}
                </li>
              ))}
            </ul>
          )}
        </section>
        <section className="stack tight" aria-labelledby="shelf">
          <h2 id="shelf">Shelf and orders</h2>
          <ul className="plain-list stack tight">
            <li>
              <Link href={paths.buying()}>
                {lines === 0 ? 'Nothing to order' : `${counted(lines, 'line')} to order`}
              </Link>
            </li>
            <li>
              <Link href={paths.shelf({ state: 'none' })}>Parts with none on the shelf</Link>
            </li>
            <CountsToday roles={who.roles} />
            <SpoilToday />
            <DepositsToday />
            <li>
              <Link href={paths.orders()}>{counted(openOrders.length, 'order')} open</Link>
              {late.length > 0 ? (
                <>
                  {' '}
                  <Link href={paths.chase()} className="badge">
                    <span aria-hidden="true">▲ </span>
                    {late.length} late
                  </Link>
                </>
              ) : null}
            </li>
            {chase > 0 ? (
              <li>
                <Link href={paths.chase()}>{counted(chase, 'order')} to chase</Link>
              </li>
            ) : null}
          </ul>
        </section>
        <ServicesDue />
        <WinterToday />
        <section className="stack tight" aria-labelledby="books">
          <h2 id="books">Parts books</h2>
          <ul className="plain-list stack tight">
            {[...new Map(machines.map((machine) => [machine.model.id, machine.model])).values()].map((model) => (
              <li key={model.id}>
                <Link href={paths.model(model.id)}>{model.name}</Link> <span className="soft">{model.kind}</span>
              </li>
            ))}
            <li>
              <Link href={paths.models()}>All parts books</Link>
            </li>
          </ul>
        </section>
      </div>
    </main>
  )
}
