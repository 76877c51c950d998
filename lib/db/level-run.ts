import { Refusal } from '../refusal.ts'
import { allForecasts, type ClassRate, classRates } from '../replenish/all-forecasts.ts'
import type { LevelSettings } from '../replenish/level-settings.ts'
import { dateOf } from '../service/plain-date.ts'
import { isAlive } from './child.ts'
import { database, type Tx } from './client.ts'
import { pastsRead } from './level-past.ts'
import { proposalsDrop, proposalsKeep } from './level-proposal-keep.ts'
import { partsReckon, runCommon } from './level-run-facts.ts'
import { levelSettings } from './level-settings.ts'
import { inTransaction, type WriteContext, write } from './transaction.ts'

/** A run that was begun and whose process never came, or whose beat is so old, is dead. */
const SILENCE_MS = 120_000
/** Progress is written no more often than this. */
const PROGRESS_MS = 700
/** Parts whose levels are reckoned and kept together. */
const AT_ONCE = 4_000

const DIED = 'The program was stopped while it reckoned. No level was changed: begin again.'

interface RunRow {
  state: string
  pid: number | null
  beatAt: Date
}

/** While the rates are learned no beat is written, so a process that is there counts as one. */
function hasDied({ state, pid, beatAt }: RunRow, now: Date): boolean {
  if (state !== 'working') return false
  return pid === null ? now.getTime() - beatAt.getTime() > SILENCE_MS : !isAlive(pid)
}

export interface LevelRunStanding {
  runId: number
  state: 'working' | 'done' | 'cancelled' | 'failed'
  startedAt: string
  endedAt: string | null
  /** Null where the clock began it. */
  by: string | null
  step: string
  done: number
  total: number
  changes: number
  parts: number
  words: string | null
  classes: ClassRate[]
}

/** The newest reckoning, or the newest that came to its end. Null where there was none. */
export async function levelRunStanding(
  now: Date,
  which: 'newest' | 'done' = 'newest',
): Promise<LevelRunStanding | null> {
  const db = database()
  const row = await db.levelRun.findFirst({
    where: which === 'done' ? { state: 'done' } : {},
    orderBy: { id: 'desc' },
  })
  if (!row) return null
  const person = row.personId === null ? null : await db.person.findUnique({ where: { id: row.personId } })
  const died = hasDied(row, now)
  return {
    runId: row.id,
    state: died ? 'failed' : (row.state as LevelRunStanding['state']),
    startedAt: row.startedAt.toISOString(),
    endedAt: row.endedAt?.toISOString() ?? null,
    by: row.personId === null ? null : (person?.name ?? 'the workshop'),
    step: row.step,
    done: row.done,
    total: row.total,
    changes: row.changes,
    parts: row.parts,
    words: died ? DIED : row.words,
    classes: row.classes === null ? [] : (JSON.parse(row.classes) as ClassRate[]),
  }
}

/** One at a time: two would write each other's proposals. Refuses with 'level/running'. */
async function begin(tx: Tx, personId: string | null, now: Date): Promise<number> {
  const working = await tx.levelRun.findMany({ where: { state: 'working' } })
  for (const run of working) {
    if (!hasDied(run, now)) throw new Refusal('level/running')
    await tx.levelRun.update({ where: { id: run.id }, data: { state: 'failed', endedAt: now, words: DIED } })
  }
  const settings = JSON.stringify(await levelSettings(tx))
  const run = await tx.levelRun.create({
    data: { state: 'working', startedAt: now, beatAt: now, personId, step: 'Beginning', settings },
  })
  return run.id
}

/** Writes down that somebody wants all levels reckoned. Refuses with 'level/running'. */
export function levelRunBegin(context: WriteContext): Promise<{ runId: number }> {
  return write(context, 'level.run', {}, async (tx) => ({ runId: await begin(tx, context.personId, context.now) }))
}

/** The same by the clock or from the command line. */
export function levelRunBeginUnasked(now: Date): Promise<number> {
  return inTransaction((tx) => begin(tx, null, now))
}

/** Ends the reckoning at its next step; what was kept of it stays a proposal. */
export function levelRunCancel(context: WriteContext, input: { runId: number }): Promise<null> {
  return write(context, 'level.run-cancel', input, async (tx) => {
    await tx.levelRun.updateMany({
      where: { id: input.runId, state: 'working' },
      data: { state: 'cancelled', endedAt: context.now },
    })
    return null
  })
}

class Cancelled extends Error {}

/** Writes how far a run is, now and then, and learns there whether somebody has cancelled it. */
function progressOf(runId: number, now: () => Date): (step: string, done: number, total: number) => Promise<void> {
  let last = { step: '', at: 0 }
  return async (step, done, total) => {
    const at = now()
    if (step === last.step && at.getTime() - last.at < PROGRESS_MS) return
    last = { step, at: at.getTime() }
    const { count } = await inTransaction((tx) =>
      tx.levelRun.updateMany({
        where: { id: runId, state: 'working' },
        data: { step, done, total, beatAt: at },
      }),
    )
    if (count === 0) throw new Cancelled()
  }
}

export interface LevelRunResult {
  runId: number
  state: 'done' | 'cancelled'
  parts: number
  changes: number
}

/**
 * Reckons the levels of all parts and keeps them as proposals; no level changes. For a process of its own: while the rates are
 * learned nothing else gets its turn. `now` as an instant of the caller's clock.
 */
export async function levelRunReckon(runId: number, now: () => Date): Promise<LevelRunResult> {
  const progress = progressOf(runId, now)
  const begun = now()
  // Taken by one process only, however often it was begun: a form sent twice starts two.
  const taken = await inTransaction((tx) =>
    tx.levelRun.updateMany({
      where: { id: runId, state: 'working', pid: null },
      data: { pid: process.pid, beatAt: begun },
    }),
  )
  if (taken.count === 0) return { runId, state: 'cancelled', parts: 0, changes: 0 }
  try {
    const { parts, changes, classes } = await reckon(runId, begun, progress)
    const { count } = await inTransaction((tx) =>
      tx.levelRun.updateMany({
        where: { id: runId, state: 'working' },
        data: { state: 'done', endedAt: now(), parts, changes, classes: JSON.stringify(classes) },
      }),
    )
    return { runId, state: count === 0 ? 'cancelled' : 'done', parts, changes }
  } catch (error) {
    if (error instanceof Cancelled) return { runId, state: 'cancelled', parts: 0, changes: 0 }
    const words = error instanceof Error ? error.message.slice(0, 300) : String(error)
    await inTransaction((tx) =>
      tx.levelRun.updateMany({
        where: { id: runId, state: 'working' },
        data: { state: 'failed', endedAt: now(), words },
      }),
    )
    throw error
  }
}

async function reckon(runId: number, begun: Date, progress: ReturnType<typeof progressOf>) {
  const today = dateOf(begun)
  const run = await database().levelRun.findUniqueOrThrow({ where: { id: runId } })
  const settings = JSON.parse(run.settings) as LevelSettings
  const pasts = await pastsRead(today, (done, total) => progress('Reading what was taken', done, total))
  await progress('Learning how often each class is asked for', 0, pasts.length)
  const forecasts = allForecasts(pasts)
  const common = await runCommon(begun)
  const parts = pasts.length
  const classes = classRates(pasts)
  let changes = 0
  // The last ones first, so that each past is let go of once it was used.
  while (pasts.length > 0) {
    const at = Math.max(0, pasts.length - AT_ONCE)
    await progress('Reckoning levels', parts - pasts.length, parts)
    const some = pasts.splice(at).map((past, nth) => ({ past, forecast: forecasts[at + nth]! }))
    forecasts.length = at
    const proposals = await partsReckon(some, { common, settings, today })
    await proposalsKeep(runId, proposals)
    changes += proposals.filter((one) => one.state === 'change').length
  }
  await proposalsDrop(runId)
  return { parts, changes, classes }
}
