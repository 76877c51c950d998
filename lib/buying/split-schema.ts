import { z } from 'zod'
import { Id, quantityTyped } from '../stock/schema.ts'
import { DraftAsked } from './draft-schema.ts'
import { fieldsOf } from './schema.ts'

const Quantity = z.number().int().min(0).max(1_000_000_000)

export const DraftSplitInput = DraftAsked.extend({
  /** Who gets what moves; the draft's own supplier for a second draft. */
  supplierId: Id,
  lines: z.array(z.object({ partId: Id, quantity: Quantity })).max(1000),
})
export type DraftSplitInput = z.infer<typeof DraftSplitInput>

export const OrderSplitInput = z.object({
  orderId: Id,
  supplierId: Id,
  why: z.string().trim().min(2, 'say why it is taken back').max(200),
  /** `due` is what the person saw as due. */
  lines: z.array(z.object({ partId: Id, quantity: Quantity, due: Quantity })).max(1000),
})
export type OrderSplitInput = z.infer<typeof OrderSplitInput>

const Chosen = z.union([z.string(), z.array(z.string())]).default([])

/** Ticked lines of `quantity.<part>.<unit>`, typed in the stock unit; `due.<part>.<unit>` in minor units beside them. */
function chosenLines(chosen: string | string[], fields: Record<string, unknown>, context: z.RefinementCtx) {
  const ticked = new Set([chosen].flat())
  const due = new Map(fieldsOf(fields, 'due').map(({ id, text }) => [id, Number(text)]))
  return fieldsOf(fields, 'quantity')
    .filter(({ id }) => ticked.has(String(id)))
    .map(({ name, id, unit, text }) => ({
      partId: id,
      quantity: text.trim() === '' ? 0 : quantityTyped(text, unit, name, context),
      due: due.get(id) ?? 0,
    }))
}

export const DraftSplitForm = z
  .looseObject({ ...DraftAsked.shape, supplierId: Id, chosen: Chosen })
  .transform(({ draftId, version, supplierId, chosen, ...fields }, context) => ({
    ...{ draftId, version, supplierId },
    lines: chosenLines(chosen, fields, context).map(({ partId, quantity }) => ({ partId, quantity })),
  }))
  .pipe(DraftSplitInput)

export const OrderSplitForm = z
  .looseObject({ orderId: Id, supplierId: Id, why: z.string().default(''), chosen: Chosen })
  .transform(({ orderId, supplierId, why, chosen, ...fields }, context) => ({
    ...{ orderId, supplierId, why },
    lines: chosenLines(chosen, fields, context),
  }))
  .pipe(OrderSplitInput)
