import { z } from 'zod'
import { PART_CLASSES, type PartClass, partClassSays } from '../catalogue/part-class.ts'
import { CRITICALITIES } from '../catalogue/schema.ts'
import { quantityFormat, quantityParse, type StockUnit } from '../measure/quantity.ts'

/** Parts that are changed in one go at most; a longer list is narrowed first. */
export const BULK_MAX = 1000

/** What one change makes of many parts. Levels are typed in stock units, as on the card of a part. */
export const BulkChange = z.discriminatedUnion('what', [
  z.object({ what: z.literal('criticality'), to: z.enum(CRITICALITIES) }),
  z.object({ what: z.literal('class'), to: z.enum(PART_CLASSES) }),
  z.object({ what: z.literal('levels'), reorder: z.string().trim().max(20), upTo: z.string().trim().max(20) }),
])
export type BulkChange = z.infer<typeof BulkChange>

export interface BulkPart {
  partId: number
  number: string
  description: string
  partClass: string
  criticality: string
  unit: StockUnit
  reorderPoint: number | null
  orderUpTo: number | null
}

export interface BulkRow {
  partId: number
  number: string
  description: string
  before: string
  after: string
  /** same: nothing to change; change; cannot: `after` says why. */
  state: 'same' | 'change' | 'cannot'
  /** What a changed level will be, minor units. */
  level: { reorderPoint: number; orderUpTo: number } | null
}

function levelsSay(reorderPoint: number | null, orderUpTo: number | null, unit: StockUnit): string {
  if (reorderPoint === null || orderUpTo === null) return 'no levels'
  return `${quantityFormat(reorderPoint, unit)}, up to ${quantityFormat(orderUpTo, unit)}`
}

/** What the change would make of one part. */
export function bulkRow(part: BulkPart, change: BulkChange): BulkRow {
  const { partId, number, description, unit } = part
  const row = (before: string, after: string, level: BulkRow['level'] = null): BulkRow => ({
    partId,
    number,
    description,
    before,
    after,
    state: before === after ? 'same' : 'change',
    level,
  })
  if (change.what === 'criticality') return row(part.criticality, change.to)
  if (change.what === 'class') return row(partClassSays(part.partClass), partClassSays(change.to))
  const before = levelsSay(part.reorderPoint, part.orderUpTo, unit)
  const [reorderPoint, orderUpTo] = [quantityParse(change.reorder, unit), quantityParse(change.upTo, unit)]
  const cannot = (why: string): BulkRow => ({ ...row(before, why), state: 'cannot' })
  if (reorderPoint === null || orderUpTo === null)
    return cannot(
      `“${reorderPoint === null ? change.reorder : change.upTo}” is no quantity of a part kept by the ${unit}`,
    )
  if (orderUpTo <= reorderPoint) return cannot('the order-up-to level must lie above the reorder point')
  return row(before, levelsSay(reorderPoint, orderUpTo, unit), { reorderPoint, orderUpTo })
}

export const BulkInput = z.object({
  change: BulkChange,
  /** Id and what stood there when it was looked at, of each part that is to be changed. */
  parts: z
    .array(z.object({ partId: z.number().int().positive(), before: z.string().max(200) }))
    .min(1, 'leave at least one part ticked')
    .max(BULK_MAX, `at most ${BULK_MAX} parts in one go`),
  reason: z.string().trim().min(3, 'say why, in a few words').max(200),
})
export type BulkInput = z.infer<typeof BulkInput>

/** Classes as they are offered. */
export const CLASS_CHOICES: readonly { value: PartClass; says: string }[] = PART_CLASSES.map((value) => ({
  value,
  says: partClassSays(value),
}))
