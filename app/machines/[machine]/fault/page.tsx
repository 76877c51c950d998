import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { type PageQuery, queryText } from '@/app/_parts/query.ts'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { faultLikely, type LikelyFault } from '@/lib/db/fault.ts'
import { mayDo } from '@/lib/people/role.ts'

export const metadata = { title: 'What may it be' }

type Props = { params: Promise<{ machine: string }>; searchParams: PageQuery }

/** From what the driver told to the callouts that were at fault before, with the jobs that say so. */
export default async function FaultPage({ params, searchParams }: Props) {
  const who = await signedIn()
  const said = queryText((await searchParams).said)
  const { machine, likely, isKnown } = await found(faultLikely(idOf((await params).machine), said))
  const mayOpen = mayDo(who.roles, 'job.open')
  return (
    <main className="page narrow stack" id="page">
      <header className="page-head">
        <div>
          <p className="over">
            <Link href={paths.machine(machine.id)} prefetch={false}>
              <span className="number">{machine.fleetNumber}</span> {machine.name}
            </Link>
            , {machine.model}
          </p>
          <h1>What may it be</h1>
        </div>
      </header>
      <form action={paths.machineFault(machine.id)} className="row end">
        <div className="field">
          <label htmlFor="said">Complaint</label>
          <input id="said" name="said" type="search" defaultValue={said} maxLength={200} size={36} />
        </div>
        <button type="submit" className="button primary">
          Look in past jobs
        </button>
      </form>
      {said === '' ? (
        <p className="empty">Say what the driver told: brake drags, squeals at start, drips oil under the gearbox.</p>
      ) : likely.length === 0 ? (
        <p className="empty">
          No past job on this model tells of that yet, and nothing in its parts book is called so. Look through the{' '}
          <Link href={paths.model(machine.modelId)}>figures</Link>, or{' '}
          <Link href={paths.jobNew({ machine: machine.id, complaint: said })}>log the repair</Link> and find it on the
          strip-down.
        </p>
      ) : (
        <>
          <p role="status">
            {isKnown
              ? 'Most likely first, from past jobs on this and like models. Look before you order: it is a hint, not a finding.'
              : 'No past job tells of that. This is what was at fault most often on this model.'}
          </p>
          <ol className="plain-list stack">
            {likely.map((one) => (
              <LikelyItem key={one.key} one={one} machine={machine} said={said} mayOpen={mayOpen} />
            ))}
          </ol>
          {mayOpen ? (
            <p>
              None of these?{' '}
              <Link href={paths.jobNew({ machine: machine.id, complaint: said })} prefetch={false}>
                Log the repair without a part
              </Link>
            </p>
          ) : null}
        </>
      )}
    </main>
  )
}

function LikelyItem(props: {
  one: LikelyFault
  machine: { id: number; modelId: number }
  said: string
  mayOpen: boolean
}) {
  const { one, machine, said, mayOpen } = props
  return (
    <li className="sheet stack tight">
      <p>
        <span className="callout">{one.item}</span>{' '}
        <Link
          href={paths.figure(machine.modelId, one.figureId, { machine: machine.id, item: one.item })}
          prefetch={false}
        >
          {one.description}
        </Link>{' '}
        <span className="soft">on figure {one.figure}</span>
      </p>
      <p className="small">
        {one.because.length > 0 ? `Speaks for it: ${one.because.join(', ')}. ` : ''}
        {one.found === 0
          ? 'No past job opened it; its name or its kind of part says so.'
          : one.found === 1
            ? 'At fault on one past job.'
            : `At fault on ${one.found} past jobs.`}
      </p>
      {one.jobs.length > 0 ? (
        <ul className="plain-list small">
          {one.jobs.map((job) => (
            <li key={job.id}>
              <Link href={paths.job(job.id)} prefetch={false}>
                Job {job.number}
              </Link>
              , {job.machine}
              {job.closedAt ? (
                <>
                  , <When at={job.closedAt} />
                </>
              ) : null}
              : “{job.complaint}”{job.correction ? ` ${job.correction}` : ''}
            </li>
          ))}
        </ul>
      ) : null}
      {mayOpen ? (
        <p>
          <Link
            className="button"
            href={paths.jobNew({
              machine: machine.id,
              model: machine.modelId,
              figure: one.figureId,
              line: one.lineId,
              complaint: said,
            })}
            prefetch={false}
          >
            Log a repair with this part<span className="visually-hidden">: {one.description}</span>
          </Link>
        </p>
      ) : null}
    </li>
  )
}
