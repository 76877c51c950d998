import Link from 'next/link'
import { ServiceState } from '@/app/_parts/service-state.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { servicesOf } from '@/lib/db/service-due.ts'
import { mayDo } from '@/lib/people/role.ts'
import { dueAtSays, everySays, fromSays } from '@/lib/service/due-text.ts'

/** The services of one machine: where each stands, why, and the way to its job. */
export async function MachineServices({ machineId, modelId }: { machineId: number; modelId: number }) {
  const who = await signedIn()
  const list = await servicesOf(todayIs(), machineId)
  const isFree = list.some((one) => one.job === null)
  return (
    <section className="stack tight" aria-labelledby="services">
      <h2 id="services">Services</h2>
      {list.length === 0 ? (
        <p className="soft">
          No service is planned for this model. <Link href={paths.modelServices(modelId)}>Plan its services</Link>
        </p>
      ) : (
        <ul className="plain-list stack tight">
          {list.map(({ scheduleId, name, every, due, job }) => (
            <li key={scheduleId}>
              <span className="strong">{name}</span>{' '}
              {job ? <Link href={paths.job(job.id)}>job {job.number} is at it</Link> : <ServiceState due={due} />}
              <br />
              <span className="soft small">
                {everySays(every)}
                {due.from === null ? '' : `; due ${dueAtSays(due)}`}; {fromSays(due)}
              </span>
            </li>
          ))}
        </ul>
      )}
      {isFree && mayDo(who.roles, 'job.open') ? (
        <p>
          <Link className="button" href={paths.serviceOpen(machineId)} prefetch={false}>
            Open the service job
          </Link>
        </p>
      ) : null}
    </section>
  )
}
