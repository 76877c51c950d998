import { MINUTE_MS } from './calendar.ts'
import { personName } from './people.ts'
import type { EntryRow } from './rows.ts'

const TEXTS = [
  'The hour meter was read wrongly: the second figure was a 3, not an 8.',
  'The second bearing was renewed as well; it was taken from the van and booked two days later.',
]

/** Two slips found later: the frozen entry stays, a new one points to it. */
export function correctionsWritten(entries: readonly EntryRow[], end: Date): EntryRow[] {
  return TEXTS.flatMap((correction, index): EntryRow[] => {
    const first = entries[Math.floor(entries.length * (0.4 + 0.35 * index))]
    if (!first) return []
    const { machine, currency } = first.content
    const later = Math.min(first.writtenAt.getTime() + (index + 2) * 1440 * MINUTE_MS, end.getTime())
    return [
      {
        id: entries.length + 1 + index,
        machineId: first.machineId,
        jobId: null,
        writtenAt: new Date(later),
        personId: first.personId,
        personName: personName(first.personId),
        hourTenths: null,
        content: {
          version: 1,
          machine,
          job: null,
          complaint: '',
          cause: '',
          correction,
          labourMinutes: 0,
          fitted: [],
          acts: [],
          declined: [],
          tests: [],
          partsCostMinor: 0,
          currency,
        },
        correctsId: first.id,
      },
    ]
  })
}
