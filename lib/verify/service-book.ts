import { createHash } from 'node:crypto'
import { EntryContent } from '../job/service-book.ts'

export interface EntryRow {
  id: number
  machineId: number
  jobId: number | null
  content: string
  digest: string
  correctsId: number | null
}

/** Entries that were bent from outside, cannot be read, or correct an entry of another machine. */
export function entryFaults(entries: readonly EntryRow[]): string[] {
  const machineOf = new Map(entries.map((entry) => [entry.id, entry.machineId]))
  return entries.flatMap((entry) => {
    const faults: string[] = []
    if (createHash('sha256').update(entry.content).digest('hex') !== entry.digest)
      faults.push(`service book entry ${entry.id} does not fit its digest`)
    if (!contentReads(entry.content)) faults.push(`service book entry ${entry.id} cannot be read`)
    if (entry.correctsId !== null && machineOf.get(entry.correctsId) !== entry.machineId)
      faults.push(`service book entry ${entry.id} corrects entry ${entry.correctsId}, which is not of its machine`)
    return faults
  })
}

function contentReads(content: string): boolean {
  try {
    return EntryContent.safeParse(JSON.parse(content)).success
  } catch {
    return false
  }
}

/** Every closed job stands in its machine's service book, and no open one does. */
export function jobFaults(
  jobs: readonly { id: number; number: number; state: string; machineId: number }[],
  entries: readonly EntryRow[],
): string[] {
  const entryOf = new Map(entries.flatMap((entry) => (entry.jobId === null ? [] : [[entry.jobId, entry] as const])))
  return jobs.flatMap(({ id, number, state, machineId }) => {
    const entry = entryOf.get(id)
    if (state === 'closed' && !entry) return [`job ${number} is closed and has no service book entry`]
    if (state !== 'closed' && entry) return [`job ${number} is ${state} and stands in the service book already`]
    if (entry && entry.machineId !== machineId) return [`job ${number} stands in the service book of another machine`]
    return []
  })
}
