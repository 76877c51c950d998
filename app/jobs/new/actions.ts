'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { jobOpen } from '@/lib/db/job.ts'
import { JobOpenInput } from '@/lib/job/schema.ts'

export const openJob = action({
  right: 'job.open',
  schema: JobOpenInput,
  run: jobOpen,
  then: ({ jobId }, input) => ({ redirect: input.lineId === undefined ? paths.job(jobId) : paths.jobNeeded(jobId) }),
})
