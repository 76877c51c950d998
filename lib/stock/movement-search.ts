import { z } from 'zod'
import { MOVEMENT_KINDS, type MovementKind } from './movement.ts'
import { Id } from './schema.ts'

/** What is asked of the ledger: everything left out is every one. */
export interface MovementQuestion {
  /** Number or words of a part, a cost centre, or words of a reason. */
  words: string
  partId: number | null
  kind: MovementKind | null
  storeId: number | null
  personId: string | null
  /** As people call the job. */
  jobNumber: number | null
  /** Calendar dates, ISO 8601, both in it. */
  from: string | null
  to: string | null
}

const one = (value: unknown) => (Array.isArray(value) ? value[0] : value)
const orNull = <T extends z.ZodType>(schema: T) => z.preprocess(one, schema).nullable().catch(null)

/** Reads what stands in an address; what cannot be read is left out, as on every screen that narrows a list. */
export const MovementQuestionRead = z.object({
  words: z.preprocess(one, z.string().trim().max(200)).catch(''),
  partId: orNull(Id),
  kind: orNull(z.enum(Object.keys(MOVEMENT_KINDS) as [MovementKind, ...MovementKind[]])),
  storeId: orNull(Id),
  personId: orNull(z.string().min(1).max(60)),
  jobNumber: orNull(Id),
  from: orNull(z.iso.date()),
  to: orNull(z.iso.date()),
})

/** True when the question leaves nothing out. */
export function movementAsksAll(question: MovementQuestion): boolean {
  return Object.values(question).every((value) => value === null || value === '')
}
