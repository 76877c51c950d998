'use server'

import { z } from 'zod'
import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import {
  AlternativeForm,
  AlternativeWithdrawInput,
  ContinueInput,
  DiscontinueInput,
  KitContentForm,
  KitContentRemoveInput,
  NoteInput,
  NoteRemoveInput,
  PartChangeInput,
  PartNewInput,
  SupersedeForm,
  SupersessionChangeInput,
  SupersessionRemoveInput,
} from '@/lib/catalogue/schema.ts'
import { alternativeApprove, alternativeWithdraw } from '@/lib/db/alternative.ts'
import { kitContentRemove, kitContentSet } from '@/lib/db/kit.ts'
import { partChange, partContinue, partCreate, partDiscontinue } from '@/lib/db/part-edit.ts'
import { noteAdd, noteFileAdd, noteRemove } from '@/lib/db/part-note.ts'
import { stockSetLevel } from '@/lib/db/stock.ts'
import { supersede, supersessionChange, supersessionRemove } from '@/lib/db/supersession.ts'
import { LevelForm } from '@/lib/stock/schema.ts'

const right = 'catalogue.edit'

export const setLevel = action({
  right: 'stock.level',
  schema: LevelForm,
  run: stockSetLevel,
  then: () => ({ says: 'The level is kept.' }),
})

const toCard = ({ partId }: { partId: number }) => ({ redirect: paths.part(partId) })

export const newPart = action({ right, schema: PartNewInput, run: partCreate, then: toCard })
export const changePart = action({ right, schema: PartChangeInput, run: partChange, then: toCard })
export const discontinue = action({
  right,
  schema: DiscontinueInput,
  run: partDiscontinue,
  then: () => ({ says: 'Marked: it is never proposed for an order again.' }),
})
export const takeUpAgain = action({
  right,
  schema: ContinueInput,
  run: partContinue,
  then: () => ({ says: 'The mark is off.' }),
})

export const replaceBy = action({
  right,
  schema: SupersedeForm,
  run: supersede,
  then: () => ({ says: 'Kept. The order list follows it from now on.' }),
})
export const changeLink = action({
  right,
  schema: SupersessionChangeInput,
  run: supersessionChange,
  then: () => ({ says: 'Changed.' }),
})
export const removeLink = action({ right, schema: SupersessionRemoveInput, run: supersessionRemove })

export const approveAlternative = action({
  right,
  schema: AlternativeForm,
  run: alternativeApprove,
  then: () => ({ says: 'Approved, under your name.' }),
})
export const withdrawAlternative = action({ right, schema: AlternativeWithdrawInput, run: alternativeWithdraw })

export const setKitContent = action({
  right,
  schema: KitContentForm,
  run: kitContentSet,
  then: () => ({ says: 'Kept.' }),
})
export const removeKitContent = action({ right, schema: KitContentRemoveInput, run: kitContentRemove })

export const addNote = action({
  right: 'catalogue.note',
  schema: NoteInput,
  run: noteAdd,
  then: () => ({ says: 'Kept.' }),
})
const NoteFile = NoteInput.extend({ file: z.instanceof(File, { error: 'choose a picture or a PDF' }) })
export const addNoteFile = action({
  right: 'catalogue.note',
  schema: NoteFile,
  kind: 'catalogue.note-file',
  run: async (context, { file, ...note }) =>
    noteFileAdd(context, {
      ...note,
      sent: { bytes: new Uint8Array(await file.arrayBuffer()), name: file.name, mediaType: file.type },
    }),
  then: () => ({ says: 'Kept.' }),
})
export const removeNote = action({ right: 'catalogue.note', schema: NoteRemoveInput, run: noteRemove })
