'use server'

import { action } from '@/app/_server/action.ts'
import { testListSave } from '@/lib/db/figure-tests.ts'
import { TestListInput } from '@/lib/job/test-list.ts'
import { counted } from '@/lib/measure/counted.ts'

export const saveTests = action({
  right: 'catalogue.edit',
  schema: TestListInput,
  run: testListSave,
  then: ({ jobs }) => ({
    says: jobs === 0 ? 'Saved.' : `Saved, and on ${counted(jobs, 'open job')} too.`,
  }),
})
