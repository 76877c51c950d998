import { z } from 'zod'
import { LABELS_OF } from './label-code.ts'
import { LABEL_SYMBOLS } from './label-layout.ts'
import { labelSheet, labelsAPage } from './label-sheet.ts'

const id = z.coerce.number().int().min(1).max(999_999_999_999_999)
const shift = z.coerce.number().min(-10).max(10).catch(0)

/** What an address asks to have printed: what cannot be read counts as not said, since a printed address may be old. */
export const LabelAsked = z.object({
  of: z.enum(LABELS_OF).catch('bin'),
  /** "3,14,15" */
  ids: z
    .string()
    .max(12_000)
    .catch('')
    .transform((text) => [...new Set(text.split(',').flatMap((one) => id.safeParse(one).data ?? []))]),
  store: id.nullable().catch(null),
  order: id.nullable().catch(null),
  sheet: z.string().catch('').transform(labelSheet),
  symbol: z.enum(LABEL_SYMBOLS).catch('qr'),
  from: z.coerce.number().int().min(1).catch(1),
  copies: z.coerce.number().int().min(1).max(50).catch(1),
  right: shift,
  down: shift,
})

export type LabelAsked = z.output<typeof LabelAsked>

export function labelAsked(query: Record<string, unknown>): LabelAsked {
  const asked = LabelAsked.parse(query)
  return { ...asked, from: Math.min(asked.from, labelsAPage(asked.sheet)) }
}
