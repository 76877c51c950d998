import { cache } from 'react'
import { found } from '@/app/_parts/found.ts'
import { jobView } from '@/lib/db/job-read.ts'

/** The job, read once for the frame and the screen in it. */
export const jobRead = cache((jobId: number) => found(jobView(jobId)))
