import Link from 'next/link'
import { Fragment } from 'react'
import { paths } from '@/app/paths.ts'

export interface WaitingJob {
  id: number
  number: number
}

/** The jobs that stand still for want of a part, each once: "job 214, job 216". */
export function WaitingJobs({ jobs }: { jobs: readonly WaitingJob[] }) {
  const each = [...new Map(jobs.map((job) => [job.id, job])).values()].sort((a, b) => a.number - b.number)
  return each.map((job, at) => (
    <Fragment key={job.id}>
      {at > 0 ? ', ' : ''}
      <Link href={paths.job(job.id)} prefetch={false}>
        job {job.number}
      </Link>
    </Fragment>
  ))
}
