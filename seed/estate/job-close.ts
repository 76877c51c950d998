import { type EntryContent, entryPartsCost } from '../../lib/job/service-book.ts'
import { moneyOfQuantity } from '../../lib/measure/money.ts'
import { MINUTE_MS } from './calendar.ts'
import type { CheckDraft } from './job-draft.ts'
import type { Bench, JobOnBench } from './job-run.ts'
import { personName } from './people.ts'

const AFTER_RUN_DAYS = 2

function costByNeed(bench: Bench, jobId: number): Map<number, number> {
  const costs = new Map<number, number>()
  for (const row of bench.ledger.movements) {
    if (row.jobId !== jobId || row.needId === null) continue
    const cost = moneyOfQuantity(row.costMinor, Math.abs(row.quantity), bench.partOf(row.partId).unit)
    costs.set(row.needId, (costs.get(row.needId) ?? 0) + (row.quantity < 0 ? cost : -cost))
  }
  return costs
}

/** Ticks the steps, does the tests and writes the service book; what lib/db/job-close.ts would leave behind. */
export function jobClosed(bench: Bench, on: JobOnBench, takenAt: Date): void {
  const { job, draft } = on
  const { rows } = bench
  const workMs = draft.labourMinutes * MINUTE_MS
  const at = new Date(Math.min(takenAt.getTime() + workMs, bench.end.getTime() - MINUTE_MS))
  job.closedAt = at
  const began = takenAt.getTime()
  for (const [index, check] of draft.checks.entries()) {
    if (check.kind === 'after-run') continue
    rows.checks.push({
      ...check,
      id: rows.checks.length + 1,
      jobId: job.id,
      state: 'done',
      note: null,
      doneAt: new Date(began + Math.floor(((at.getTime() - began) * (index + 1)) / (draft.checks.length + 1))),
      doneById: job.closedById,
    })
  }
  for (const check of draft.checks) if (check.kind === 'after-run') afterRunKept(bench, on, check, at)
  rows.entries.push({
    id: 0,
    machineId: job.machineId,
    jobId: job.id,
    writtenAt: at,
    personId: job.closedById,
    personName: personName(job.closedById),
    hourTenths: job.hourTenths,
    content: entryContent(bench, on),
    correctsId: null,
  })
}

/** Two days of work later the nuts are gone over; what was closed in the last days still waits for it. */
function afterRunKept(bench: Bench, { job }: JobOnBench, check: CheckDraft, closedAt: Date): void {
  const doneAt = new Date(closedAt.getTime() + AFTER_RUN_DAYS * 24 * 60 * MINUTE_MS)
  const isDone = doneAt < bench.end
  bench.rows.checks.push({
    ...check,
    id: bench.rows.checks.length + 1,
    jobId: job.id,
    state: isDone ? 'done' : 'open',
    note: null,
    doneAt: isDone ? doneAt : null,
    doneById: isDone ? job.closedById : null,
  })
}

function entryContent(bench: Bench, on: JobOnBench): EntryContent {
  const { job, draft } = on
  const { machineId: _machine, ...machine } = bench.machineOf(job.machineId)
  const costs = costByNeed(bench, job.id)
  const afterRun = draft.checks.filter((check) => check.kind === 'after-run')
  const sorted = [...on.needs].sort((a, b) => a.sort - b.sort || a.id - b.id)
  const fitted = sorted
    .filter((need) => need.partId !== null && need.taken > 0)
    .map((need) => {
      const part = bench.partOf(need.partId!)
      const figureId = Number(need.key.split(':')[0])
      const named = need.item !== null && draft.targets.some((target) => target.figureId === figureId)
      return {
        partNumber: part.number,
        maker: part.maker,
        description: need.description,
        figure: named ? bench.figureName(figureId) : null,
        item: need.item,
        positions: JSON.parse(need.positions) as string[],
        quantity: need.taken,
        unit: part.unit,
        costMinor: costs.get(need.id) ?? 0,
      }
    })
  return {
    version: 1,
    machine,
    job: {
      number: job.number,
      kind: job.kind,
      openedAt: job.openedAt.toISOString(),
      openedBy: personName(job.openedById),
    },
    complaint: job.complaint,
    cause: job.cause,
    correction: job.correction,
    labourMinutes: job.labourMinutes,
    fitted,
    acts: sorted.filter((need) => need.kind === 'act' && need.state === 'accepted').map((need) => need.description),
    declined: sorted
      .filter((need) => need.state === 'declined' && need.strength !== 'consider')
      .map((need) => ({ description: need.description, strength: need.strength, reason: need.declineReason ?? '' })),
    tests: draft.checks
      .filter((check) => check.kind === 'test')
      .map((check) => ({ text: check.text, state: 'done', note: null, by: personName(job.closedById) })),
    ...(afterRun.length === 0
      ? {}
      : { afterRun: afterRun.map((check) => ({ text: check.text, state: 'open', by: null })) }),
    partsCostMinor: entryPartsCost(fitted),
    currency: bench.currency,
  }
}
