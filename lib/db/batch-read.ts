import type { BinHolding, PickBatch } from '../job/pick-list.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { type BatchOwn, type BatchRule, isExpired, lotOrder } from '../stock/batch.ts'
import { BIN_KINDS, type BinKind, binKindOf } from '../stock/bin-kind.ts'
import { batchRules } from './batch.ts'
import { database, type Prisma, type Tx } from './client.ts'
import { type MovementLine, movementLines } from './movement-line.ts'
import { binHoldings } from './shelf.ts'

/** One batch in one bin. */
export interface BatchLine extends PickBatch {
  binId: number
  bin: string
  store: string
  kind: BinKind
  quantity: number
}

function linesOf(partIds: readonly number[]): Promise<Map<number, BatchLine[]>> {
  return linesWhere({ batch: { partId: { in: [...new Set(partIds)] } } })
}

/** The batches in a bin by part, the earliest use-by day first. */
export function binBatches(binId: number): Promise<Map<number, BatchLine[]>> {
  return linesWhere({ binId })
}

async function linesWhere(where: Prisma.BatchBalanceWhereInput): Promise<Map<number, BatchLine[]>> {
  const rows = await database().batchBalance.findMany({
    where: { quantity: { gt: 0 }, ...where },
    include: { batch: true, bin: { include: { store: true } } },
  })
  const lines = new Map<number, BatchLine[]>()
  for (const { batch, bin, quantity } of rows) {
    const line = {
      id: batch.id,
      code: batch.code,
      expiresOn: batch.expiresOn,
      binId: bin.id,
      bin: bin.code,
      store: bin.store.name,
      kind: binKindOf(bin.kind),
      quantity,
    }
    lines.set(batch.partId, [...(lines.get(batch.partId) ?? []), line])
  }
  for (const list of lines.values()) list.sort((a, b) => earlierFirst(a, b) || a.binId - b.binId)
  return lines
}

/**
 * What may be taken for a job, by bin and batch: what is expired is left out. What belongs to no batch, and parts whose batches are
 * not kept, are a line a bin.
 */
export async function lotHoldings(partIds: readonly number[], today: string): Promise<Map<number, BinHolding[]>> {
  const [holdings, lines] = [await binHoldings(partIds), await linesOf(partIds)]
  const found = new Map<number, BinHolding[]>()
  for (const [partId, bins] of holdings)
    found.set(
      partId,
      bins.flatMap((bin) => {
        const own = (lines.get(partId) ?? []).filter((line) => line.binId === bin.binId)
        const loose = bin.quantity - own.reduce((sum, line) => sum + line.quantity, 0)
        const good = own.filter((line) => !isExpired(line.expiresOn, today))
        const lots = good.map(({ id, code, expiresOn, quantity }) => ({
          ...bin,
          quantity,
          batch: { id, code, expiresOn },
        }))
        return loose > 0 ? [...lots, { ...bin, quantity: loose }] : lots
      }),
    )
  return found
}

/** What lies past its use-by date in bins that people take from, by part: said beside a pick list that comes short. */
export async function expiredOf(partIds: readonly number[], today: string): Promise<Map<number, BatchLine[]>> {
  const lines = await linesOf(partIds)
  return new Map(
    [...lines].map(([partId, list]) => [
      partId,
      list.filter((line) => BIN_KINDS[line.kind].free && isExpired(line.expiresOn, today)),
    ]),
  )
}

/** What is still out of each batch by the movements that `where` names, minor units; `batchId` null where none was kept. */
export async function batchesTaken(
  reader: Tx,
  where: { jobId: number; needId: number },
): Promise<{ batchId: number | null; quantity: number }[]> {
  const rows = await reader.movement.groupBy({
    by: ['batchId'],
    where,
    _sum: { quantity: true },
    orderBy: { batchId: 'asc' },
  })
  return rows
    .map(({ batchId, _sum }) => ({ batchId, quantity: -(_sum.quantity ?? 0) }))
    .filter(({ quantity }) => quantity > 0)
}

function earlierFirst(a: PickBatch, b: PickBatch): number {
  return lotOrder({ batchId: a.id, expiresOn: a.expiresOn }, { batchId: b.id, expiresOn: b.expiresOn })
}

/** The batches that a job has out, by need: for its pick list, its entry in the service book and for putting back. */
export async function jobBatches(
  reader: Tx,
  jobId: number,
): Promise<Map<number, (PickBatch & { quantity: number })[]>> {
  const rows = await reader.movement.groupBy({
    by: ['needId', 'batchId'],
    where: { jobId, needId: { not: null }, batchId: { not: null } },
    _sum: { quantity: true },
    orderBy: [{ needId: 'asc' }, { batchId: 'asc' }],
  })
  const out = rows.filter(({ _sum }) => (_sum.quantity ?? 0) < 0)
  const batches = await reader.batch.findMany({ where: { id: { in: out.map((row) => row.batchId!) } } })
  const byId = new Map(batches.map(({ id, code, expiresOn }) => [id, { id, code, expiresOn }]))
  const found = new Map<number, (PickBatch & { quantity: number })[]>()
  for (const { needId, batchId, _sum } of out)
    found.set(needId!, [...(found.get(needId!) ?? []), { ...byId.get(batchId!)!, quantity: -_sum.quantity! }])
  for (const list of found.values()) list.sort(earlierFirst)
  return found
}

export function batchesOfJob(jobId: number): ReturnType<typeof jobBatches> {
  return jobBatches(database() as unknown as Tx, jobId)
}

/** What is asked of each part when it comes in, for forms. */
export function rulesOf(partIds: readonly number[]): Promise<Map<number, BatchRule>> {
  return batchRules(database() as unknown as Tx, partIds)
}

/** What a part says of itself, for changing it. */
export async function partRuleOwn(partId: number): Promise<BatchOwn> {
  return database().part.findUniqueOrThrow({
    where: { id: partId },
    select: { asksBatch: true, asksUseBy: true, shelfLifeMonths: true },
  })
}

export interface PartBatches {
  rule: BatchRule
  /** What lies where, the earliest use-by day first. */
  lines: BatchLine[]
}

/** The batches of a part that are on hand, and what is asked of it. */
export async function partBatches(partId: number): Promise<PartBatches> {
  const rules = await batchRules(database() as unknown as Tx, [partId])
  const rule = rules.get(partId)
  if (!rule) throw new Refusal('stock/unknown-part', { part: partId })
  return { rule, lines: (await linesOf([partId])).get(partId) ?? [] }
}

/** The fifty newest batches of a part, on hand or used up: what may come back. */
export async function batchesLately(partId: number): Promise<PickBatch[]> {
  return database().batch.findMany({
    where: { partId },
    select: { id: true, code: true, expiresOn: true },
    orderBy: { id: 'desc' },
    take: 50,
  })
}

/** Where some of a batch went and did not come back from. */
export interface BatchUse {
  job: { id: number; number: number; state: string } | null
  machine: { id: number; fleetNumber: string; name: string } | null
  /** Cost centre, person or words, where it was no job. */
  words: string
  quantity: number
  at: Date
}

export interface BatchView extends PickBatch {
  part: { id: number; number: string; maker: string; description: string; unit: StockUnit }
  lines: BatchLine[]
  uses: BatchUse[]
  movements: MovementLine[]
  received: number
}

const MOVEMENTS_SHOWN = 100

/** A batch, where it lies and where it went: whom to call when the maker calls it back. */
export async function batchRead(batchId: number): Promise<BatchView> {
  const db = database()
  const batch = await db.batch.findUnique({ where: { id: batchId }, include: { part: true } })
  if (!batch) throw new Refusal('stock/unknown-batch', { part: 'any part' })
  const { id, number, maker, description, unit } = batch.part
  // By its part: movements have no index of their batch.
  const moves = await db.movement.findMany({
    where: { partId: id, batchId, kind: { in: ['receive', 'issue', 'return', 'reversal'] } },
    include: {
      job: { select: { id: true, number: true, state: true, machine: true } },
      machine: true,
      reverses: { select: { kind: true } },
    },
    orderBy: { id: 'asc' },
  })
  const people = await db.person.findMany({
    where: { id: { in: moves.flatMap((move) => (move.forPersonId ? [move.forPersonId] : [])) } },
    select: { id: true, name: true },
  })
  const names = new Map(people.map((person) => [person.id, person.name]))
  const uses = new Map<string, BatchUse>()
  let received = 0
  for (const move of moves) {
    const kind = move.reverses?.kind ?? move.kind
    if (kind === 'receive') received += move.quantity
    if (kind !== 'issue' && kind !== 'return') continue
    const machine = move.job?.machine ?? move.machine
    const words = [move.costCentre, move.forPersonId ? (names.get(move.forPersonId) ?? 'somebody who left') : null]
      .filter(Boolean)
      .join(', ')
    const key = move.job ? `job ${move.job.id}` : `${machine?.id ?? ''} ${words}`
    const before = uses.get(key)
    uses.set(key, {
      job: move.job && { id: move.job.id, number: move.job.number, state: move.job.state },
      machine: machine && { id: machine.id, fleetNumber: machine.fleetNumber, name: machine.name },
      words: words || (move.job || machine ? '' : (move.reason ?? '')),
      quantity: (before?.quantity ?? 0) - move.quantity,
      at: before && move.quantity > 0 ? before.at : move.at,
    })
  }
  const lines = ((await linesOf([id])).get(id) ?? []).filter((line) => line.id === batchId)
  return {
    id: batch.id,
    code: batch.code,
    expiresOn: batch.expiresOn,
    part: { id, number, maker, description, unit: unit as StockUnit },
    lines,
    uses: [...uses.values()].filter(({ quantity }) => quantity > 0),
    movements: await movementLines({ partId: id, batchId }, MOVEMENTS_SHOWN),
    received,
  }
}
