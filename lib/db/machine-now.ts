import type { MachineNow } from '../companion/machine-now.ts'
import { dateOf } from '../service/plain-date.ts'
import type { database, Tx } from './client.ts'

/**
 * A machine as the companion rules may ask for it on the day a job was opened: its model, what its meter showed by then, and
 * what closed jobs had renewed on it. The day is the job's own, so that a plan does not change because a month went by.
 */
export async function machineNow(
  reader: Tx | ReturnType<typeof database>,
  machineId: number,
  openedAt: Date,
): Promise<MachineNow> {
  const tx = reader as Tx
  const [machine, reading, jobs] = await Promise.all([
    tx.machine.findUniqueOrThrow({ where: { id: machineId }, include: { model: true } }),
    tx.hourReading.findFirst({
      where: { machineId, at: { lte: openedAt } },
      orderBy: [{ at: 'desc' }, { id: 'desc' }],
      select: { hourTenths: true },
    }),
    tx.job.findMany({
      where: { machineId, state: 'closed', closedAt: { lt: openedAt } },
      select: {
        closedAt: true,
        hourTenths: true,
        needs: {
          where: { kind: 'part', item: { not: null }, taken: { gt: 0 } },
          select: { key: true, item: true, positions: true },
        },
      },
    }),
  ])
  return {
    today: dateOf(openedAt),
    maker: machine.model.maker,
    model: machine.model.name,
    hourTenths: reading?.hourTenths ?? null,
    year: machine.year,
    renewed: jobs.flatMap(({ closedAt, hourTenths, needs }) =>
      needs.map(({ key, item, positions }) => ({
        // The key of what was drawn begins with its figure.
        figureId: Number.parseInt(key, 10),
        item: item!,
        positions: JSON.parse(positions) as string[],
        on: dateOf(closedAt!),
        hourTenths,
      })),
    ),
  }
}
