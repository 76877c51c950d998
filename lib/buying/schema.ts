import { z } from 'zod'
import { Id } from '../stock/schema.ts'

export const OrderPlaceInput = z.object({
  supplierId: Id,
  /** Quantities in minor units; a line left at zero is not ordered. */
  lines: z.array(z.object({ partId: Id, quantity: z.coerce.number<number>().int().min(0).max(1_000_000_000) })).max(1000),
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
