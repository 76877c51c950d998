import Link from 'next/link'
import { queryText } from '@/app/_parts/query.ts'
import { ServiceState } from '@/app/_parts/service-state.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type ServiceOfMachine, servicesCount, servicesOf } from '@/lib/db/service-due.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { DUE_STATES } from '@/lib/service/due.ts'
import { DUE_SHAPES, dueAtSays, fromSays } from '@/lib/service/due-text.ts'
import { ServicesFilter } from './filter.tsx'

export const metadata = { title: 'Services due' }

const ROWS_SHOWN = 200

type Query = { machine?: string | string[]; state?: string | string[] }

/** What is due over the whole fleet, the overdue first; without a filter all that is overdue, due or soon. */
export default async function ServicesPage({ searchParams }: { searchParams: Promise<Query> }) {
  const who = await signedIn()
  const query = await searchParams
  const list = await servicesOf(todayIs())
  const counts = servicesCount(list)
  const state =
    DUE_STATES.find((one) => one === queryText(query.state)) ?? (queryText(query.state) === 'all' ? 'all' : '')
  const machineId = Number(queryText(query.machine)) || null
  const machines = [...new Map(list.map(({ machine }) => [machine.id, machine])).values()].sort((a, b) =>
    a.fleetNumber < b.fleetNumber ? -1 : 1,
  )
  const isAsked = (one: ServiceOfMachine) =>
    state === 'all' || (machineId !== null && state === '')
      ? true
      : state === ''
        ? one.due.state !== 'not-due' && one.due.state !== 'no-start'
        : one.due.state === state
  const rows = list.filter((one) => (machineId === null || one.machine.id === machineId) && isAsked(one))
  return (
    <main className="page stack" id="page">
      <div className="page-head">
        <div>
          <h1>Services due</h1>
          <p className="soft">
            {(['overdue', 'due', 'soon'] as const).map((one) => `${counts[one]} ${DUE_SHAPES[one].words}`).join(', ')}
          </p>
        </div>
      </div>
      {list.length === 0 ? (
        <p className="empty">
          No services are planned yet. Open a model under <Link href={paths.models()}>Parts books</Link> and plan its
          services: how often, and what each asks for.
        </p>
      ) : (
        <>
          <ServicesFilter machines={machines} machineId={machineId} state={state} />
          {rows.length === 0 ? (
            <p className="empty">Nothing here. Under State, choose “all” to see what comes later.</p>
          ) : (
            <table className="parts fold">
              <thead>
                <tr>
                  <th scope="col">Machine</th>
                  <th scope="col">Service</th>
                  <th scope="col">State</th>
                  <th scope="col">Reached about</th>
                  <th scope="col">Job</th>
                </tr>
              </thead>
              <tbody>
                {rows.slice(0, ROWS_SHOWN).map((row) => (
                  <Row key={`${row.scheduleId} ${row.machine.id}`} row={row} mayOpen={mayDo(who.roles, 'job.open')} />
                ))}
              </tbody>
            </table>
          )}
          {rows.length > ROWS_SHOWN ? (
            <p className="soft">
              {counted(rows.length - ROWS_SHOWN, 'more service')} not shown. Choose a machine or a state.
            </p>
          ) : null}
        </>
      )}
    </main>
  )
}

function Row({ row, mayOpen }: { row: ServiceOfMachine; mayOpen: boolean }) {
  const { machine, name, due, job } = row
  return (
    <tr>
      <td>
        <Link href={paths.machine(machine.id)} prefetch={false}>
          <span className="number">{machine.fleetNumber}</span> {machine.name}
        </Link>
      </td>
      <td className="wide">
        {name}
        <br />
        <span className="soft small">{fromSays(due)}</span>
      </td>
      <td className="wide">
        <ServiceState due={due} />
        {due.from === null ? null : (
          <>
            <br />
            <span className="soft small">{dueAtSays(due)}</span>
          </>
        )}
      </td>
      <td>{due.projectedOn === null ? '' : <When at={due.projectedOn} />}</td>
      <td>
        {job ? (
          <Link href={paths.job(job.id)} prefetch={false}>
            Job {job.number}
          </Link>
        ) : mayOpen ? (
          <Link
            className="button"
            href={paths.serviceOpen(machine.id)}
            prefetch={false}
            aria-label={`Open the service job of ${machine.fleetNumber}`}
          >
            Open
          </Link>
        ) : null}
      </td>
    </tr>
  )
}
