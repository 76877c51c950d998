import Link from 'next/link'
import { Cautions } from '@/app/_parts/cautions.tsx'
import { idOf } from '@/app/_parts/found.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { jobService } from '@/lib/db/service-job.ts'
import { mayDo } from '@/lib/people/role.ts'
import { jobRead } from '../job-read.ts'
import { TaskList } from './task-list.tsx'

export const metadata = { title: 'Service' }

/** What the service asks to look at and to do, beside what it renews in any case. */
export default async function JobServicePage({ params }: { params: Promise<{ job: string }> }) {
  const who = await signedIn()
  const job = await jobRead(idOf((await params).job))
  const service = await jobService(job.id)
  if (service === null)
    return (
      <p className="empty">
        This job carries out no planned service. What is due is listed under{' '}
        <Link href={paths.services()}>Services due</Link>.
      </p>
    )
  const mayWork = job.state === 'open' && mayDo(who.roles, 'job.work')
  const looks = service.tasks.filter((task) => task.kind === 'look')
  const acts = service.tasks.filter((task) => task.kind === 'act')
  const list = { jobId: job.id, modelId: job.machine.modelId, mayWork }
  return (
    <>
      <Cautions jobId={job.id} stages={['before', 'strip']} />
      <div className="row spread">
        <h2>{service.names.join(', ')}</h2>
        <Link href={paths.printService(job.id)} prefetch={false}>
          Print the service sheet
        </Link>
      </div>
      <p className="soft">
        What is renewed in any case is on the job already:{' '}
        <Link href={job.targets.length > 0 ? paths.jobNeeded(job.id) : paths.jobTake(job.id)}>see what it needs</Link>.
        Where the maker’s manual says otherwise, it rules.
      </p>
      {looks.length > 0 ? (
        <section className="stack tight" aria-labelledby="looks">
          <h3 id="looks">Look at, renew on condition</h3>
          <TaskList {...list} tasks={looks} />
        </section>
      ) : null}
      {acts.length > 0 ? (
        <section className="stack tight" aria-labelledby="acts">
          <h3 id="acts">Check, adjust, grease</h3>
          <TaskList {...list} tasks={acts} />
        </section>
      ) : null}
      {service.leftOut.length > 0 ? (
        <section className="stack tight" aria-labelledby="left-out">
          <h3 id="left-out">Left out: this machine does not have it</h3>
          <ul className="plain-list stack tight">
            {service.leftOut.map(({ text, why }) => (
              <li key={text}>
                <span className="strong">{text}</span> - {why}
              </li>
            ))}
          </ul>
          <p className="soft">
            Check the serial number against the plate on the machine: one that was written down wrong leaves out the
            wrong things.
          </p>
        </section>
      ) : null}
    </>
  )
}
