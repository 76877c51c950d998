'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { jobTarget } from '@/lib/db/job.ts'
import { TargetInput } from '@/lib/job/schema.ts'

export const addTarget = action({
  right: 'job.work',
  schema: TargetInput,
  run: jobTarget,
  then: ({ jobId }) => ({ redirect: paths.jobNeeded(jobId) }),
})
