import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { type UnitAsked, unitsAsked } from '@/lib/db/old-unit-asked.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo, type Role } from '@/lib/people/role.ts'
import { KeepForm, NoneForm, type OffFrom } from './old-unit-forms.tsx'

/** Old units that are asked for: of one job where it stands on the job, else all of them. */
export async function OldUnitsAsked({ jobId, roles }: { jobId?: number; roles: readonly Role[] }) {
  const asked = await unitsAsked(jobId === undefined ? {} : { jobId })
  return <AskedList asked={asked} onJob={jobId !== undefined} roles={roles} />
}

/** Old units that are asked for where one part was taken without a job. */
export async function OldUnitsOfPart({ partId, roles }: { partId: number; roles: readonly Role[] }) {
  const asked = await unitsAsked({ partId })
  return <AskedList asked={asked.filter((one) => one.jobId === null)} onJob={false} roles={roles} />
}

function AskedList({ asked, onJob, roles }: { asked: UnitAsked[]; onJob: boolean; roles: readonly Role[] }) {
  if (asked.length === 0) return null
  return (
    <section className="sheet stack tight" aria-labelledby="old-units-asked">
      <h2 id="old-units-asked">Old unit kept for exchange?</h2>
      <p>The supplier charged a deposit on these until the old unit is back.</p>
      <ul className="plain-list stack">
        {asked.map((one) => (
          <Asked key={`${one.partId} ${one.jobId} ${one.machineId}`} one={one} onJob={onJob} roles={roles} />
        ))}
      </ul>
    </section>
  )
}

function Asked({ one, onJob, roles }: { one: UnitAsked; onJob: boolean; roles: readonly Role[] }) {
  const { partId, number, description, jobId, job, machineId, machine, pieces } = one
  const of: OffFrom = { partId, number, ...(jobId === null ? { machineId } : { jobId }) }
  return (
    <li className="stack tight">
      <p>
        <Link href={paths.part(partId)} className="number strong" prefetch={false}>
          {number}
        </Link>{' '}
        {description}: {counted(pieces, 'old unit')} not kept yet
        {onJob ? null : (
          <>
            <br />
            <span className="small">
              {machine}
              {jobId === null ? null : (
                <>
                  , <Link href={paths.job(jobId)}>job {job}</Link>
                </>
              )}
            </span>
          </>
        )}
      </p>
      {mayDo(roles, 'stock.issue') ? (
        <>
          <details>
            <summary className="button">
              Keep it<span className="visually-hidden">: the old unit for {number}</span>
            </summary>
            <KeepForm of={of} />
          </details>
          <NoneForm of={of} />
        </>
      ) : null}
    </li>
  )
}
