import { type Random, randomChance, randomInteger, randomPick } from '../../lib/maths/random.ts'
import type { StockUnit } from '../../lib/measure/quantity.ts'
import { MINUTE_MS } from './calendar.ts'
import type { JobDraft } from './job-draft.ts'
import { type Ledger, ledgerOnHand, ledgerWrite, type MovementRow, type Placing } from './ledger.ts'
import { MECHANICS } from './people.ts'
import type { CheckRow, EntryRow, JobRow, NeedRow, TargetRow } from './rows.ts'

export interface MachineHead {
  machineId: number
  fleetNumber: string
  name: string
  model: string
  serialNumber: string | null
}

export interface PartHead {
  number: string
  maker: string
  unit: StockUnit
}

/** A job on the bench: opened, and either closed or waiting for parts. */
export interface JobOnBench {
  draft: JobDraft
  job: JobRow
  needs: NeedRow[]
  random: Random
  /** Done out in the rows, from the van. */
  inOrchard: boolean
}

/** Everything the jobs of the history leave behind. */
export interface JobRows {
  jobs: JobRow[]
  targets: TargetRow[]
  needs: NeedRow[]
  checks: CheckRow[]
  entries: EntryRow[]
}

export interface Bench {
  rows: JobRows
  ledger: Ledger
  machineOf: (machineId: number) => MachineHead
  partOf: (partId: number) => PartHead
  figureName: (figureId: number) => string
  /** Bins of a part in the order of the walk, the van's box last; first for a job out in the orchard. */
  binsOf: (partId: number, inOrchard: boolean) => readonly number[]
  currency: string
  /** Nothing of the history is later than this. */
  end: Date
}

export function jobOpened(bench: Bench, draft: JobDraft, at: Date, hourTenths: number, random: Random): JobOnBench {
  const { rows } = bench
  const mechanic = randomPick(random, MECHANICS)
  const job: JobRow = {
    id: rows.jobs.length + 1,
    number: rows.jobs.length + 1,
    machineId: draft.machineId,
    state: 'closed',
    kind: draft.kind,
    complaint: draft.complaint,
    cause: draft.cause,
    correction: draft.correction,
    hourTenths,
    labourMinutes: draft.labourMinutes,
    openedAt: at,
    openedById: mechanic,
    closedAt: at,
    closedById: mechanic,
  }
  rows.jobs.push(job)
  for (const target of draft.targets)
    rows.targets.push({
      id: rows.targets.length + 1,
      jobId: job.id,
      figureId: target.figureId,
      lineId: target.lineId,
      item: target.item,
      positions: JSON.stringify(target.positions),
      quantity: target.quantity,
    })
  const decidedAt = new Date(at.getTime() + 4 * MINUTE_MS)
  const needs = draft.needs.map((need, index): NeedRow => {
    const decided = need.origin === 'by-hand' || (need.origin === 'suggestion' && need.state !== 'open')
    return {
      ...need,
      id: rows.needs.length + 1 + index,
      jobId: job.id,
      positions: JSON.stringify(need.positions),
      taken: 0,
      allocated: 0,
      decidedById: decided ? mechanic : null,
      decidedAt: decided ? decidedAt : null,
    }
  })
  rows.needs.push(...needs)
  return { draft, job, needs, random, inOrchard: draft.kind === 'repair' && randomChance(random, 0.4) }
}

const wantsParts = (need: NeedRow) => need.partId !== null && need.state === 'accepted' && need.wanted > need.taken

/** What the job still wants of each part, minor units. */
export function jobWants(on: JobOnBench): Map<number, number> {
  const wants = new Map<number, number>()
  for (const need of on.needs.filter(wantsParts))
    wants.set(need.partId!, (wants.get(need.partId!) ?? 0) + need.wanted - need.taken)
  return wants
}

/** Spreads a quantity over the bins of a part, first bin of the walk first. */
function fromBins(
  bench: Bench,
  on: JobOnBench,
  partId: number,
  quantity: number,
  used: Map<string, number>,
): [binId: number, quantity: number][] {
  const taken: [number, number][] = []
  let wanted = quantity
  for (const binId of bench.binsOf(partId, on.inOrchard)) {
    const key = `${partId}:${binId}`
    const there = (bench.ledger.balances.get(partId)?.get(binId) ?? 0) - (used.get(key) ?? 0)
    const take = Math.min(there, wanted)
    if (take <= 0) continue
    used.set(key, (used.get(key) ?? 0) + take)
    taken.push([binId, take])
    wanted -= take
  }
  return taken
}

/** Takes what the shelf can give; true when nothing is wanted any more. */
export function jobTakes(bench: Bench, on: JobOnBench, at: Date): boolean {
  const used = new Map<string, number>()
  const placings: Placing[] = []
  for (const need of on.needs.filter(wantsParts)) {
    for (const [binId, quantity] of fromBins(bench, on, need.partId!, need.wanted - need.taken, used)) {
      placings.push({
        kind: 'issue',
        partId: need.partId!,
        binId,
        quantity: -quantity,
        jobId: on.job.id,
        needId: need.id,
      })
      need.taken += quantity
    }
  }
  if (placings.length > 0) {
    const rows = ledgerWrite(bench.ledger, 'job.take', { at, personId: on.job.openedById }, placings)
    mistakeMade(bench, on, rows, new Date(at.getTime() + MINUTE_MS))
  }
  return !on.needs.some(wantsParts)
}

/** Now and then the wrong thing is booked and put right, or one too many is taken and put back. */
function mistakeMade(bench: Bench, on: JobOnBench, rows: readonly MovementRow[], at: Date): void {
  const context = { at, personId: on.job.openedById }
  const first = rows[0]!
  const same = { partId: first.partId, binId: first.binId, jobId: on.job.id, needId: first.needId! }
  if (on.job.number % 97 === 41) {
    const reason = 'Booked under the wrong line, done again'
    ledgerWrite(bench.ledger, 'stock.reverse', { at, personId: 'demo-nell' }, [
      {
        ...same,
        kind: 'reversal',
        quantity: -first.quantity,
        reversesId: first.id,
        reason,
        costMinor: first.costMinor,
      },
    ])
    ledgerWrite(bench.ledger, 'job.take', context, [{ ...same, kind: 'issue', quantity: first.quantity }])
  } else if (
    randomChance(on.random, 0.1) &&
    bench.partOf(first.partId).unit === 'each' &&
    ledgerOnHand(bench.ledger, first.partId) > 0
  ) {
    const [from] = fromBins(bench, on, first.partId, 1, new Map())
    if (!from) return
    ledgerWrite(bench.ledger, 'job.take', context, [{ ...same, binId: from[0], kind: 'issue', quantity: -1 }])
    ledgerWrite(bench.ledger, 'job.put-back', context, [{ ...same, binId: from[0], kind: 'return', quantity: 1 }])
  }
}

/** Buys over the counter what no supplier brings in time, so that the machine goes back out. */
export function jobFetches(bench: Bench, on: JobOnBench, at: Date, homeBin: (partId: number) => number): void {
  const placings = [...jobWants(on)].flatMap(([partId, quantity]): Placing[] => {
    const missing = quantity - ledgerOnHand(bench.ledger, partId)
    const costMinor = Math.round((bench.ledger.costs.get(partId) ?? 0) * 1.15)
    return missing > 0
      ? [
          {
            kind: 'receive',
            partId,
            binId: homeBin(partId),
            quantity: missing,
            costMinor,
            reason: `Bought over the counter for job ${on.job.number}`,
          },
        ]
      : []
  })
  if (placings.length > 0) ledgerWrite(bench.ledger, 'stock.receive', { at, personId: on.job.openedById }, placings)
}

/** Minutes until the next job of the day is on the bench. */
export function benchPause(random: Random): number {
  return randomInteger(random, 4, 14)
}
