import { hoursFormat } from '../machine/hour-meter.ts'
import { type MeterLast, meterFault, meterLastSays } from '../machine/meter.ts'
import { Refusal } from '../refusal.ts'
import type { database, Tx } from './client.ts'
import type { WriteContext } from './transaction.ts'

/** The last accepted reading; every one that is accepted is the machine's own figure as well. */
async function lastReading(tx: Tx, machine: { id: number; hourTenths: number }): Promise<MeterLast> {
  const row = await tx.hourReading.findFirst({
    where: { machineId: machine.id },
    orderBy: [{ at: 'desc' }, { id: 'desc' }],
    select: { at: true },
  })
  return { hourTenths: machine.hourTenths, at: row?.at ?? null }
}

/**
 * Writes a reading down, in the caller's transaction. One that cannot follow the last is refused, unless somebody says why it
 * is right all the same; what was said stays with the reading.
 */
export async function meterRead(
  tx: Tx,
  context: WriteContext,
  machine: { id: number; hourTenths: number },
  reading: { hourTenths: number; jobId?: number; reason?: string | undefined },
): Promise<void> {
  const { hourTenths, jobId } = reading
  const last = await lastReading(tx, machine)
  const fault = meterFault(last, hourTenths, context.now)
  if (fault !== null && !reading.reason) {
    const details = { reading: hoursFormat(hourTenths), last: meterLastSays(last) }
    const fields = { hours: `last reading: ${details.last}` }
    throw fault === 'below'
      ? new Refusal('machine/meter-below', details, { fields })
      : new Refusal('machine/meter-jump', details, { fields })
  }
  await tx.hourReading.create({
    data: {
      machineId: machine.id,
      hourTenths,
      at: context.now,
      personId: context.personId,
      jobId: jobId ?? null,
      reason: fault === null ? null : (reading.reason ?? null),
    },
  })
  await tx.machine.update({ where: { id: machine.id }, data: { hourTenths } })
}

export interface MeterNote {
  hourTenths: number
  at: Date
  reason: string
}

/** Readings that were kept although they cannot follow the one before, newest first, each with what was said. */
export async function meterNotes(
  reader: Tx | ReturnType<typeof database>,
  where: { machineId: number } | { jobId: number },
): Promise<MeterNote[]> {
  const rows = await (reader as Tx).hourReading.findMany({
    where: { ...where, reason: { not: null } },
    orderBy: [{ at: 'desc' }, { id: 'desc' }],
    select: { hourTenths: true, at: true, reason: true },
  })
  return rows.map((row) => ({ ...row, reason: row.reason! }))
}
