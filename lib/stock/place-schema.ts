import { z } from 'zod'
import { BIN_KINDS_GIVEN, STORE_KINDS, type StoreKind } from './bin-kind.ts'
import { Id } from './schema.ts'

const StoreName = z.string().trim().min(2, 'give the store a name').max(60)
const StoreKindGiven = z.enum(Object.keys(STORE_KINDS) as [StoreKind, ...StoreKind[]], {
  error: 'choose what kind of store it is',
})
const BinCode = z
  .string()
  .trim()
  .min(1, 'give the bin a code')
  .max(20, 'at most 20 letters and digits')
  .regex(/[\p{L}\p{N}]/u, 'a bin code has a letter or a digit')

export const StoreAddInput = z.object({ name: StoreName, kind: StoreKindGiven })
export type StoreAddInput = z.infer<typeof StoreAddInput>

export const StoreChangeInput = StoreAddInput.extend({ storeId: Id })
export type StoreChangeInput = z.infer<typeof StoreChangeInput>

/** Bins that one form may set up. */
const BINS_AT_ONCE_MAX = 100
const BinKindGiven = z.enum(BIN_KINDS_GIVEN, { error: 'choose what the bin is for' })

/** New bins at the end of the walk, their codes with commas between them. */
export const BinsAddInput = z.object({
  storeId: Id,
  kind: BinKindGiven,
  codes: z
    .string({ error: 'enter at least one bin code' })
    .transform((text) =>
      text
        .split(/[,;\n]/)
        .map((code) => code.trim())
        .filter((code) => code !== ''),
    )
    .pipe(
      z
        .array(BinCode)
        .min(1, 'enter at least one bin code')
        .max(BINS_AT_ONCE_MAX, `at most ${BINS_AT_ONCE_MAX} bins at once`),
    ),
})
export type BinsAddInput = z.infer<typeof BinsAddInput>

export const BinChangeInput = z.object({
  binId: Id,
  code: BinCode,
  kind: BinKindGiven,
  /** Place on the walk through the store, counted from 1. */
  place: z.coerce.number<number>({ error: 'enter a number' }).int('enter a whole number').min(1).max(100_000),
})
export type BinChangeInput = z.infer<typeof BinChangeInput>

/** Sent by the buttons of the walk: `12 earlier`. */
export const BinWalkForm = z.object({ step: z.string().regex(/^\d{1,15} (earlier|later)$/) }).transform(({ step }) => {
  const [binId, to] = step.split(' ') as [string, 'earlier' | 'later']
  return { binId: Number(binId), to }
})
export type BinWalkInput = z.infer<typeof BinWalkForm>

/** The map of a store has no more columns and rows than fit on paper. */
export const MAP_MAX = 20

/** Sent by the squares of the map: `3,2` is the third column of the second row; `off` takes the bin off the map. */
export const BinMapForm = z
  .object({ binId: Id, square: z.string().regex(/^(off|\d{1,2},\d{1,2})$/) })
  .transform(({ binId, square }) => {
    const [mapColumn, mapRow] = square === 'off' ? [null, null] : (square.split(',').map(Number) as [number, number])
    return { binId, mapColumn, mapRow }
  })
  .pipe(
    z.object({
      binId: Id,
      mapColumn: z.number().int().min(1).max(MAP_MAX).nullable(),
      mapRow: z.number().int().min(1).max(MAP_MAX).nullable(),
    }),
  )
export type BinMapInput = z.infer<typeof BinMapForm>

export const BinInput = z.object({ binId: Id })
export type BinInput = z.infer<typeof BinInput>

export const BinEmptyInput = z.object({
  fromBinId: Id,
  toBinId: z.coerce.number<number>({ error: 'choose a bin' }).int('choose a bin').positive('choose a bin'),
})
export type BinEmptyInput = z.infer<typeof BinEmptyInput>

export const PART_BIN_KINDS = ['fixed', 'overflow'] as const
export const PartBinInput = z.object({
  partId: Id,
  binId: BinEmptyInput.shape.toBinId,
  kind: z.enum(PART_BIN_KINDS, { error: 'choose fixed or overflow' }),
})
export type PartBinInput = z.infer<typeof PartBinInput>

export const PartBinOffInput = z.object({ partId: Id, binId: Id })
export type PartBinOffInput = z.infer<typeof PartBinOffInput>
