'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { serviceJobOpen } from '@/lib/db/service-job.ts'
import { ServiceJobInput } from '@/lib/service/schema.ts'

export const openServiceJob = action({
  right: 'job.open',
  schema: ServiceJobInput,
  run: serviceJobOpen,
  kind: 'service.job',
  then: ({ jobId }) => ({ redirect: paths.jobService(jobId) }),
})
