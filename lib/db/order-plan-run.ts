import { text } from 'node:stream/consumers'
import type { DraftState } from '../buying/order-life.ts'
import { Refusal } from '../refusal.ts'
import type { PlanAnswer } from '../replenish/plan-answer.ts'
import type { KeptPlan } from '../replenish/plan-kept.ts'
import { dateOf } from '../service/plain-date.ts'
import { childStart, isAlive } from './child.ts'
import { database, type Tx } from './client.ts'
import { planQuestion } from './order-plan-read.ts'
import { winterAsked } from './order-plan-winter.ts'
import { inTransaction, type WriteContext, write } from './transaction.ts'

/** A run that was begun and whose process never came is dead after so long. */
const SILENCE_MS = 120_000
/** How often a run looks whether somebody has cancelled it. */
const LOOK_MS = 700

const DIED = 'The program was stopped while it reckoned. Nothing was ordered: begin again.'

/** While the problem is read no beat is written, so a process that is there counts as one. */
function hasDied({ state, pid, beatAt }: { state: string; pid: number | null; beatAt: Date }, now: Date): boolean {
  if (state !== 'working') return false
  return pid === null ? now.getTime() - beatAt.getTime() > SILENCE_MS : !isAlive(pid)
}

export interface PlanRunStanding {
  runId: number
  state: 'working' | 'done' | 'cancelled' | 'failed'
  startedAt: string
  endedAt: string | null
  by: string
  seconds: number
  step: string
  words: string | null
}

/** The newest reckoning; null where there was none. */
export async function planRunStanding(now: Date): Promise<PlanRunStanding | null> {
  const db = database()
  const row = await db.orderPlanRun.findFirst({ orderBy: { id: 'desc' } })
  if (!row) return null
  const person = await db.person.findUnique({ where: { id: row.personId } })
  const died = hasDied(row, now)
  return {
    runId: row.id,
    state: died ? 'failed' : (row.state as PlanRunStanding['state']),
    startedAt: row.startedAt.toISOString(),
    endedAt: row.endedAt?.toISOString() ?? null,
    by: person?.name ?? 'the workshop',
    seconds: row.seconds,
    step: row.step,
    words: died ? DIED : row.words,
  }
}

/** What was made of a plan: orders, and drafts that were above the limit of whoever pressed. */
export interface PlanMade {
  at: string
  orders: { id: number; number: number }[]
  drafts: { id: number; supplier: string; state: DraftState; order: { id: number; number: number } | null }[]
}

export interface PlanLast {
  runId: number
  endedAt: string
  kept: KeptPlan
  /** Something that it was reckoned from has changed since. */
  isStale: boolean
  ordered: PlanMade | null
}

/**
 * The newest plan that was reckoned to its end, held against the workshop as it is now; where `holds` is false, as while another is
 * looked for, it is taken for current: the page is read every other second then.
 */
export async function planLast(now: Date, holds = true): Promise<PlanLast | null> {
  const db = database()
  const row = await db.orderPlanRun.findFirst({
    where: { state: 'done', plan: { not: null } },
    orderBy: { id: 'desc' },
  })
  if (!row || row.plan === null) return null
  const digest = holds ? await digestNow(db as unknown as Tx, now) : row.digest
  return {
    runId: row.id,
    endedAt: (row.endedAt ?? row.startedAt).toISOString(),
    kept: JSON.parse(row.plan) as KeptPlan,
    isStale: digest !== row.digest,
    ordered: row.orderedAt === null ? null : await madeOf(row.orderedAt, row),
  }
}

async function digestNow(reader: Tx, now: Date): Promise<string> {
  return (await planQuestion(reader, dateOf(now), await winterAsked(now))).digest
}

async function madeOf(at: Date, row: { orderIds: string | null; draftIds: string | null }): Promise<PlanMade> {
  const db = database()
  const ids = (json: string | null) => (json === null ? [] : (JSON.parse(json) as number[]))
  const [orders, drafts] = await Promise.all([
    db.purchaseOrder.findMany({
      where: { id: { in: ids(row.orderIds) } },
      select: { id: true, number: true },
      orderBy: { id: 'asc' },
    }),
    db.orderDraft.findMany({
      where: { id: { in: ids(row.draftIds) } },
      select: {
        id: true,
        state: true,
        supplier: { select: { name: true } },
        order: { select: { id: true, number: true } },
      },
      orderBy: { id: 'asc' },
    }),
  ])
  return {
    at: at.toISOString(),
    orders,
    drafts: drafts.map(({ state, supplier, ...rest }) => ({
      ...rest,
      supplier: supplier.name,
      state: state as DraftState,
    })),
  }
}

/**
 * Writes down that a plan is wanted, in the caller's transaction. One at a time: refuses with 'plan/running', or ends the one at
 * work where this one takes its place.
 */
export async function planRunWanted(
  tx: Tx,
  context: WriteContext,
  { seconds, instead = false }: { seconds: number; instead?: boolean },
): Promise<number> {
  const { now, personId } = context
  for (const run of await tx.orderPlanRun.findMany({ where: { state: 'working' } })) {
    const died = hasDied(run, now)
    if (!died && !instead) throw new Refusal('plan/running')
    const end = died ? { state: 'failed', words: DIED } : { state: 'cancelled' }
    await tx.orderPlanRun.update({ where: { id: run.id }, data: { ...end, endedAt: now } })
  }
  const run = await tx.orderPlanRun.create({
    data: { state: 'working', startedAt: now, beatAt: now, personId, seconds, step: 'Beginning' },
  })
  return run.id
}

/** Ends a reckoning: whatever it still finds is not kept. */
export function planRunCancel(context: WriteContext, input: { runId: number }): Promise<null> {
  return write(context, 'buying.plan-cancel', input, async (tx) => {
    await tx.orderPlanRun.updateMany({
      where: { id: input.runId, state: 'working' },
      data: { state: 'cancelled', endedAt: context.now },
    })
    return null
  })
}

class Cancelled extends Error {}

export interface PlanRunResult {
  runId: number
  state: 'done' | 'cancelled'
  plan: KeptPlan | null
}

/**
 * Reads the workshop, has the plan solved in a process of its own that can be ended at any moment, and keeps it. For a process of
 * its own as well. `now` as an instant of the caller's clock.
 */
export async function planRunReckon(
  runId: number,
  now: () => Date,
  solved: SolvedBeside = solvedBeside,
): Promise<PlanRunResult> {
  const working = { id: runId, state: 'working' }
  // Taken by one process only, however often it was begun: a form sent twice starts two.
  const taken = await inTransaction((tx) =>
    tx.orderPlanRun.updateMany({
      where: { ...working, pid: null },
      data: { pid: process.pid, beatAt: now(), step: 'Reading what is wanted and what is on offer' },
    }),
  )
  if (taken.count === 0) return { runId, state: 'cancelled', plan: null }
  try {
    const { seconds } = await database().orderPlanRun.findUniqueOrThrow({ where: { id: runId } })
    const today = dateOf(now())
    const winter = await winterAsked(now(), { reckons: true })
    const { problem, names, faults, drafted, digest } = await planQuestion(database() as unknown as Tx, today, winter)
    const answer = await solved(problem, seconds, async (gone) => {
      const step = `Looking for the cheapest plan, ${gone} of at most ${seconds} s`
      const { count } = await inTransaction((tx) =>
        tx.orderPlanRun.updateMany({ where: working, data: { step, beatAt: now() } }),
      )
      if (count === 0) throw new Cancelled()
    })
    const plan: KeptPlan = { today, answer, names, faults, drafted }
    const { count } = await inTransaction(async (tx) => {
      const done = await tx.orderPlanRun.updateMany({
        where: working,
        data: { state: 'done', endedAt: now(), digest, plan: JSON.stringify(plan) },
      })
      if (done.count > 0)
        await tx.orderPlanRun.updateMany({ where: { id: { lt: runId }, plan: { not: null } }, data: { plan: null } })
      return done
    })
    return count === 0 ? { runId, state: 'cancelled', plan: null } : { runId, state: 'done', plan }
  } catch (error) {
    if (error instanceof Cancelled) return { runId, state: 'cancelled', plan: null }
    const words = error instanceof Error ? error.message.slice(0, 300) : String(error)
    await inTransaction((tx) =>
      tx.orderPlanRun.updateMany({ where: working, data: { state: 'failed', endedAt: now(), words } }),
    )
    throw error
  }
}

/** Solves a problem in so many seconds, and lets `look` end it. */
export type SolvedBeside = (
  problem: Record<string, unknown>,
  seconds: number,
  look: (gone: number) => Promise<void>,
) => Promise<PlanAnswer>

/**
 * The solver cannot be stopped from within, so it works beside: `look` hears every so often how many seconds have gone, and where
 * it throws the solving process is ended.
 */
const solvedBeside: SolvedBeside = async (problem, seconds, look) => {
  const child = childStart(
    ['lib', 'cli', 'cotterbook.mjs'],
    ['order-plan', '-', '--json', '--time-limit', String(seconds)],
    { stdio: ['pipe', 'pipe', 'ignore'] },
  )
  const ended = new Promise<void>((resolve, reject) => {
    child.on('error', reject)
    child.on('close', () => resolve())
  })
  // What ends the child while it is fed shows in its answer, not here.
  child.stdin?.on('error', () => undefined).end(JSON.stringify(problem))
  const said = text(child.stdout!)
  let isOver = false
  const over = Promise.all([said, ended]).then(([whole]) => {
    isOver = true
    return whole
  })
  // Where the look ends it first, nobody waits for this any more.
  over.catch(() => undefined)
  try {
    for (let gone = 0; !isOver; gone += LOOK_MS) {
      await look(Math.min(seconds, Math.floor(gone / 1000)))
      await Promise.race([over, new Promise((resolve) => setTimeout(resolve, LOOK_MS))])
    }
  } catch (error) {
    child.kill()
    throw error
  }
  const whole = await over
  if (whole === '') throw new Error('The solver ended without an answer. Reckon again, with less time.')
  const answer = JSON.parse(whole) as PlanAnswer | { faults: { why: string }[] }
  if ('orders' in answer) return answer
  throw new Error(answer.faults.map(({ why }) => why).join('; ') || 'the plan could not be reckoned')
}
