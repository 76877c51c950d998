'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { AlternativeUseInput } from '@/lib/catalogue/schema.ts'
import { alternativeUse } from '@/lib/db/alternative.ts'
import { jobTargetRemove, needAdd, needReplace } from '@/lib/db/job.ts'
import { jobCheckSet, jobMeasure } from '@/lib/db/job-check.ts'
import { needChoose } from '@/lib/db/job-choose.ts'
import { jobClose } from '@/lib/db/job-close.ts'
import { needsAccept, rowDecide } from '@/lib/db/job-decide.ts'
import { foundAdd, otherSideAdd } from '@/lib/db/job-found.ts'
import { jobLabourSet, jobNoteAdd } from '@/lib/db/job-hand-over.ts'
import { jobWhenSet, keptMove } from '@/lib/db/job-kept.ts'
import { jobKitChoose, jobKitUndo } from '@/lib/db/job-kit.ts'
import { jobPutBack, jobTake } from '@/lib/db/job-parts.ts'
import { jobPhotoAdd, jobPhotoRemove } from '@/lib/db/job-photo.ts'
import { needTakeOff } from '@/lib/db/job-take-off.ts'
import { jobWorkDone, keepKey } from '@/lib/db/job-words.ts'
import { secretConfirm } from '@/lib/db/secret-confirm.ts'
import {
  FoundInput,
  JobNoteInput,
  JobWhenInput,
  KeptMoveInput,
  LabourInput,
  MeasureInput,
  OtherSideInput,
  PhotoForm,
  PhotoRemoveInput,
} from '@/lib/job/flow-schema.ts'
import {
  AcceptManyInput,
  CheckInput,
  KitChooseInput,
  KitUndoInput,
  NeedAddForm,
  NeedReplaceInput,
  NeedTakeOffInput,
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
export const takeOffNeed = action({ right: 'job.work', schema: NeedTakeOffInput, run: needTakeOff })
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
export const setWhen = action({
  right: 'job.work',
  schema: JobWhenInput,
  run: jobWhenSet,
  then: () => ({ says: 'Kept: the shelf goes by it.' }),
})
export const moveKept = action({
  right: 'stock.issue',
  schema: KeptMoveInput,
  run: keptMove,
  then: ({ from }) => ({ says: `On this pick list now; job ${from} can read it in its notes.` }),
})
export const setCheck = action({ right: 'job.work', schema: CheckInput, run: jobCheckSet })
export const measureSet = action({
  right: 'job.work',
  schema: MeasureInput,
  run: jobMeasure,
  then: ({ says }) => ({ says }),
})
export const addPhoto = action({
  right: 'job.work',
  schema: PhotoForm,
  kind: 'job.photo',
  run: async (context, { file, ...place }) =>
    jobPhotoAdd(context, {
      ...place,
      sent: { bytes: new Uint8Array(await file.arrayBuffer()), name: file.name, mediaType: file.type },
    }),
  then: () => ({ says: 'Photo kept.' }),
})
export const removePhoto = action({ right: 'job.work', schema: PhotoRemoveInput, run: jobPhotoRemove })
export const addNote = action({
  right: 'job.work',
  schema: JobNoteInput,
  run: jobNoteAdd,
  then: () => ({ says: 'Kept.' }),
})
export const setLabour = action({
  right: 'job.work',
  schema: LabourInput,
  run: jobLabourSet,
  then: ({ labourMinutes }) => ({ says: `Kept; the job has ${labourMinutes} min.` }),
})
export const addOtherSide = action({ right: 'job.work', schema: OtherSideInput, run: otherSideAdd })
export const addFound = action({
  right: 'job.work',
  schema: FoundInput,
  run: foundAdd,
  then: ({ number, isOwn }) => ({ says: isOwn ? `Job ${number} is open for it.` : 'On this job now.' }),
})
/**
 * Keep and close are two buttons of one form, and so one action: each answered sending gives the form a new key, and a
 * refusal of either keeps what was typed.
 */
export const workDone = action({
  right: 'job.close',
  schema: WorkDoneForm,
  run: async (context, { machineId, intent, secret, ...input }) => {
    if (intent === 'keep') {
      await jobWorkDone(context, input)
      return null
    }
    // Kept first: a closing that is refused sends the person to another screen, and what was typed must be there afterwards.
    await jobWorkDone({ ...context, key: keepKey(context.key, input) }, input)
    const signature = secret ? await secretConfirm(context.personId, secret, context.now) : null
    const { entryId } = await jobClose(context, input, settingsRead().currency, signature)
    return { machineId, entryId }
  },
  then: (entry) =>
    entry
      ? { redirect: paths.serviceBookEntry(entry.machineId, entry.entryId) }
      : { says: 'Kept; the job stays open.' },
})
