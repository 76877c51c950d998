import { z } from 'zod'
import { PastYear } from '../demand/past-year-result.ts'
import { childStart, isAlive } from './child.ts'
import { lastWhole } from './demand-history.ts'
import { keptFile } from './kept-file.ts'

const Kept = z.object({
  working: z.object({ pid: z.number().int(), far: z.string() }).nullable(),
  /** It broke off, at this instant; null where the last one came to its end. */
  brokenAt: z.string().nullable(),
  last: z.object({ endedAt: z.string(), year: PastYear }).nullable(),
})
type Kept = z.infer<typeof Kept>

const FILE = keptFile('last-year.json', Kept, { working: null, brokenAt: null, last: null })

export interface PastYearStanding {
  /** How far the one at work is ("2 of 5"), empty while it reads; null while none works. */
  far: string | null
  /** The last one that was begun did not come to its end. */
  isBroken: boolean
  last: Kept['last']
  /** The last one is of the twelve months that are over now. */
  isFresh: boolean
}

export function pastYearStanding(now: Date): PastYearStanding {
  const { working, brokenAt, last } = FILE.read()
  return {
    far: working && isAlive(working.pid) ? working.far : null,
    isBroken: brokenAt !== null || (working !== null && !isAlive(working.pid)),
    last,
    isFresh: last?.year.through === lastWhole(now.toISOString().slice(0, 10)),
  }
}

/**
 * Reckons the past year in a process of its own, since every part is foreseen twelve times over by every method, and keeps the
 * answer in the data folder. Does nothing while one is at work.
 */
export function pastYearStart(now: () => Date): void {
  const { far, last } = pastYearStanding(now())
  if (far !== null) return
  const child = childStart(['lib', 'cli', 'cotterbook.mjs'], ['last-year', '--json'], {
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  const pid = child.pid ?? 0
  FILE.keep({ working: { pid, far: '' }, brokenAt: null, last })
  let said = ''
  child.stdout?.setEncoding('utf8').on('data', (piece: string) => {
    said += piece
  })
  child.stderr?.setEncoding('utf8').on('data', (piece: string) => {
    const steps = /(\d+ of \d+)\s*$/.exec(piece)?.[1]
    if (steps !== undefined) FILE.keep({ working: { pid, far: steps }, brokenAt: null, last })
  })
  child.on('error', () => undefined)
  child.on('close', () => {
    const year = yearRead(said)
    const at = now().toISOString()
    FILE.keep({ working: null, brokenAt: year ? null : at, last: year ? { endedAt: at, year } : last })
  })
}

function yearRead(said: string): PastYear | null {
  try {
    return PastYear.parse(JSON.parse(said))
  } catch {
    return null
  }
}
