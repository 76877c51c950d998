import { z } from 'zod'
import { STOCK_UNITS } from '../measure/quantity.ts'
import { Id } from '../stock/schema.ts'
import { PART_CLASSES } from './part-class.ts'
import { partNumberKey } from './part-number.ts'

export const CRITICALITIES = ['vital', 'essential', 'desirable'] as const
export const INTERCHANGES = ['one-way', 'both-ways'] as const

const Words = (max: number, missing: string) => z.string({ error: missing }).trim().min(1, missing).max(max)
const PartNumber = Words(60, 'enter the part number').refine(
  (text) => partNumberKey(text) !== '',
  'a part number has a letter or a digit',
)
const Maker = Words(80, 'enter the maker').refine(
  (text) => partNumberKey(text) !== '',
  'a maker has a letter or a digit',
)
const Interchange = z.enum(INTERCHANGES)
const Ratio = z.coerce
  .number<number>({ error: 'enter a whole number' })
  .int('enter a whole number')
  .min(1, 'at least one new for one old')
  .max(1000)

/** Another part, as a person writes it down: number, and maker where several makers use that number. */
const TypedPart = { number: PartNumber, maker: z.string().trim().max(80).optional() }

const PartFields = {
  maker: Maker,
  number: PartNumber,
  description: Words(200, 'say what it is'),
  partClass: z.enum(PART_CLASSES),
  unit: z.enum(STOCK_UNITS),
  /** By what stands still without it, not by price. */
  criticality: z.enum(CRITICALITIES),
}
export const PartNewInput = z.object(PartFields)
export type PartNewInput = z.infer<typeof PartNewInput>

export const PartChangeInput = z.object({ partId: Id, ...PartFields })
export type PartChangeInput = z.infer<typeof PartChangeInput>

export const DiscontinueInput = z.object({
  partId: Id,
  on: z.iso.date('enter the date it was said'),
  note: Words(300, 'say who says so, and what they offer instead if anything'),
})
export type DiscontinueInput = z.infer<typeof DiscontinueInput>

export const ContinueInput = z.object({ partId: Id })

export const SupersedeForm = z.object({
  partId: Id,
  ...TypedPart,
  ratio: Ratio,
  interchange: Interchange,
  note: z.string().trim().max(300).optional(),
})
export type SupersedeForm = z.infer<typeof SupersedeForm>

export const SupersessionChangeInput = z.object({
  linkId: Id,
  ratio: Ratio,
  interchange: Interchange,
  note: z.string().trim().max(300).optional(),
})
export type SupersessionChangeInput = z.infer<typeof SupersessionChangeInput>

export const SupersessionRemoveInput = z.object({ linkId: Id })

export const AlternativeForm = z.object({
  partId: Id,
  ...TypedPart,
  interchange: Interchange,
  reason: Words(300, 'say why it does the same work, and by what list or whose word'),
})
export type AlternativeForm = z.infer<typeof AlternativeForm>

export const AlternativeWithdrawInput = z.object({ alternativeId: Id })

export const AlternativeUseInput = z.object({ jobId: Id, needId: Id, alternativeId: Id })
export type AlternativeUseInput = z.infer<typeof AlternativeUseInput>

export const KitContentForm = z.object({ kitId: Id, ...TypedPart, quantity: Words(20, 'enter how many') })
export type KitContentForm = z.infer<typeof KitContentForm>

export const KitContentRemoveInput = z.object({ kitId: Id, contentId: Id })

export const NoteInput = z.object({ partId: Id, text: Words(2000, 'write a few words') })
export type NoteInput = z.infer<typeof NoteInput>

export const NoteRemoveInput = z.object({ noteId: Id })

export const FigureAttachInput = z.object({
  modelId: Id,
  figureId: Id,
  number: Words(20, 'enter its number in this book'),
})
export type FigureAttachInput = z.infer<typeof FigureAttachInput>
