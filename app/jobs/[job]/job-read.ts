import { redirect } from 'next/navigation'
import { cache } from 'react'
import { found } from '@/app/_parts/found.ts'
import { paths } from '@/app/paths.ts'
import { jobView } from '@/lib/db/job-read.ts'

/** The job, read once for the frame and the screen in it. One that was put into a service goes on there. */
export const jobRead = cache(async (jobId: number) => {
  const job = await found(jobView(jobId))
  if (job.joinedToId !== null) redirect(paths.job(job.joinedToId))
  return job
})
