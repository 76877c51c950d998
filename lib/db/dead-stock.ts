import type { StockUnit } from '../measure/quantity.ts'
import { type DeadFact, type DeadFinding, type DeadLimits, deadFinding, monthsBefore } from '../stock/dead.ts'
import { database } from './client.ts'

export interface DeadRow extends DeadFinding {
  partId: number
  number: string
  maker: string
  description: string
  partClass: string
  unit: StockUnit
  lastMovedOn: string | null
  usedYear: number
  stores: DeadFact['stores']
}

interface Held {
  id: number
  number: string
  maker: string
  description: string
  partClass: string
  unit: string
  criticality: string
  discontinuedOn: string | null
  onHand: number
  valueMinor: number
  kept: number
  takenOn: string | null
  receivedOn: string | null
  supplier: string | null
  newNumber: string | null
  interchange: string | null
}

/**
 * Parts on the shelf, each with what was last taken and received of it. The supersession entered last counts. Deliveries are
 * few, so they are read straight through; the last taking is mostly a part's last movement or nearly. A part comes as one text:
 * of a large shelf, taking over sixteen cells of each part costs several times what finding them does.
 */
async function heldRead(): Promise<Held[]> {
  const rows = await database().$queryRaw<{ part: string }[]>`
    SELECT json_object('id', p."id", 'number', p."number", 'maker', p."maker", 'description', p."description",
      'partClass', p."partClass", 'unit', p."unit", 'criticality', p."criticality", 'discontinuedOn', p."discontinuedOn",
      'onHand', v."quantity", 'valueMinor', v."valueMinor",
      'kept', COALESCE((SELECT SUM(n."allocated") FROM "JobNeed" n WHERE n."partId" = p."id"), 0),
      'takenOn', (SELECT substr(m."at", 1, 10) FROM "Movement" m WHERE m."partId" = p."id" AND m."kind" = 'issue' ORDER BY m."id" DESC LIMIT 1),
      'receivedOn', c."on",
      'supplier', (SELECT s."name" FROM "Offer" o JOIN "Supplier" s ON s."id" = o."supplierId" WHERE o."partId" = p."id"
        AND o."withdrawnAt" IS NULL ORDER BY o."preferred" DESC, s."id" LIMIT 1),
      'newNumber', n."number", 'interchange', r."interchange") AS "part"
    FROM "PartValue" v JOIN "Part" p ON p."id" = v."partId"
    LEFT JOIN (SELECT "partId", substr(MAX("at"), 1, 10) AS "on" FROM "Movement" NOT INDEXED WHERE "kind" = 'receive'
      GROUP BY "partId") c ON c."partId" = p."id"
    LEFT JOIN "Supersession" r ON r."id" = (SELECT MAX(x."id") FROM "Supersession" x WHERE x."oldPartId" = p."id")
    LEFT JOIN "Part" n ON n."id" = r."newPartId"
    WHERE v."quantity" > 0`
  return rows.map(({ part }) => JSON.parse(part) as Held)
}

type StoreUse = DeadFact['stores'][number]

/** What lies where, and how much was taken there in the year, less what was put back or put right; each part as one text. */
async function storesRead(since: string): Promise<Map<number, StoreUse[]>> {
  const rows = await database().$queryRaw<{ partId: number | bigint; stores: string }[]>`
    SELECT "partId", json_group_array(json_object('store', "store", 'quantity', "quantity", 'usedYear', "used")) AS "stores" FROM (
      SELECT x."partId", s."name" AS "store", SUM(x."quantity") AS "quantity", SUM(x."used") AS "used" FROM (
        SELECT "partId", "binId", "quantity", 0 AS "used" FROM "Balance" WHERE "quantity" > 0
        UNION ALL
        SELECT m."partId", m."binId", 0, -m."quantity" FROM "Movement" m LEFT JOIN "Movement" o ON o."id" = m."reversesId"
        WHERE m."at" >= ${since} AND COALESCE(o."kind", m."kind") IN ('issue', 'return')) x
      JOIN "Bin" b ON b."id" = x."binId" JOIN "Store" s ON s."id" = b."storeId"
      GROUP BY x."partId", s."id" ORDER BY x."partId", s."name")
    GROUP BY "partId"`
  return new Map(rows.map(({ partId, stores }) => [Number(partId), JSON.parse(stores) as StoreUse[]]))
}

/** Machines of ours by the models whose parts lists have a part; parts that no list has are not among them. */
async function machinesRead(): Promise<Map<number, { inUse: number; laidUp: number }>> {
  const rows = await database().$queryRaw<
    { partId: number | bigint; inUse: number | bigint | null; laidUp: number | bigint | null }[]
  >`
    SELECT u."partId", SUM(m."state" <> 'laid-up') AS "inUse", SUM(m."state" = 'laid-up') AS "laidUp" FROM (
      SELECT DISTINCT l."partId", f."modelId" FROM "PartsListLine" l JOIN "FigureOfModel" f ON f."figureId" = l."figureId"
      WHERE l."retiredAt" IS NULL AND l."partId" IN (SELECT "partId" FROM "PartValue" WHERE "quantity" > 0)) u
    LEFT JOIN "Machine" m ON m."modelId" = u."modelId" GROUP BY u."partId"`
  return new Map(
    rows.map((row) => [Number(row.partId), { inUse: Number(row.inUse ?? 0), laidUp: Number(row.laidUp ?? 0) }]),
  )
}

/** Stock that costs money and does no work, the dearest first. */
export async function deadStock(limits: DeadLimits): Promise<DeadRow[]> {
  const since = monthsBefore(limits.today, 12)
  const [held, stores, machines] = await Promise.all([heldRead(), storesRead(since), machinesRead()])
  const rows = held.flatMap((part): DeadRow[] => {
    const { id } = part
    const where = stores.get(id) ?? []
    const usedYear = Math.max(
      0,
      where.reduce((sum, one) => sum + one.usedYear, 0),
    )
    const { takenOn, receivedOn } = part
    const lastMovedOn = [takenOn, receivedOn].reduce((a, b) => ((a ?? '') > (b ?? '') ? a : b))
    const finding = deadFinding(
      {
        onHand: part.onHand,
        free: part.onHand - part.kept,
        valueMinor: part.valueMinor,
        lastMovedOn,
        lastReceivedOn: receivedOn,
        usedYear,
        stores: where,
        criticality: part.criticality,
        machines: machines.get(id) ?? null,
        supersededBy:
          part.newNumber === null ? null : { number: part.newNumber, bothWays: part.interchange === 'both-ways' },
        discontinued: part.discontinuedOn !== null,
        supplier: part.supplier,
      },
      limits,
    )
    if (!finding) return []
    const { number, maker, description, partClass } = part
    const facts = { partId: id, number, maker, description, partClass, unit: part.unit as StockUnit }
    return [{ ...facts, lastMovedOn, usedYear, stores: where, ...finding }]
  })
  return rows.sort((a, b) => b.valueMinor - a.valueMinor || a.partId - b.partId)
}
