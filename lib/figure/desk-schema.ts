import { z } from 'zod'
import { DeskDraft } from './desk.ts'

const Id = z.coerce.number().int().positive()
/** Pages read in one go: the rest of a long book can be chosen afterwards. */
export const PAGES_AT_ONCE_MAX = 40

export const PagesInput = z.object({
  sourceId: z.string().regex(/^[0-9a-f]{64}$/),
  pages: z.preprocess((value) => (Array.isArray(value) ? value : value === undefined ? [] : [value]), z.array(Id)),
  figureId: Id.optional(),
})
export type PagesInput = z.infer<typeof PagesInput>

export const DraftInput = z.object({ draftId: Id })
export type DraftInput = z.infer<typeof DraftInput>

export const DraftSaveInput = z.object({ draftId: Id, version: z.number().int().min(0), draft: DeskDraft })
export type DraftSaveInput = z.infer<typeof DraftSaveInput>

export const DraftPublishInput = z.object({
  draftId: Id,
  version: z.coerce.number().int().min(0),
  /** Lines of the edition before whose part is superseded by the one that stands there now. */
  supersede: z.preprocess(
    (value) => (Array.isArray(value) ? value : value === undefined ? [] : [value]),
    z.array(Id).max(500),
  ),
})
export type DraftPublishInput = z.infer<typeof DraftPublishInput>
