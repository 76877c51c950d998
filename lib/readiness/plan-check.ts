import type { z } from 'zod'
import { chanceBeta } from '../service/chance.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { shapeReason, shapeValue } from '../shape-reason.ts'
import { type Precedence, precedenceOrder } from '../stock/allocation.ts'
import {
  PlanCause,
  PlanFailure,
  PlanHead,
  PlanJob,
  PlanLine,
  PlanLook,
  PlanMachine,
  PlanPart,
  PlanSupplier,
} from './plan.ts'

/** Something in the plan that cannot be reckoned with: where, what, and what to do. The rest is answered all the same. */
export interface PlanFault {
  where: string
  says: string
  next: string
}

/** Chance of a place or a cause: given, or the one that a look has learned (its place in the list of looks). */
export type WorkChance = { given: number } | { look: number }

export interface WorkLine {
  part: number
  quantity: number
  places: number
  /** Null: renewed always. */
  chance: WorkChance | null
  /** Place in the job's causes. */
  cause: number | null
}

export interface WorkJob {
  id: string
  what: string
  machine: number
  date: PlainDate
  causes: { id: string; chance: WorkChance }[]
  lines: WorkLine[]
}

export interface WorkPart {
  id: string
  description: string
  free: number
  onOrder: { quantity: number; date: PlainDate }[]
  pack: number
  /** Packs that are bought at least, once any are. */
  packsLeast: number
  /** Null where it cannot be bought as the plan stands. */
  offer: { supplier: number; price: number; leadDays: number } | null
  failures: { mean: number; shape: number | null; quantity: number } | null
}

/** The plan with every name resolved, its jobs in the order in which they are given their parts. */
export interface WorkPlan {
  currency: string
  today: PlainDate
  season: { from: PlainDate; until: PlainDate }
  suppliers: { id: string; name: string; orderDays: z.infer<typeof PlanSupplier>['orderDays'] }[]
  machines: { id: string; name: string }[]
  parts: WorkPart[]
  looks: { id: string; a: number; b: number }[]
  jobs: WorkJob[]
  jobsLeftOut: string[]
}

/** More expected failures than this of one part are a slip of the rate or the exposure. */
const FAILURES_MOST = 100_000

class Faults {
  readonly list: PlanFault[] = []

  say(where: string, says: string, next: string): null {
    this.list.push({ where, says, next })
    return null
  }

  /** The value as its schema has it; else every fault is said, and null. */
  read<Schema extends z.ZodType>(schema: Schema, value: unknown, where: string): z.infer<Schema> | null {
    const read = schema.safeParse(value)
    if (read.success) return read.data
    for (const issue of read.error.issues)
      this.say(
        issue.path.length > 0 ? `${where}, ${issue.path.join('.')}` : where,
        shapeReason(issue, shapeValue(issue.path, value), 'a plan'),
        'Correct it in the file.',
      )
    return null
  }

  /** A list of things with ids of their own: what cannot be read and what is named twice is said and left out. */
  named<Schema extends z.ZodType<{ id: string }>>(schema: Schema, values: unknown, name: string): z.infer<Schema>[] {
    const seen = new Set<string>()
    return this.items(values, name).flatMap(({ value, where }) => {
      const one = this.read(schema, value, where)
      if (one === null) return []
      if (seen.has(one.id)) {
        this.say(where, `${one.id} is there already`, 'Give each its own id, or take one of them out.')
        return []
      }
      seen.add(one.id)
      return [one]
    })
  }

  items(values: unknown, name: string): { value: unknown; where: string }[] {
    if (values === undefined) return []
    if (!Array.isArray(values)) {
      this.say(name, 'must be a list', 'Write it in square brackets.')
      return []
    }
    return values.map((value: unknown, at) => {
      const id = (value as { id?: unknown } | null)?.id
      return { value, where: `${name} ${at + 1}${typeof id === 'string' ? ` (${id})` : ''}` }
    })
  }
}

const placesOf = (list: readonly { id: string }[]) => new Map(list.map(({ id }, at) => [id, at]))

/**
 * Reads a plan as a file has it. Every fault is found in one go. A job with a line that cannot be reckoned with is left out, for
 * its readiness would be too good; what is only not for sale counts with what is there. Null where the head of the plan is wrong.
 */
export function planRead(value: unknown): { plan: WorkPlan | null; faults: PlanFault[] } {
  const faults = new Faults()
  const head = faults.read(PlanHead, value, 'plan')
  if (head === null) return { plan: null, faults: faults.list }
  const given = value as Record<string, unknown>
  const suppliers = faults.named(PlanSupplier, given.suppliers, 'supplier')
  const machines = faults.named(PlanMachine, given.machines, 'machine')
  const looks = faults.named(PlanLook, given.looks, 'look')
  const fileParts = faults.named(PlanPart, given.parts, 'part')
  const supplierAt = placesOf(suppliers)
  const machineAt = placesOf(machines)
  const lookAt = placesOf(looks)
  const partAt = placesOf(fileParts)
  const needed = new Set<number>()

  const chanceOf = (one: { chance?: number; look?: string }, where: string): WorkChance | null => {
    if (one.chance !== undefined && one.look !== undefined)
      return faults.say(where, 'has a chance and a look', 'Keep one of them.')
    if (one.chance !== undefined) return { given: one.chance }
    const look = lookAt.get(one.look!)
    if (look === undefined)
      return faults.say(where, `there is no look ${one.look}`, 'Add it to looks, or give a chance.')
    return { look }
  }
  const partNamed = (id: string, where: string): number | null => {
    const part = partAt.get(id)
    if (part === undefined)
      return faults.say(where, `there is no part ${id}`, 'Add it to parts, or correct the number.')
    const next = fileParts[part]!.supersededBy
    if (next !== undefined)
      faults.say(where, `${id} is superseded by ${next}`, `Name ${next}. Until then only what is left of ${id} counts.`)
    needed.add(part)
    return part
  }
  const lineOf = (value: unknown, causes: ReadonlyMap<string, number>, where: string): WorkLine | null => {
    const line = faults.read(PlanLine, value, where)
    if (line === null) return null
    const part = partNamed(line.part, where)
    const isCertain = line.chance === undefined && line.look === undefined
    const chance = isCertain ? null : chanceOf(line, where)
    const cause = line.cause === undefined ? null : causes.get(line.cause)
    if (cause === undefined)
      return faults.say(where, `the job has no cause ${line.cause}`, 'Add it to the causes of the job.')
    if (part === null || (chance === null && !isCertain)) return null
    return { part, quantity: line.quantity, places: line.places, chance, cause }
  }

  const jobsLeftOut: string[] = []
  const jobs: (WorkJob & Precedence)[] = []
  for (const [at, job] of faults.named(PlanJob, given.jobs, 'job').entries()) {
    const where = `job ${job.id}`
    const machine = machineAt.get(job.machine)
    if (machine === undefined)
      faults.say(where, `there is no machine ${job.machine}`, 'Add it to machines, or correct its name.')
    const causes = faults.named(PlanCause, job.causes, `${where}, cause`).map((cause) => {
      const causeWhere = `${where}, cause ${cause.id}`
      if (cause.chance !== undefined || cause.look !== undefined)
        return { id: cause.id, chance: chanceOf(cause, causeWhere) }
      faults.say(causeWhere, 'has neither chance nor look', 'Say how likely it is to be opened.')
      return { id: cause.id, chance: null }
    })
    const lines = faults
      .items(job.lines, `${where}, line`)
      .map(({ value: line, where: lineWhere }) => lineOf(line, placesOf(causes), lineWhere))
    const isWhole =
      machine !== undefined &&
      lines.every((line) => line !== null) &&
      causes.length === job.causes.length &&
      causes.every(({ chance }) => chance !== null)
    if (!isWhole) {
      jobsLeftOut.push(job.id)
      continue
    }
    jobs.push({
      id: job.id,
      what: job.what ?? '',
      machine,
      date: job.date ?? head.season.until,
      causes: causes as WorkJob['causes'],
      lines,
      priority: job.priority,
      needOn: job.date ?? null,
      jobId: at,
    })
  }
  jobs.sort(precedenceOrder)

  const parts = fileParts.map((part, at): WorkPart => {
    const supplier = part.supplier === undefined ? undefined : supplierAt.get(part.supplier)
    const leadDays = part.leadDays ?? (supplier === undefined ? undefined : suppliers[supplier]!.leadDays)
    const where = `part ${part.id}`
    if (part.supersededBy === undefined && needed.has(at)) {
      const lacks =
        part.supplier === undefined
          ? ['nobody sells it', 'Name its supplier']
          : supplier === undefined
            ? [`there is no supplier ${part.supplier}`, 'Add it to suppliers']
            : part.price === undefined
              ? ['has no price', 'Give the price of a pack']
              : leadDays === undefined
                ? ['has no lead time', 'Give leadDays here or at its supplier']
                : null
      if (lacks) faults.say(where, lacks[0]!, `${lacks[1]}. Until then only what is there or on order counts.`)
    }
    return {
      id: part.id,
      description: part.description ?? '',
      free: part.free,
      onOrder: part.onOrder.toSorted((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : 0)),
      pack: part.pack,
      packsLeast: Math.ceil(part.minimum / part.pack),
      offer:
        part.supersededBy !== undefined || supplier === undefined || part.price === undefined || leadDays === undefined
          ? null
          : { supplier, price: part.price, leadDays },
      failures: null,
    }
  })
  for (const { value: one, where } of faults.items(given.failures, 'failure')) {
    const failure = faults.read(PlanFailure, one, where)
    if (failure === null) continue
    const part = partNamed(failure.part, where)
    const mean = failure.rate * failure.exposure
    if (part === null) continue
    if (mean > FAILURES_MOST) {
      faults.say(where, `${Math.round(mean)} failures are expected`, 'Correct the rate or the exposure.')
      continue
    }
    if (parts[part]!.failures) {
      faults.say(where, `${failure.part} has failures already`, 'Put both together in one.')
      continue
    }
    parts[part]!.failures = { mean, shape: failure.shape ?? null, quantity: failure.quantity }
  }
  return {
    plan: {
      ...head,
      suppliers: suppliers.map(({ id, name, orderDays }) => ({ id, name: name ?? id, orderDays })),
      machines: machines.map(({ id, name }) => ({ id, name: name ?? '' })),
      parts,
      looks: looks.map(({ id, renewed, looked, ofClass }) => ({
        id,
        ...chanceBeta({ renewed, looked }, ofClass ?? { renewed: 0, looked: 0 }),
      })),
      jobs,
      jobsLeftOut,
    },
    faults: faults.list,
  }
}
