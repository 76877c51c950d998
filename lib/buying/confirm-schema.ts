import { z } from 'zod'
import { Id } from '../stock/schema.ts'

export const Day = z.iso.date({ error: 'enter a date' })

export const OrderConfirmInput = z.object({
  orderId: Id,
  /** The order's number in the supplier's books. */
  reference: z.string().trim().max(60),
  lines: z.array(z.object({ lineId: Id, day: Day })).max(1000),
})
export type OrderConfirmInput = z.infer<typeof OrderConfirmInput>

/** A confirmation as its form sends it: `all` for every line of `due`, and `day.<line>` where a line comes another day. */
export const OrderConfirmForm = z
  .looseObject({
    orderId: Id,
    reference: z.string().default(''),
    all: z.string().trim().default(''),
    due: z.union([z.string(), z.array(z.string())]).default([]),
  })
  .transform(({ orderId, reference, all, due, ...fields }) => ({
    orderId,
    reference,
    lines: [due].flat().flatMap((lineId) => {
      const own = fields[`day.${lineId}`]
      const day = typeof own === 'string' && own.trim() !== '' ? own.trim() : all
      return day === '' ? [] : [{ lineId: Number(lineId), day }]
    }),
  }))
  .pipe(OrderConfirmInput)

export const OrderCallInput = z.object({
  orderId: Id,
  words: z.string().trim().min(2, 'say with whom you spoke and what was said').max(400),
  /** The new day; null when none was named. */
  promisedOn: Day.nullable(),
  lineIds: z.array(Id).max(1000),
})
export type OrderCallInput = z.infer<typeof OrderCallInput>

/** A call as its form sends it: the ticked lines come on the day promised, which may be left empty. */
export const OrderCallForm = z
  .object({
    orderId: Id,
    words: z.string().default(''),
    promisedOn: z.string().trim().default(''),
    line: z.union([z.string(), z.array(z.string())]).default([]),
  })
  .transform(({ line, promisedOn, ...call }) => ({
    ...call,
    promisedOn: promisedOn === '' ? null : promisedOn,
    lineIds: [line].flat().map(Number),
  }))
  .pipe(OrderCallInput)
