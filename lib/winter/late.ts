import type { PlainDate } from '../service/plain-date.ts'
import { type Precedence, precedenceOrder } from '../stock/allocation.ts'
import type { Want, WinterPartFacts } from './facts.ts'
import { enoughOn } from './supply.ts'

/** A part that a work needs whatever is found and that cannot be there by the day on which it is wanted: when it can. */
export interface LatePart {
  partId: number
  on: PlainDate
}

/** What is put off: the day by which its parts are wanted, and the one with which it is reckoned. */
interface LateWork {
  wants: Want[]
  wantedOn: PlainDate
  date: PlainDate
  late: LatePart[]
}

/** A machine that waits whatever is bought. */
export interface SureWait {
  machineId: number
  /** Fleet number. */
  machine: string
  /** What it waits for longest, as the plan calls it. */
  part: string
  /** Null: nobody sells it and none is coming. */
  until: PlainDate | null
}

/**
 * Puts off the days of works for which something that is certain to be needed cannot be there: to the day on which it can. What
 * holds them up is in `late`. Handed out in the order in which jobs are served; what nobody sells puts nothing off.
 */
export function putOff<Work extends LateWork>(
  works: readonly Work[],
  priorityOf: (work: Work) => Precedence,
  parts: readonly WinterPartFacts[],
  arrivals: ReadonlyMap<number, PlainDate>,
): void {
  const taken = new Map<number, number>()
  const partOf = new Map(parts.map((part) => [part.id, part]))
  for (const work of works.toSorted((a, b) => precedenceOrder(priorityOf(a), priorityOf(b)))) {
    const late = new Map<number, PlainDate>()
    for (const { partId, quantity, looks } of work.wants) {
      if (looks.length > 0) continue
      const needed = (taken.get(partId) ?? 0) + quantity
      taken.set(partId, needed)
      const day = enoughOn(partOf.get(partId)!, needed, arrivals.get(partId))
      if (day === null || day <= work.wantedOn) continue
      late.set(partId, day)
      if (day > work.date) work.date = day
    }
    work.late = [...late].map(([partId, on]) => ({ partId, on }))
  }
}

/** What a work waits for longest; null where nothing holds it up. */
export function lateLast(late: readonly LatePart[]): LatePart | null {
  return late.reduce<LatePart | null>((last, one) => (last === null || one.on > last.on ? one : last), null)
}
