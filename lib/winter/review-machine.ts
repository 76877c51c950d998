import { counted } from '../measure/counted.ts'
import { dateSays } from '../measure/date.ts'
import type { PlainDate } from '../service/plain-date.ts'
import type { CopyMachine } from './copy.ts'

/** A service job of a machine in a season. Quantities in minor units; what was put back is negative, the oldest line comes first. */
export interface SeasonJob {
  id: number
  number: number
  openedOn: PlainDate
  closedOn: PlainDate | null
  takes: { partId: number; on: PlainDate; quantity: number }[]
  lacks: { partId: number; quantity: number }[]
}

/** The shelf over the season. */
export interface SeasonShelf {
  /** On the shelf on the evening of a day, minor units. */
  onHand(partId: number, day: PlainDate): number
  /** Days on which goods of a part were booked in, in order. */
  cameOn(partId: number): readonly PlainDate[]
}

export interface MachineReview {
  machine: CopyMachine
  job: { id: number; number: number; closedOn: PlainDate | null } | null
  /** ready: its parts were there by its week; waited, waits: one or more were not; not-yet: its week is to come; not-done: nobody opened its job. */
  state: 'ready' | 'waited' | 'waits' | 'not-yet' | 'not-done'
  /** What it waited for; `cameOn` null: still not there. */
  waitedFor: { partId: number; cameOn: PlainDate | null }[]
}

/** Parts that a job took after its day, that were not on the shelf on that day, and that came in between. */
function lateParts(wantedOn: PlainDate, { takes, lacks }: SeasonJob, shelf: SeasonShelf) {
  const later = new Map<number, { quantity: number; last: PlainDate }>()
  for (const { partId, on, quantity } of takes) {
    if (on <= wantedOn) continue
    const before = later.get(partId) ?? { quantity: 0, last: on }
    later.set(partId, { quantity: before.quantity + quantity, last: on })
  }
  const waitedFor: MachineReview['waitedFor'] = []
  for (const [partId, { quantity, last }] of later) {
    if (quantity <= 0 || shelf.onHand(partId, wantedOn) >= quantity) continue
    const cameOn = shelf.cameOn(partId).find((day) => day > wantedOn && day <= last)
    if (cameOn !== undefined) waitedFor.push({ partId, cameOn })
  }
  for (const { partId } of lacks) waitedFor.push({ partId, cameOn: null })
  return waitedFor
}

/**
 * Whether the parts of a machine were there by its day, by the ledger: what its services took later, had not been on the shelf
 * on that day and came in between was waited for. A job that was only begun later, or stood for another reason, waited for
 * nothing.
 */
export function machineReview(
  machine: CopyMachine,
  jobs: readonly SeasonJob[],
  { shelf, today }: { shelf: SeasonShelf; today: PlainDate },
): MachineReview {
  const waitedFor = jobs.flatMap((job) => lateParts(machine.wantedOn, job, shelf))
  const last = jobs.at(-1)
  const job = last ? { id: last.id, number: last.number, closedOn: last.closedOn } : null
  const state = waitedFor.some(({ cameOn }) => cameOn === null)
    ? 'waits'
    : waitedFor.length > 0
      ? 'waited'
      : job !== null
        ? 'ready'
        : today < machine.wantedOn
          ? 'not-yet'
          : 'not-done'
  return { machine, job, state, waitedFor }
}

/** "Of 9 machines 7 had their parts by their week; 6.4 were expected." of those that were begun. */
export function machinesSay(rows: readonly MachineReview[], chance: 'now' | 'bought'): string {
  const begun = rows.filter(({ state }) => state !== 'not-yet' && state !== 'not-done')
  const open = rows.length - begun.length
  const rest = open === 0 ? '' : ` ${counted(open, 'machine')} had no service yet.`
  if (begun.length === 0) return `No service of the plan was begun.${rest}`
  const ready = begun.filter(({ state }) => state === 'ready').length
  const expected = begun.reduce((sum, { machine }) => sum + machine[chance], 0)
  const was = ready === 1 ? 'was' : 'were'
  return `Of ${counted(begun.length, 'machine')} ${ready} ${was} ready by the day planned; the plan expected ${expected.toFixed(1)}.${rest}`
}

const STATES = {
  ready: 'ready by its week',
  waited: 'waited',
  waits: 'still waits',
  'not-yet': 'its week is to come',
  'not-done': 'no service begun',
} as const satisfies Record<MachineReview['state'], string>

/** "waited for FM-210 until 12 Jan 2027" */
export function machineSays({ state, waitedFor }: MachineReview, nameOf: (partId: number) => string): string {
  if (waitedFor.length === 0) return STATES[state]
  return waitedFor
    .map(({ partId, cameOn }) =>
      cameOn === null ? `still waits for ${nameOf(partId)}` : `waited for ${nameOf(partId)} until ${dateSays(cameOn)}`,
    )
    .join('; ')
}
