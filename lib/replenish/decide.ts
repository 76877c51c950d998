import { z } from 'zod'
import { PART_CLASSES } from '../catalogue/part-class.ts'

/** Which of the proposed changes are looked at: those that keep more, those that keep less, first levels. */
export const LEVEL_WAYS = {
  all: 'All changes',
  rise: 'More is kept',
  fall: 'Less is kept',
  new: 'First levels',
} as const
export type LevelWay = keyof typeof LEVEL_WAYS

export const LevelQuestion = z.object({
  way: z.enum(['all', 'rise', 'fall', 'new']).catch('all'),
  partClass: z.enum(PART_CLASSES).nullable().catch(null),
})
export type LevelQuestion = z.infer<typeof LevelQuestion>

/** Parts that stand on one page of the list. */
export const LEVEL_PAGE = 100

const Id = z.coerce.number<number>().int().positive()

/** A yes or a no to proposed levels: to those that are ticked, each as it was seen, or to all that answer the question. */
export const LevelDecision = z
  .object({
    decision: z.enum(['confirm', 'refuse']),
    all: z.boolean(),
    question: LevelQuestion,
    runId: Id,
    parts: z.array(z.object({ partId: Id, seen: z.string().max(60) })).max(LEVEL_PAGE),
    reason: z.string().trim().max(200),
  })
  .superRefine(({ decision, all, parts, reason }, context) => {
    if (!all && parts.length === 0)
      context.addIssue({ code: 'custom', path: ['all'], message: 'tick a part, or all of the list' })
    if (decision === 'refuse' && reason.length < 3)
      context.addIssue({ code: 'custom', path: ['reason'], message: 'say why not, in a few words' })
  })
export type LevelDecision = z.infer<typeof LevelDecision>

const TICKED = /^part\.(\d{1,15})$/

/** The list as its form sends it: `part.ID` holds the levels that were seen, for each one that is ticked. */
export const LevelDecisionForm = z.preprocess((sent) => {
  const form = sent as Record<string, unknown>
  return {
    decision: form.decision,
    all: form.all !== undefined,
    question: { way: form.way, partClass: form.partClass ?? null },
    runId: form.runId,
    parts: Object.entries(form).flatMap(([name, seen]) => {
      const id = TICKED.exec(name)?.[1]
      return id === undefined ? [] : [{ partId: Number(id), seen }]
    }),
    reason: form.reason ?? '',
  }
}, LevelDecision)

/** How the levels of a row are named between list and form. */
export const levelsSeen = ({ reorderPoint, orderUpTo }: { reorderPoint: number; orderUpTo: number }): string =>
  `${reorderPoint}/${orderUpTo}`

export const LevelHoldInput = z.object({
  partId: Id,
  untilOn: z.iso.date('enter a day'),
  reason: z.string().trim().min(3, 'say why, in a few words').max(200),
})
export type LevelHoldInput = z.infer<typeof LevelHoldInput>

export const LevelHoldLiftInput = z.object({ partId: Id })
