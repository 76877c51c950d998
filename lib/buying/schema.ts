import { z } from 'zod'
import { moneyParse } from '../measure/money.ts'
import { STOCK_UNITS, type StockUnit } from '../measure/quantity.ts'
import { BATCH_SAID } from '../stock/batch-schema.ts'
import { cameTyped } from '../stock/pack-schema.ts'
import { Id, quantityTyped } from '../stock/schema.ts'

export const OrderPlaceInput = z.object({
  supplierId: Id,
  /** Quantities in minor units; a line left at zero is not ordered. */
  lines: z
    .array(z.object({ partId: Id, quantity: z.coerce.number<number>().int().min(0).max(1_000_000_000) }))
    .max(1000),
})
export type OrderPlaceInput = z.infer<typeof OrderPlaceInput>

const Came = z.coerce.number<number>().int().min(0).max(1_000_000_000)
const Said = z.string().trim().max(200)

export const OrderReceiveInput = z.object({
  orderId: Id,
  lines: z
    .array(
      z.object({
        lineId: Id,
        /** Where the sound ones go; 0 where none came. */
        binId: z.coerce.number<number>().int().min(0),
        /** What came sound; minor units. */
        quantity: Came,
        /** What came damaged, and the quarantine bin for it. */
        damaged: Came.optional(),
        damagedBinId: Id.optional(),
        damage: Said.optional(),
        /** What came beyond the order is kept. */
        keepOver: z.boolean().optional(),
        /** Nothing more will come for this line. */
        restGivenUp: z.boolean().optional(),
        /** What came in its place. */
        wrong: Said.optional(),
        /** Of one stock unit as the delivery note has it, money minor units of the order's currency. */
        notePriceMinor: z.number().int().min(0).max(100_000_000_000).optional(),
        ...BATCH_SAID,
      }),
    )
    .max(1000),
})
export type OrderReceiveInput = z.infer<typeof OrderReceiveInput>

export const OrderCancelInput = z.object({ orderId: Id })

/** Fields of a long form that begin with `first`, split at the points; whatever does not fit is not of this form. */
export function fieldsOf(
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
  .looseObject({
    supplierId: Id,
    chosen: z.union([z.string(), z.array(z.string())]).default([]),
    /** The button pressed: order it, or keep it as a draft. */
    as: z.enum(['ordered', 'draft']).default('ordered'),
  })
  .transform(({ supplierId, chosen, as, ...fields }, context) => {
    const ticked = new Set([chosen].flat())
    const lines = fieldsOf(fields, 'quantity')
      .filter(({ id }) => ticked.has(String(id)))
      .map(({ name, id, unit, text }) => ({ partId: id, quantity: quantityTyped(text, unit, name, context) }))
      .filter(({ quantity }) => quantity > 0)
    return { supplierId, lines, as }
  })
  .pipe(OrderPlaceInput.extend({ as: z.enum(['ordered', 'draft']) }))

/**
 * A delivery as it is sent, a line each: `receive.<line>.<unit>` with `pack.<line>` and `bin.<line>`, and under the same unit
 * what was not as ordered: `damaged`, `over`, `rest`, `wrong`; `batch.<line>`, `useBy.<line>`
 * where they are kept; `price.<line>.<unit>` as the delivery note has it. A line of which nothing is said did not come.
 */
export const OrderReceiveForm = z
  .looseObject({ orderId: Id })
  .transform(({ orderId, ...fields }, context) => {
    const said = (name: string) => (typeof fields[name] === 'string' ? fields[name].trim() : '')
    const came = new Map<number, StockUnit>()
    for (const first of ['receive', 'price', 'damaged', 'rest', 'wrong'])
      for (const { id, unit } of fieldsOf(fields, first)) came.set(id, unit)
    const lines = [...came].flatMap(([lineId, unit]) => {
      const at = `${lineId}.${unit}`
      const read = (name: string, pack?: unknown) =>
        said(name) === '' ? 0 : cameTyped(said(name), unit, pack, name, context)
      const quantity = read(`receive.${at}`, fields[`pack.${lineId}`])
      const damaged = read(`damaged.${at}`)
      const restGivenUp = said(`rest.${at}`) !== ''
      const wrong = said(`wrong.${at}`)
      const price = said(`price.${at}`)
      const notePriceMinor = price === '' ? null : moneyParse(price)
      const fault = (path: string, message: string) => context.addIssue({ code: 'custom', path: [path], message })
      if (price !== '' && notePriceMinor === null) fault(`price.${at}`, 'enter an amount, such as 12.50')
      if (price !== '' && quantity === 0 && damaged === 0) fault(`receive.${at}`, 'enter how many came at the price')
      if (quantity === 0 && damaged === 0 && !restGivenUp && wrong === '') return []
      const damagedBinId = Number(said(`damagedBin.${lineId}`))
      return [
        {
          lineId,
          binId: Number(said(`bin.${lineId}`)),
          quantity,
          ...(damaged > 0 ? { damaged, damage: said(`damage.${lineId}`) } : {}),
          ...(damaged > 0 && damagedBinId > 0 ? { damagedBinId } : {}),
          ...(said(`over.${at}`) === '' ? {} : { keepOver: true }),
          ...(restGivenUp ? { restGivenUp: restGivenUp as boolean } : {}),
          ...(wrong === '' ? {} : { wrong }),
          ...(notePriceMinor === null ? {} : { notePriceMinor: notePriceMinor as number }),
          ...(said(`batch.${lineId}`) === '' ? {} : { batch: said(`batch.${lineId}`) }),
          ...(said(`useBy.${lineId}`) === '' ? {} : { useBy: said(`useBy.${lineId}`) }),
          ...(said(`expiredKept.${lineId}`) === '' ? {} : { expiredKept: true }),
        },
      ]
    })
    for (const { lineId, binId, quantity } of lines)
      if (quantity > 0 && (!Number.isSafeInteger(binId) || binId <= 0))
        context.addIssue({ code: 'custom', path: [`bin.${lineId}`], message: 'choose a bin' })
    return { orderId, lines }
  })
  .pipe(OrderReceiveInput)
