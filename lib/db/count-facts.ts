import type { StockUnit } from '../measure/quantity.ts'
import type { CountState, MovedSince } from '../stock/count.ts'
import { MOVEMENT_KINDS, type MovementKind } from '../stock/movement.ts'
import type { Pool } from '../value/moving-average.ts'
import type { Tx } from './client.ts'
import { asked, type Reader } from './exchange-rows.ts'

/** One part in one bin, opened for counting when the ledger had come to movement `asOf`. */
export interface CountAsked {
  partId: number
  binId: number
  asOf: number
}

/** A movement of goods in the bin since it was opened, in words that do not tell what the books say. */
export interface Moved extends MovedSince {
  at: Date
  kind: string
  person: string
  job: string | null
}

/** A count of the part in the bin that still asks for something, or one that it followed. */
export interface EarlierCount {
  id: number
  firstId: number | null
  round: number
  state: CountState
  books: number
  counted: number
  personId: string
  isOpen: boolean
}

export interface CountFacts {
  unit: StockUnit
  costMinor: number | null
  pool: Pool
  onHand: number
  /** Movements of goods since the bin was opened, oldest first. */
  moved: Moved[]
  /** The chain of counts that this one follows, oldest first. */
  earlier: EarlierCount[]
}

export interface FactsFound {
  /** Number of the last movement. */
  ledgerId: number
  /** By `countKey`; missing where there is no such part or bin. */
  of: ReadonlyMap<string, CountFacts>
}

export const countKey = ({ partId, binId }: Pick<CountAsked, 'partId' | 'binId'>) => `${partId} ${binId}`

interface HeadRow {
  partId: number | bigint
  binId: number | bigint
  unit: string
  costMinor: number | bigint | null
  quantity: number | bigint | null
  valueMinor: number | bigint | null
  onHand: number | bigint | null
}

interface MovedRow {
  id: number | bigint
  partId: number | bigint
  binId: number | bigint
  quantity: number | bigint
  kind: string
  at: string | Date
  person: string | null
  job: string | null
}

interface EarlierRow {
  id: number | bigint
  partId: number | bigint
  binId: number | bigint
  firstId: number | bigint | null
  round: number | bigint
  state: CountState
  books: number | bigint
  counted: number | bigint
  personId: string
  followedById: number | bigint | null
}

/** Number of the last movement in the ledger; 0 when nothing ever moved. */
export async function ledgerNow(reader: Reader): Promise<number> {
  const { _max } = await (reader as Tx).movement.aggregate({ _max: { id: true } })
  return _max.id ?? 0
}

/**
 * What is known of the parts and bins that were counted, for many lines at once. Count differences, and reversals of them, are
 * left out of what moved: they are no goods (`booksAtCut`).
 */
export async function countFacts(reader: Reader, lines: readonly CountAsked[]): Promise<FactsFound> {
  const tx = reader as Tx
  const ledgerId = await ledgerNow(reader)
  const pairs = lines.map(({ partId, binId, asOf }) => [partId, binId, asOf] as const)
  const of = new Map<string, CountFacts>()
  const heads = await asked(
    pairs,
    (json) => tx.$queryRaw<HeadRow[]>`
      SELECT p."id" AS "partId", bin."id" AS "binId", p."unit", p."costMinor", v."quantity", v."valueMinor", b."quantity" AS "onHand"
      FROM json_each(${json}) k JOIN "Part" p ON p."id" = k.value->>0 JOIN "Bin" bin ON bin."id" = k.value->>1
      LEFT JOIN "PartValue" v ON v."partId" = p."id"
      LEFT JOIN "Balance" b ON b."partId" = p."id" AND b."binId" = bin."id"`,
  )
  for (const row of heads)
    of.set(`${row.partId} ${row.binId}`, {
      unit: row.unit as StockUnit,
      costMinor: row.costMinor === null ? null : Number(row.costMinor),
      pool: { quantity: Number(row.quantity ?? 0), valueMinor: Number(row.valueMinor ?? 0) },
      onHand: Number(row.onHand ?? 0),
      moved: [],
      earlier: [],
    })
  const moved = await asked(
    pairs,
    (json) => tx.$queryRaw<MovedRow[]>`
      SELECT m."id", m."partId", m."binId", m."quantity", m."kind", m."at", w."name" AS "person", j."number" AS "job"
      FROM json_each(${json}) k JOIN "Movement" m ON m."partId" = k.value->>0 AND m."binId" = k.value->>1 AND m."id" > k.value->>2
      LEFT JOIN "Movement" r ON r."id" = m."reversesId" LEFT JOIN "Person" w ON w."id" = m."personId"
      LEFT JOIN "Job" j ON j."id" = m."jobId"
      WHERE m."kind" <> 'count-difference' AND (r."id" IS NULL OR r."kind" <> 'count-difference') ORDER BY m."id"`,
  )
  for (const row of moved)
    of.get(`${row.partId} ${row.binId}`)?.moved.push({
      id: Number(row.id),
      quantity: Number(row.quantity),
      kind: MOVEMENT_KINDS[row.kind as MovementKind].says,
      at: new Date(row.at),
      person: row.person ?? 'somebody',
      job: row.job,
    })
  const earlier = await asked(
    pairs,
    (json) => tx.$queryRaw<EarlierRow[]>`
      SELECT l."id", l."partId", l."binId", l."firstId", l."round", l."state", l."books", l."counted", l."personId", l."followedById"
      FROM json_each(${json}) k
      JOIN "CountLine" o ON o."partId" = k.value->>0 AND o."binId" = k.value->>1 AND o."followedById" IS NULL
        AND o."state" IN ('recount', 'reason', 'sent-back')
      JOIN "CountLine" l ON l."partId" = o."partId" AND l."binId" = o."binId"
        AND COALESCE(l."firstId", l."id") = COALESCE(o."firstId", o."id")
      ORDER BY l."id"`,
  )
  for (const row of earlier)
    of.get(`${row.partId} ${row.binId}`)?.earlier.push({
      id: Number(row.id),
      firstId: row.firstId === null ? null : Number(row.firstId),
      round: Number(row.round),
      state: row.state,
      books: Number(row.books),
      counted: Number(row.counted),
      personId: row.personId,
      isOpen: row.followedById === null,
    })
  return { ledgerId, of }
}
