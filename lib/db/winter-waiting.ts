import { daysAdd } from '../service/plain-date.ts'
import type { WaitingLine } from '../winter/copy.ts'
import type { database, Tx } from './client.ts'

/** Lines of open jobs that were opened up to a day and that no part has come for. */
export async function linesWaiting(reader: Tx | ReturnType<typeof database>, until: string): Promise<WaitingLine[]> {
  const needs = await (reader as Tx).jobNeed.findMany({
    where: {
      state: 'accepted',
      partId: { not: null },
      job: { state: 'open', openedAt: { lt: new Date(`${daysAdd(until, 1)}T00:00:00Z`) } },
    },
    select: {
      partId: true,
      wanted: true,
      taken: true,
      allocated: true,
      job: { select: { id: true, machineId: true } },
    },
    orderBy: { id: 'asc' },
  })
  return needs
    .map(({ partId, wanted, taken, allocated, job }) => ({
      jobId: job.id,
      machineId: job.machineId,
      partId: partId!,
      quantity: wanted - taken - allocated,
    }))
    .filter(({ quantity }) => quantity > 0)
}
