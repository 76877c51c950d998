import { z } from 'zod'
import { STOCK_UNITS, type StockUnit } from '../measure/quantity.ts'
import { Id, quantityTyped } from '../stock/schema.ts'

export const OrderPlaceInput = z.object({
  supplierId: Id,
  /** Quantities in minor units; a line left at zero is not ordered. */
  lines: z
    .array(z.object({ partId: Id, quantity: z.coerce.number<number>().int().min(0).max(1_000_000_000) }))
    .max(1000),
})
export type OrderPlaceInput = z.infer<typeof OrderPlaceInput>

export const OrderReceiveInput = z.object({
  orderId: Id,
  lines: z
    .array(z.object({ lineId: Id, binId: Id, quantity: z.coerce.number<number>().int().min(0).max(1_000_000_000) }))
    .max(1000),
})
export type OrderReceiveInput = z.infer<typeof OrderReceiveInput>

export const OrderCancelInput = z.object({ orderId: Id })

/** Fields of a long form that begin with `first`, split at the points; whatever does not fit is not of this form. */
function fieldsOf(
  fields: Record<string, unknown>,
  first: string,
): { name: string; id: number; unit: StockUnit; text: string }[] {
  return Object.entries(fields).flatMap(([name, text]) => {
    const [head, id, unit, ...more] = name.split('.')
    if (head !== first || more.length > 0 || typeof text !== 'string') return []
    const known = STOCK_UNITS.find((one) => one === unit)
    return known && /^[1-9]\d{0,14}$/.test(id ?? '') ? [{ name, id: Number(id), unit: known, text }] : []
  })
}

/**
 * One supplier's part of the order list as it is sent: `quantity.<part>.<unit>` a line, typed in the stock unit, and the
 * part's id under `chosen` where the line is ticked. A line without its tick, left blank or at zero is not ordered.
 */
export const OrderPlaceForm = z
  .looseObject({ supplierId: Id, chosen: z.union([z.string(), z.array(z.string())]).default([]) })
  .transform(({ supplierId, chosen, ...fields }, context) => {
    const ticked = new Set([chosen].flat())
    const lines = fieldsOf(fields, 'quantity')
      .filter(({ id }) => ticked.has(String(id)))
      .map(({ name, id, unit, text }) => ({ partId: id, quantity: quantityTyped(text, unit, name, context) }))
      .filter(({ quantity }) => quantity > 0)
    return { supplierId, lines }
  })
  .pipe(OrderPlaceInput)

/** A delivery as it is sent: `receive.<line>.<unit>` and `bin.<line>` a line. A line left blank or at zero did not come. */
export const OrderReceiveForm = z
  .looseObject({ orderId: Id })
  .transform(({ orderId, ...fields }, context) => {
    const lines = fieldsOf(fields, 'receive')
      .map(({ name, id, unit, text }) => ({
        lineId: id,
        binId: Number(fields[`bin.${id}`]),
        quantity: quantityTyped(text, unit, name, context),
      }))
      .filter(({ quantity }) => quantity > 0)
    for (const { lineId, binId } of lines)
      if (!Number.isSafeInteger(binId) || binId <= 0)
        context.addIssue({ code: 'custom', path: [`bin.${lineId}`], message: 'choose a bin' })
    return { orderId, lines }
  })
  .pipe(OrderReceiveInput)
