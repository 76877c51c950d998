import { partNumberKey } from '../catalogue/part-number.ts'
import type { CheckedRow } from '../exchange/check.ts'
import { BATCH_NOT_KNOWN, batchesKept, dayCode } from '../stock/batch.ts'
import type { Tx } from './client.ts'
import { asked, put, type Reader, type Refused } from './exchange-rows.ts'

/** The batch that a row of a stock list is about. */
export interface RowLot {
  partId: number
  code: string
  codeKey: string
  expiresOn: string | null
  /** Its row, where the books have it. */
  id: number | null
  /** The books have it without a date, and the row says one. */
  isDated: boolean
}

/** What is asked of the parts of a list, and their batches. */
export interface LotReader {
  /**
   * The batch of a row; null where it says none and need not, undefined with a refusal. Nothing counted of a part is of no batch.
   */
  of(row: CheckedRow<'stock'>, partId: number, counted: number | undefined, refused: Refused): RowLot | null | undefined
  /** So much lies of a batch in a bin by the books, minor units; undefined where none ever did. */
  there(batchId: number, binId: number): number | undefined
  /** So much of a part in a bin belongs to some batch, minor units. */
  inBatches(partId: number, binId: number): number
}

interface Known {
  id: number
  code: string
  expiresOn: string | null
}
interface Asks {
  asksBatch: boolean
  asksUseBy: boolean
}

async function rulesOf(reader: Reader, partIds: readonly number[]): Promise<Map<number, Asks>> {
  const rows = await asked(
    partIds,
    (json) => (reader as Tx).$queryRaw<{ id: number | bigint; batch: number | bigint; useBy: number | bigint }[]>`
      SELECT p."id", COALESCE(p."asksBatch", c."asksBatch", 0) AS "batch", COALESCE(p."asksUseBy", c."asksUseBy", 0) AS "useBy"
      FROM json_each(${json}) k JOIN "Part" p ON p."id" = k.value LEFT JOIN "PartClassRule" c ON c."partClass" = p."partClass"`,
  )
  return new Map(
    rows.map((row) => [Number(row.id), { asksBatch: Number(row.batch) === 1, asksUseBy: Number(row.useBy) === 1 }]),
  )
}

/** Reads batches for a list that has a column for them. */
export async function lotReader(reader: Reader, partIds: readonly number[]): Promise<LotReader> {
  const ids = [...new Set(partIds)]
  const rules = await rulesOf(reader, ids)
  const rows = await asked(
    ids,
    (json) => (reader as Tx).$queryRaw<
      { id: number | bigint; partId: number | bigint; code: string; codeKey: string; expiresOn: string | null }[]
    >`
      SELECT b."id", b."partId", b."code", b."codeKey", b."expiresOn" FROM json_each(${json}) k
      JOIN "Batch" b ON b."partId" = k.value`,
  )
  const known = new Map<string, Known>(
    rows.map(({ id, partId, codeKey, ...row }) => [`${partId} ${codeKey}`, { id: Number(id), ...row }]),
  )
  const balances = await asked(
    rows.map((row) => Number(row.id)),
    (json) => (reader as Tx).$queryRaw<
      { partId: number | bigint; batchId: number | bigint; binId: number | bigint; quantity: number | bigint }[]
    >`
      SELECT b."partId", l."batchId", l."binId", l."quantity" FROM json_each(${json}) k
      JOIN "BatchBalance" l ON l."batchId" = k.value JOIN "Batch" b ON b."id" = l."batchId"`,
  )
  const there = new Map(balances.map((row) => [`${row.batchId} ${row.binId}`, Number(row.quantity)]))
  const inBatches = new Map<string, number>()
  for (const { partId, binId, quantity } of balances)
    inBatches.set(`${partId} ${binId}`, (inBatches.get(`${partId} ${binId}`) ?? 0) + Number(quantity))
  // A batch that is new may lie in several bins, and has one date.
  const dates = new Map<string, string | null>()
  return {
    there: (batchId, binId) => there.get(`${batchId} ${binId}`),
    inBatches: (partId, binId) => inBatches.get(`${partId} ${binId}`) ?? 0,
    of(row, partId, counted, refused) {
      const rule = rules.get(partId)!
      const { batch, use_by: useBy } = row.values
      const isNotKnown = batch !== undefined && partNumberKey(batch) === partNumberKey(BATCH_NOT_KNOWN)
      if (batch === undefined && useBy === undefined && (counted === 0 || !batchesKept(rule))) return null
      const needs = (column: 'batch' | 'use_by', what: string) => {
        refused.at(row, column, `is needed: of ${row.values.number} the ${what} is kept`)
        return undefined
      }
      if (batch === undefined && rule.asksBatch)
        return needs('batch', `batch (“${BATCH_NOT_KNOWN}” where nobody can read it)`)
      if (batch === undefined && useBy === undefined) return needs('use_by', 'use-by date')
      const code =
        batch === undefined || (isNotKnown && useBy !== undefined)
          ? dayCode(useBy!)
          : isNotKnown
            ? BATCH_NOT_KNOWN
            : batch
      const codeKey = partNumberKey(code)
      if (codeKey === '') {
        refused.at(row, 'batch', 'has neither a letter nor a digit')
        return undefined
      }
      const before = known.get(`${partId} ${codeKey}`)
      const named = before?.expiresOn ?? dates.get(`${partId} ${codeKey}`) ?? null
      if (named !== null && useBy !== undefined && named !== useBy) {
        refused.at(
          row,
          'use_by',
          `is ${useBy}, but batch ${before?.code ?? code} is to be used by ${named}; look at the pack again`,
        )
        return undefined
      }
      const expiresOn = useBy ?? named
      if (expiresOn === null && rule.asksUseBy && !isNotKnown) return needs('use_by', 'use-by date')
      dates.set(`${partId} ${codeKey}`, expiresOn)
      const isDated = before !== undefined && before.expiresOn === null && expiresOn !== null
      return { partId, code, codeKey, expiresOn, id: before?.id ?? null, isDated }
    },
  }
}

const lotKey = ({ partId, codeKey }: RowLot) => `${partId} ${codeKey}`

/** Makes the batches that the books do not have, and dates those that had no date; answers the id of each. */
export async function lotsMake(tx: Tx, lots: readonly RowLot[]): Promise<(lot: RowLot) => number> {
  const fresh = new Map(lots.filter((lot) => lot.id === null || lot.isDated).map((lot) => [lotKey(lot), lot]))
  await put(
    fresh.values(),
    ({ partId, code, codeKey, expiresOn }) => [partId, code, codeKey, expiresOn],
    (json) => tx.$executeRaw`
      INSERT INTO "Batch" ("partId", "code", "codeKey", "expiresOn")
      SELECT value->>0, value->>1, value->>2, value->>3 FROM json_each(${json}) WHERE true
      ON CONFLICT ("partId", "codeKey") DO UPDATE SET "expiresOn" = excluded."expiresOn"`,
  )
  const made = await asked(
    [...fresh.values()].map((lot) => [lot.partId, lot.codeKey]),
    (json) => tx.$queryRaw<{ id: number | bigint; partId: number | bigint; codeKey: string }[]>`
      SELECT b."id", b."partId", b."codeKey" FROM json_each(${json}) k
      JOIN "Batch" b ON b."partId" = k.value->>0 AND b."codeKey" = k.value->>1`,
  )
  const ids = new Map(made.map((row) => [`${row.partId} ${row.codeKey}`, Number(row.id)]))
  return (lot) => lot.id ?? ids.get(lotKey(lot))!
}
