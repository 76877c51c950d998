'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { AlternativeUseInput } from '@/lib/catalogue/schema.ts'
import { alternativeUse } from '@/lib/db/alternative.ts'
import { jobTargetRemove, jobWorkDone, needAdd, needReplace } from '@/lib/db/job.ts'
import { jobCheckSet } from '@/lib/db/job-check.ts'
import { needChoose } from '@/lib/db/job-choose.ts'
import { jobClose } from '@/lib/db/job-close.ts'
import { needsAccept, rowDecide } from '@/lib/db/job-decide.ts'
import { jobKitChoose, jobKitUndo } from '@/lib/db/job-kit.ts'
import { jobPutBack, jobTake } from '@/lib/db/job-parts.ts'
import {
  AcceptManyInput,
  CheckInput,
  KitChooseInput,
  KitUndoInput,
  NeedAddForm,
  NeedReplaceInput,
  PutBackForm,
  RowDecideForm,
  TakeForm,
  TargetRemoveInput,
  WorkDoneForm,
} from '@/lib/job/schema.ts'
import { counted } from '@/lib/measure/counted.ts'
import { settingsRead } from '@/lib/settings.ts'

export const removeTarget = action({ right: 'job.work', schema: TargetRemoveInput, run: jobTargetRemove })
export const decide = action({ right: 'job.work', schema: RowDecideForm, run: rowDecide })
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
export const chooseKit = action({ right: 'job.work', schema: KitChooseInput, run: jobKitChoose })
export const undoKit = action({ right: 'job.work', schema: KitUndoInput, run: jobKitUndo })
export const replaceNeed = action({ right: 'job.work', schema: NeedReplaceInput, run: needReplace })
export const chooseNeed = action({
  right: 'job.work',
  schema: NeedReplaceInput,
  run: needChoose,
  then: (_, { jobId }) => ({ redirect: paths.jobNeeded(jobId) }),
})
export const standIn = action({
  right: 'stock.issue',
  schema: AlternativeUseInput,
  run: alternativeUse,
  kind: 'job.use-alternative',
  then: () => ({ says: 'On the pick list in its place.' }),
})
export const take = action({
  right: 'stock.issue',
  schema: TakeForm,
  run: jobTake,
  then: ({ movements }) => ({
    says: movements.length === 1 ? 'Taken.' : `${counted(movements.length, 'line')} taken.`,
  }),
})
export const putBack = action({
  right: 'stock.issue',
  schema: PutBackForm,
  run: jobPutBack,
  then: () => ({ says: 'Put back.' }),
})
export const setCheck = action({ right: 'job.work', schema: CheckInput, run: jobCheckSet })
/**
 * Keep and close are two buttons of one form, and so one action: each answered sending gives the form a new key, and a
 * refusal of either keeps what was typed.
 */
export const workDone = action({
  right: 'job.close',
  schema: WorkDoneForm,
  run: async (context, { machineId, intent, ...input }) => {
    if (intent === 'keep') {
      await jobWorkDone(context, input)
      return null
    }
    // Kept first: a closing that is refused sends the person to another screen, and what was typed must be there afterwards.
    await jobWorkDone({ ...context, key: `${context.key}:keep` }, input)
    const { entryId } = await jobClose(context, input, settingsRead().currency)
    return { machineId, entryId }
  },
  then: (entry) =>
    entry
      ? { redirect: paths.serviceBookEntry(entry.machineId, entry.entryId) }
      : { says: 'Kept; the job stays open.' },
})
