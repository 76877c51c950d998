'use server'

import { z } from 'zod'
import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import {
  jobCheckSet,
  jobTargetRemove,
  jobWorkDone,
  needAdd,
  needDecide,
  needReplace,
  needsAccept,
} from '@/lib/db/job.ts'
import { jobClose } from '@/lib/db/job-close.ts'
import { jobPutBack, jobTake } from '@/lib/db/job-parts.ts'
import {
  AcceptManyInput,
  CheckInput,
  CloseInput,
  DecideForm,
  NeedAddForm,
  NeedReplaceInput,
  PutBackForm,
  TakeForm,
  TargetRemoveInput,
  WorkDoneInput,
} from '@/lib/job/schema.ts'
import { settingsRead } from '@/lib/settings.ts'

export const removeTarget = action({ right: 'job.work', schema: TargetRemoveInput, run: jobTargetRemove })
export const decide = action({ right: 'job.work', schema: DecideForm, run: needDecide })
export const acceptMany = action({
  right: 'job.work',
  schema: AcceptManyInput,
  run: needsAccept,
  then: ({ accepted }) => ({ says: `${accepted} accepted.` }),
})
export const addNeed = action({
  right: 'job.work',
  schema: NeedAddForm,
  run: needAdd,
  then: () => ({ says: 'Added to the job.' }),
})
export const replaceNeed = action({ right: 'job.work', schema: NeedReplaceInput, run: needReplace })
export const take = action({
  right: 'stock.issue',
  schema: TakeForm,
  run: jobTake,
  then: ({ movements }) => ({ says: movements.length === 1 ? 'Taken.' : `${movements.length} lines taken.` }),
})
export const putBack = action({
  right: 'stock.issue',
  schema: PutBackForm,
  run: jobPutBack,
  then: () => ({ says: 'Put back.' }),
})
export const setCheck = action({ right: 'job.work', schema: CheckInput, run: jobCheckSet })
export const keepWork = action({
  right: 'job.work',
  schema: WorkDoneInput,
  run: jobWorkDone,
  then: () => ({ says: 'Kept.' }),
})
export const close = action({
  right: 'job.close',
  schema: CloseInput.extend({ machineId: z.coerce.number().int().positive() }),
  run: (context, { machineId: _, ...input }) => jobClose(context, input, settingsRead().currency),
  then: ({ entryId }, { machineId }) => ({ redirect: paths.serviceBookEntry(machineId, entryId) }),
})
