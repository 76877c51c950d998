import { createHash } from 'node:crypto'
import { z } from 'zod'
import { orderDayNext } from '../buying/order-day.ts'
import { RECKONING_NODE_FLAGS } from '../node-flags.ts'
import { orderLastDay } from '../readiness/order-day.ts'
import { dateOf } from '../service/plain-date.ts'
import { type WinterAnswer, winterAnswer } from '../winter/answer.ts'
import type { BuyPart, BuySupplier } from '../winter/buy-list.ts'
import type { WinterFacts } from '../winter/facts.ts'
import { type NotToBeHad, notToBeHad } from '../winter/not-to-be-had.ts'
import { type WinterPlanned, winterPlan } from '../winter/plan.ts'
import { weekdayNames } from '../winter/supply.ts'
import { goesWithSays } from '../winter/words.ts'
import { childStart, isAlive } from './child.ts'
import { database } from './client.ts'
import { keptFile } from './kept-file.ts'
import { type WinterPlanRow, winterPlanRead } from './winter.ts'
import { winterFacts } from './winter-facts.ts'
import { partsComing, winterSpent } from './winter-order.ts'

/** Grows when an answer kept by an older version can no longer be read. */
const VERSION = 4
/** Plans with more lines are reckoned in a process of their own: below it takes less than a second. */
const LINES_AT_ONCE = 1_500
/** Progress is written no more often than this. */
const PROGRESS_MS = 400

const Kept = z.object({ digest: z.string(), answer: z.custom<WinterAnswer>().nullable() })
const Run = z.object({ pid: z.number().int(), far: z.string(), isCancelled: z.boolean() })

const keptOf = (planId: number) => keptFile(`winter-${planId}.json`, Kept, { digest: '', answer: null })
const runOf = (planId: number) => keptFile(`winter-${planId}-run.json`, Run, { pid: 0, far: '', isCancelled: false })

export interface WinterRead {
  plan: WinterPlanRow
  facts: WinterFacts
  planned: WinterPlanned
  /** Orders of the plan and its drafts together, and the drafts of it. */
  spentMinor: number
  draftedMinor: number
}

/** A plan with all that it is reckoned from now. Refuses with 'winter/no-such'. */
export async function winterRead(planId: number, now: Date): Promise<WinterRead & { digest: string }> {
  const [plan, facts, spent] = await Promise.all([
    winterPlanRead(planId),
    winterFacts(planId, now),
    winterSpent(planId, dateOf(now)),
  ])
  const spentMinor = spent.ordered + spent.drafted
  const planned = winterPlan(facts)
  const said = JSON.stringify([
    VERSION,
    planned.file,
    planned.byHand,
    [...planned.prices.parts],
    [...planned.prices.suppliers],
    planned.faults,
    plan.budgetMinor,
    spentMinor,
  ])
  return {
    plan,
    facts,
    planned,
    spentMinor,
    draftedMinor: spent.drafted,
    digest: createHash('sha256').update(said).digest('hex'),
  }
}

export interface WinterStanding extends WinterRead {
  /** Null while a process reckons, or after one broke off. */
  answer: WinterAnswer | null
  /** How far the one at work is; null while none works. */
  far: string | null
  isBroken: boolean
}

/**
 * A plan with its answer. An answer that was kept counts as long as nothing it was reckoned from has changed; a small plan is
 * reckoned at once, a large one in a process of its own, which is begun here unless the last one broke off.
 */
export async function winterStanding(
  planId: number,
  now: Date,
  { linesAtOnce = LINES_AT_ONCE, start = work }: { linesAtOnce?: number; start?: (planId: number) => number } = {},
): Promise<WinterStanding> {
  const { digest, ...read } = await winterRead(planId, now)
  const file = keptOf(planId)
  const kept = file.read()
  if (kept.digest === digest && kept.answer) return { ...read, answer: kept.answer, far: null, isBroken: false }
  const lines = read.planned.works.reduce((sum, { wants }) => sum + wants.length, 0)
  if (lines <= linesAtOnce) {
    const answer = winterAnswer(read.planned, { budgetMinor: read.plan.budgetMinor, spentMinor: read.spentMinor })
    file.keep({ digest, answer })
    return { ...read, answer, far: null, isBroken: false }
  }
  const run = runOf(planId)
  const { pid, far, isCancelled } = run.read()
  if (pid > 0 && isAlive(pid)) return { ...read, answer: null, far, isBroken: false }
  if (pid > 0 || isCancelled) return { ...read, answer: null, far: null, isBroken: true }
  run.keep({ pid: start(planId), far: '', isCancelled: false })
  return { ...read, answer: null, far: '', isBroken: false }
}

/** A plan with the answer that is kept, where that is current; nothing is reckoned or begun. */
export async function winterAsKept(planId: number, now: Date): Promise<WinterStanding> {
  const { digest, ...read } = await winterRead(planId, now)
  const kept = keptOf(planId).read()
  return { ...read, answer: kept.digest === digest ? kept.answer : null, far: null, isBroken: false }
}

function work(planId: number): number {
  const child = childStart(['lib', 'cli', 'cotterbook.mjs'], ['winter', String(planId), '--json'], {
    flags: RECKONING_NODE_FLAGS,
  })
  // A process that never came is seen by its id, which is no longer alive.
  child.on('error', () => undefined)
  return child.pid ?? 0
}

/** Has a plan reckoned again whose process broke off or was cancelled. */
export function winterAgain(planId: number): void {
  runOf(planId).keep({ pid: 0, far: '', isCancelled: false })
}

/** Ends the process at its next step; what was kept before stays. */
export function winterCancel(planId: number): void {
  const run = runOf(planId)
  run.keep({ ...run.read(), isCancelled: true })
}

/** Reckons a plan and keeps the answer; null where somebody cancelled it meanwhile. For a process of its own. */
export async function winterReckon(planId: number, now: Date, clock: () => number): Promise<WinterAnswer | null> {
  const run = runOf(planId)
  run.keep({ ...run.read(), pid: process.pid, far: 'Reading' })
  const { planned, plan, spentMinor, digest } = await winterRead(planId, now)
  let last = 0
  const cancelled = new Error('cancelled')
  try {
    const answer = winterAnswer(planned, { budgetMinor: plan.budgetMinor, spentMinor }, (step, done, of) => {
      if (clock() - last < PROGRESS_MS) return
      last = clock()
      if (run.read().isCancelled) throw cancelled
      run.keep({ pid: process.pid, far: `${step}: ${done} of ${of} groups of parts`, isCancelled: false })
    })
    keptOf(planId).keep({ digest, answer })
    run.keep({ pid: 0, far: '', isCancelled: false })
    return answer
  } catch (error) {
    if (error !== cancelled) throw error
    run.keep({ pid: 0, far: '', isCancelled: true })
    return null
  }
}

/** The list to buy as the screen, its paper and its file need it; null where the answer is still to come. */
export async function winterBuying(
  standing: WinterStanding,
): Promise<{ parts: BuyPart[]; suppliers: BuySupplier[]; absent: NotToBeHad[] } | null> {
  const { answer, facts, planned } = standing
  if (answer === null) return null
  const coming = await partsComing(
    database(),
    facts.parts.map(({ id }) => id),
    facts.today,
  )
  const byHand = new Map(facts.byHand.map(({ partId, quantity }) => [partId, quantity]))
  const why = goesWithSays(planned.works)
  const orderDaysOf = new Map(facts.suppliers.map(({ id, orderDays }) => [id, weekdayNames(orderDays)]))
  const reckoned = new Map(answer.parts.map((one) => [one.partId, one]))
  const parts = facts.parts.flatMap(({ id, offer, drafts, number, maker, description, unit }): BuyPart[] => {
    const part = reckoned.get(id)
    if (!offer || !part) return []
    const { supplierId, supplierNumber, on, pack, minimum, others } = offer
    const said = { supplierId, supplierNumber, on, pack, minimum, others, number, maker, description, unit, drafts }
    // The answer takes what is set by hand as ordered and knows nobody who sells it: the day is that of the offer.
    const lastDay = orderLastDay(part.neededOn, offer.leadDays, orderDaysOf.get(supplierId)!)
    const set = { byHand: byHand.get(id) ?? null, seen: coming.get(id) ?? 0 }
    return [{ ...part, ...said, ...set, lastDay, goesWith: why.get(id) ?? [] }]
  })
  const suppliers = facts.suppliers.map(({ id, name, terms, orderDays }): BuySupplier => {
    const days = facts.parts.flatMap((part) =>
      part.offer?.supplierId === id ? (planned.arrivals.get(part.id) ?? []) : [],
    )
    const nextOrderOn = orderDayNext(facts.today, orderDays)
    return { id, name, terms, nextOrderOn, arrives: days.sort().at(-1) ?? facts.today }
  })
  const byNumber = (a: { number: string }, b: { number: string }) =>
    a.number.localeCompare(b.number, 'en', { numeric: true })
  const absent = notToBeHad(facts, planned.arrivals, answer)
  return { parts: parts.sort(byNumber), suppliers, absent: absent.sort(byNumber) }
}
