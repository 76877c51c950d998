import Link from 'next/link'
import type { ReactNode } from 'react'
import { idOf } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { ruleBookNow } from '@/lib/db/companion-rule.ts'
import { serviceTasksOpen } from '@/lib/db/service-job.ts'
import { needRows } from '@/lib/job/need-rows.ts'
import { mayDo } from '@/lib/people/role.ts'
import { jobRead } from './job-read.ts'
import { JobSteps } from './job-steps.tsx'

/** Head and steps of a job, the same on each of its screens. */
export default async function JobFrame({
  children,
  params,
}: {
  children: ReactNode
  params: Promise<{ job: string }>
}) {
  const who = await signedIn()
  const job = await jobRead(idOf((await params).job))
  const tasksOpen = await serviceTasksOpen(job.id)
  const { known } = await ruleBookNow()
  const open = needRows(job.needs, known).filter((row) => row.state === 'open' && row.strength !== 'consider').length
  const wanted = job.needs.filter((need) => need.part && need.state === 'accepted' && need.taken < need.wanted)
  const toTake = new Set(wanted.map((need) => need.part!.id)).size
  const testsOpen = job.checks.filter((check) => check.kind === 'test' && check.state === 'open').length
  return (
    <main className="page stack" id="page">
      <div>
        <p className="small soft">
          <Link href={paths.machine(job.machine.id)}>
            {job.machine.fleetNumber} {job.machine.name}
          </Link>
          , {job.machine.model}
          {job.machine.serialNumber ? `, S/N ${job.machine.serialNumber}` : ', no serial number on file'}
        </p>
        <div className="row spread">
          <h1>
            Job {job.number}
            {job.state === 'closed' ? ', closed' : ''}
          </h1>
          {job.machine.state === 'unsafe' ? <span className="badge unsafe">Unsafe, do not use</span> : null}
        </div>
        <p>{job.complaint}</p>
      </div>
      <JobSteps
        steps={[
          { href: paths.job(job.id), says: 'Job', count: 0 },
          ...(tasksOpen === null ? [] : [{ href: paths.jobService(job.id), says: 'Service', count: tasksOpen }]),
          { href: paths.jobStrip(job.id), says: 'Strip', count: 0 },
          { href: paths.jobNeeded(job.id), says: 'Also needed', count: open },
          { href: paths.jobTake(job.id), says: 'Take', count: toTake },
          { href: paths.jobRebuild(job.id), says: 'Rebuild, test', count: testsOpen },
          { href: paths.jobClose(job.id), says: 'Service book', count: 0 },
        ]}
      />
      {job.state === 'open' && !mayDo(who.roles, 'job.work') ? <MayNot right="job.work" /> : null}
      {children}
    </main>
  )
}
