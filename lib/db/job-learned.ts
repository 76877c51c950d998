import { supersessionResolve } from '../catalogue/supersession.ts'
import { type LearnedCompanion, learnedCompanions, type PastJob } from '../companion/learned.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { database } from './client.ts'
import { type PartStock, partStock, supersessionLinks } from './part.ts'

export interface LearnedView extends LearnedCompanion {
  number: string
  description: string
  unit: StockUnit
  /** Middle quantity that the past jobs took, minor units. */
  usual: number
  target: { number: string; description: string }
  stock: PartStock
}

/** The youngest so many jobs of a target teach; older habits fade with the machines they were about. */
const JOBS_MAX = 400

/**
 * What closed jobs with the same targets also used, for the parts that this job neither renews nor is offered already. Old
 * numbers count for the number that is orderable now. Empty while the job has no target.
 */
export async function jobLearned(jobId: number): Promise<LearnedView[]> {
  const db = database()
  const job = await db.job.findUnique({
    where: { id: jobId },
    select: { needs: { select: { partId: true, origin: true, state: true } } },
  })
  const targets = job?.needs.flatMap((need) => (need.origin === 'target' && need.partId ? [need.partId] : [])) ?? []
  if (targets.length === 0) return []
  const links = await supersessionLinks(db, targets)
  const family = [...new Set([...targets, ...links.flatMap((link) => [link.oldPartId, link.newPartId])])]
  const rows = await db.job.findMany({
    where: { state: 'closed', id: { not: jobId }, needs: { some: { origin: 'target', partId: { in: family } } } },
    select: {
      id: true,
      needs: {
        where: { partId: { not: null } },
        select: { partId: true, origin: true, taken: true, state: true },
        orderBy: { id: 'asc' },
      },
    },
    orderBy: { id: 'desc' },
    take: JOBS_MAX,
  })
  const seen = [...new Set(rows.flatMap((row) => row.needs.map((need) => need.partId!)))]
  const all = await supersessionLinks(db, [...seen, ...targets])
  const now = (partId: number) => supersessionResolve(partId, all).partId
  const past: PastJob[] = rows.map((row) => ({
    jobId: row.id,
    targets: row.needs.filter((need) => need.origin === 'target').map((need) => now(need.partId!)),
    used: row.needs.filter((need) => need.taken > 0).map((need) => now(need.partId!)),
    declined: row.needs.filter((need) => need.state === 'declined').map((need) => now(need.partId!)),
  }))
  const known = new Set((job?.needs ?? []).flatMap((need) => (need.partId === null ? [] : [now(need.partId)])))
  const learned = learnedCompanions(targets.map(now), past).filter((one) => !known.has(one.partId))
  if (learned.length === 0) return []
  const ids = [...new Set(learned.flatMap((one) => [one.partId, one.targetPartId]))]
  const [parts, stock] = await Promise.all([
    db.part.findMany({ where: { id: { in: ids } }, select: { id: true, number: true, description: true, unit: true } }),
    partStock(
      db,
      learned.map((one) => one.partId),
    ),
  ])
  const partOf = new Map(parts.map((part) => [part.id, part]))
  return learned.map((one) => {
    const part = partOf.get(one.partId)!
    const taken = rows
      .flatMap((row) => {
        const sum = row.needs.reduce((total, need) => total + (now(need.partId!) === one.partId ? need.taken : 0), 0)
        return sum > 0 ? [sum] : []
      })
      .sort((a, b) => a - b)
    return {
      ...one,
      number: part.number,
      description: part.description,
      unit: part.unit as StockUnit,
      usual: taken[Math.floor((taken.length - 1) / 2)] ?? 1,
      target: partOf.get(one.targetPartId)!,
      stock: stock.get(one.partId)!,
    }
  })
}
