import { correctionsWritten } from './corrections.ts'
import type { Bench } from './job-run.ts'
import type { Ledger } from './ledger.ts'
import type { OrderBook, Stocked } from './orders.ts'
import type { History, JobRow, ReadingRow } from './rows.ts'

/** Gathers what the days have left behind into rows: entries in order of writing, closings as writes, what each bin holds. */
export function historyOf(
  bench: Bench,
  ledger: Ledger,
  book: OrderBook,
  stocked: readonly Stocked[],
  readings: Omit<ReadingRow, 'id'>[],
): History {
  const { rows } = bench
  const entries = rows.entries.sort((a, b) => a.writtenAt.getTime() - b.writtenAt.getTime() || a.jobId! - b.jobId!)
  for (const [index, entry] of entries.entries()) entry.id = index + 1
  const closes = rows.jobs.map((job: JobRow, index) => ({
    key: `demo-close-${String(index + 1).padStart(6, '0')}`,
    kind: 'job.close',
    content: { jobId: job.id },
    answer: { entryId: entries.find((entry) => entry.jobId === job.id)!.id, jobNumber: job.number },
    personId: job.closedById,
    at: job.closedAt,
  }))
  return {
    ...rows,
    entries: [...entries, ...correctionsWritten(entries, bench.end)],
    readings: readings.map((row, index) => ({ id: index + 1, ...row })),
    movements: ledger.movements,
    writes: [...ledger.writes, ...closes],
    balances: [...ledger.balances].flatMap(([partId, bins]) =>
      [...bins].map(([binId, quantity]) => ({ partId, binId, quantity })),
    ),
    orders: book.orders,
    orderLines: book.lines,
    levels: stocked.flatMap((one) => (one.level ? [{ partId: one.partId, ...one.level }] : [])),
    costs: new Map(
      [...new Set(ledger.movements.filter((row) => row.kind === 'receive').map((row) => row.partId))].map((id) => [
        id,
        ledger.costs.get(id)!,
      ]),
    ),
  }
}
