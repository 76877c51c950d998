'use server'

import { action } from '@/app/_server/action.ts'
import { serviceTaskSet } from '@/lib/db/service-job.ts'
import { TaskInput } from '@/lib/service/schema.ts'

export const setTask = action({ right: 'job.work', schema: TaskInput, run: serviceTaskSet, kind: 'service.task' })
