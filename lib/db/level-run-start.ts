import { RECKONING_NODE_FLAGS } from '../node-flags.ts'
import { isRefusal } from '../refusal.ts'
import { reckoningDue } from '../replenish/level-settings.ts'
import { dateOf } from '../service/plain-date.ts'
import { childStart } from './child.ts'
import { levelRunBegin, levelRunBeginUnasked, levelRunStanding } from './level-run.ts'
import { levelSettings } from './level-settings.ts'
import type { WriteContext } from './transaction.ts'

const LOOK_MS = 600_000

function work(runId: number): void {
  const child = childStart(['lib', 'cli', 'cotterbook.mjs'], ['levels', '--shop', '--json', '--run', String(runId)], {
    flags: RECKONING_NODE_FLAGS,
  })
  // A process that never came is seen by the beat that stays away.
  child.on('error', () => undefined)
}

/** Begins the reckoning of all levels in a process of its own. Refuses with 'level/running'. */
export async function levelRunStart(context: WriteContext): Promise<{ runId: number }> {
  const begun = await levelRunBegin(context)
  work(begun.runId)
  return begun
}

/** The day by the machine's own clock, as its hours are: a night is a night here, not in Greenwich. */
const dayHere = (at: Date) => dateOf(new Date(at.getTime() - at.getTimezoneOffset() * 60_000))

/** Looks every ten minutes whether the nightly reckoning is due, and begins it. Hours are those of the machine's own clock. */
export function levelRunSchedule(now: () => Date): void {
  const look = async () => {
    const at = now()
    const last = await levelRunStanding(at)
    const begunOn = last ? dayHere(new Date(last.startedAt)) : null
    if (!reckoningDue(await levelSettings(), { day: dayHere(at), hour: at.getHours() }, begunOn)) return
    work(await levelRunBeginUnasked(at))
  }
  const timer = setInterval(() => {
    look().catch((error: unknown) => {
      // Somebody else began one in the same moment: then there is nothing to do.
      if (!isRefusal(error)) console.error('The nightly reckoning of levels could not begin:', error)
    })
  }, LOOK_MS)
  timer.unref()
}
