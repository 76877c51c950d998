import { z } from 'zod'
import { STOCK_UNITS, type TypedUnit } from '../measure/quantity.ts'
import { Id, quantityTyped } from './schema.ts'

const PACK_MAX = 1_000_000_000
const TOO_MANY = 'more than can be booked at once'

const PartPackInput = z.object({
  partId: Id,
  name: z.string().trim().min(2, 'say what it comes in').max(40),
  /** Minor units of the part's stock unit in one of them. */
  quantity: z.number().int().positive('enter a number above zero').max(PACK_MAX, TOO_MANY),
})
export type PartPackInput = z.infer<typeof PartPackInput>

export const PartPackForm = z
  .object({
    partId: Id,
    name: z.string({ error: 'say what it comes in' }),
    unit: z.enum(STOCK_UNITS),
    quantity: z.string({ error: 'enter how many are in it' }),
  })
  .transform(({ unit, quantity, ...form }, context) => ({
    ...form,
    quantity: quantityTyped(quantity, unit, 'quantity', context),
  }))
  .pipe(PartPackInput)

export const PartPackOffInput = z.object({ packId: Id })
export type PartPackOffInput = z.infer<typeof PartPackOffInput>

/**
 * What came, typed in the stock unit, or in packs where `pack` says how many minor units are in one: packs are whole.
 * Example: "3" boxes of 100 are 300 pieces, "2" cartridges of 400 g are 800.
 */
export function cameTyped(
  text: string,
  unit: TypedUnit,
  pack: unknown,
  path: string,
  context: z.core.$RefinementCtx,
): number {
  if (pack === undefined || pack === '' || pack === 'unit') return quantityTyped(text, unit, path, context)
  const inOne = Number(pack)
  const packs = /^\s*\d{1,6}\s*$/.test(text) ? Number(text) : null
  if (packs === null || !Number.isSafeInteger(inOne) || inOne <= 0) {
    context.addIssue({ code: 'custom', path: [path], message: 'enter a whole number of packs' })
    return z.NEVER
  }
  if (packs * inOne > PACK_MAX) {
    context.addIssue({ code: 'custom', path: [path], message: TOO_MANY })
    return z.NEVER
  }
  return packs * inOne
}
