'use server'

import { z } from 'zod'
import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import {
  draftDrop,
  draftPutBack,
  draftReadAgain,
  draftStop,
  draftsStart,
  type SourceBrought,
  sourceBring,
} from '@/lib/db/page-desk.ts'
import { draftPublish, draftRenews } from '@/lib/db/page-publish.ts'
import { readingAbort, readingsStart } from '@/lib/db/page-reading.ts'
import { DraftInput, DraftPublishInput, PagesInput } from '@/lib/figure/desk-schema.ts'
import { pageReader } from './_reader.ts'

const right = 'catalogue.import'
const FILES_MAX = 20
const NONE = 'choose a PDF or a picture, or take a photo'

const Brought = z.object({
  // Two fields of one name, one of them the camera's: the one that was not used sends an empty file.
  files: z
    .array(z.instanceof(File))
    .default([])
    .transform((files) => files.filter((file) => file.size > 0))
    .pipe(z.array(z.instanceof(File)).min(1, NONE).max(FILES_MAX, `at most ${FILES_MAX} files at once`)),
  figureId: z.coerce.number().int().positive().optional(),
})

/** Begins the readings and goes on: they run beside the requests. */
function readBeside(draftIds: readonly number[]): void {
  readingsStart(pageReader, draftIds).catch((error: unknown) => console.error('page reading', error))
}

export const bringPage = action({
  right,
  schema: Brought,
  kind: 'desk.bring',
  run: async (context, { files, figureId }) => {
    const brought: SourceBrought[] = []
    for (const [at, file] of files.entries()) {
      const bytes = new Uint8Array(await file.arrayBuffer())
      // Each file is a write of its own: what came in before a faulty one stays on the desk.
      const own = { ...context, key: `${context.key}:${at}` }
      brought.push(await sourceBring(own, pageReader, { bytes, name: file.name, figureId }))
      readBeside(brought.flatMap(({ draftId }) => (draftId === null ? [] : [draftId])))
    }
    return { brought, figureId }
  },
  then: ({ brought: [first, ...more], figureId }) => {
    if (!first || more.length > 0) return { redirect: paths.desk() }
    return {
      redirect:
        first.draftId === null ? paths.deskSource(first.sourceId, { figure: figureId }) : paths.draft(first.draftId),
    }
  },
})

export const readPages = action({
  right,
  schema: PagesInput,
  kind: 'desk.pages',
  run: async (context, input) => {
    const { draftIds } = await draftsStart(context, input)
    readBeside(draftIds)
    return draftIds
  },
  then: ([only, ...more]) => ({ redirect: only === undefined || more.length > 0 ? paths.desk() : paths.draft(only) }),
})

export const readAgain = action({
  right,
  schema: DraftInput,
  kind: 'desk.read-again',
  run: async (context, input) => {
    const { draftId } = await draftReadAgain(context, input)
    readBeside([draftId])
    return draftId
  },
  then: (draftId) => ({ redirect: paths.draft(draftId) }),
})

export const stopReading = action({
  right,
  schema: DraftInput,
  kind: 'desk.stop',
  run: async (context, input) => {
    const { draftId } = await draftStop(context, input)
    readingAbort(draftId)
    return draftId
  },
  then: () => ({ says: 'The reading was stopped. The page stays on the desk.' }),
})

export const dropPage = action({
  right,
  schema: DraftInput,
  kind: 'desk.drop',
  run: async (context, input) => {
    const { draftId } = await draftDrop(context, input)
    readingAbort(draftId)
    return draftId
  },
  then: () => ({ redirect: paths.desk() }),
})

export const putBackPage = action({
  right,
  schema: DraftInput,
  kind: 'desk.put-back',
  run: async (context, input) => {
    const { draftId, read } = await draftPutBack(context, input)
    if (!read) readBeside([draftId])
    return draftId
  },
  then: (draftId) => ({ redirect: paths.draft(draftId) }),
})

export const renewFigure = action({
  right,
  schema: z.object({ draftId: z.coerce.number().int().positive(), figureId: z.coerce.number().int().positive() }),
  kind: 'desk.renews',
  run: draftRenews,
  then: ({ draftId }) => ({ redirect: paths.draftPublish(draftId) }),
})

export const publishPage = action({
  right,
  schema: DraftPublishInput,
  kind: 'desk.publish',
  run: draftPublish,
  then: ({ modelId, figureId }) => ({ redirect: paths.figure(modelId, figureId) }),
})
