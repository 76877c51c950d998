import { LEAN_NODE_FLAGS } from '../node-flags.ts'
import { CheckKept, type CheckResult, checkIsDue } from '../verify/kept.ts'
import { VerifyReport } from '../verify/report.ts'
import { childStart, isAlive } from './child.ts'
import { keptFile } from './kept-file.ts'

/** Faults of one check that are kept for the screen; the command lists more of them. */
const FAULTS_KEPT = 20
const HOUR_MS = 3_600_000

const FILE = keptFile('check.json', CheckKept, { working: null, last: null })

export interface CheckStanding {
  /** When the one at work began; null while none works. */
  workingSince: string | null
  last: CheckResult | null
}

/** The last check of the books and whether one is at work. */
export function checkStanding(): CheckStanding {
  const { working, last } = FILE.read()
  return { workingSince: working && isAlive(working.pid) ? working.startedAt : null, last }
}

/**
 * Starts `cotterbook verify` on this data set in a process of its own and keeps what it finds in the data folder. Does nothing
 * while one is at work. `now` as an instant of the caller's clock.
 */
export function checkStart(now: () => Date): void {
  const { workingSince, last } = checkStanding()
  if (workingSince !== null) return
  const child = childStart(['lib', 'cli', 'cotterbook.mjs'], ['verify', '--json'], {
    flags: LEAN_NODE_FLAGS,
    stdio: ['ignore', 'pipe', 'ignore'],
  })
  FILE.keep({ working: { startedAt: now().toISOString(), pid: child.pid ?? 0 }, last })
  let said = ''
  child.stdout?.setEncoding('utf8').on('data', (piece: string) => {
    said += piece
  })
  child.on('error', () => undefined)
  child.on('close', () => {
    const { ok, checks } = reportRead(said)
    const shown = checks.map(({ faults, ...check }) => ({ ...check, faults: faults.slice(0, FAULTS_KEPT) }))
    FILE.keep({ working: null, last: { endedAt: now().toISOString(), ok, checks: shown } })
  })
}

function reportRead(said: string): VerifyReport {
  try {
    return VerifyReport.parse(JSON.parse(said))
  } catch {
    const faults = ['The check did not come to its end: run “cotterbook verify” and read what it says.']
    return { ok: false, checks: [{ name: 'the check itself', ok: false, faults }] }
  }
}

/** Looks every hour whether a check is due, and starts it; the first look is an hour after the server began. */
export function checkSchedule(now: () => Date): void {
  const timer = setInterval(() => {
    if (checkIsDue(checkStanding().last, now().getTime())) checkStart(now)
  }, HOUR_MS)
  timer.unref()
}
