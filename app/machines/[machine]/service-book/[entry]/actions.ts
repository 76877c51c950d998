'use server'

import { action } from '@/app/_server/action.ts'
import { entryCorrect } from '@/lib/db/job-close.ts'
import { CorrectionInput } from '@/lib/job/schema.ts'
import { settingsRead } from '@/lib/settings.ts'

export const correct = action({
  right: 'service-book.correct',
  schema: CorrectionInput,
  run: (context, input) => entryCorrect(context, input, settingsRead().currency),
  then: () => ({ says: 'The correction is in the service book.' }),
})
