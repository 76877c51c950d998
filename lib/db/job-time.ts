import { itemKey, stripPlan } from '../figure/strip-order.ts'
import { type PastJob, type TimeEstimate, timeEstimate } from '../job/time-estimate.ts'
import { isRefusal } from '../refusal.ts'
import { database } from './client.ts'
import { type FigureView, figureView } from './figure.ts'

/** How long the part of a job on one figure takes. */
export interface FigureTime {
  figureId: number
  /** Number and title as the machine's book has them. */
  figure: string
  estimate: TimeEstimate | null
}

interface Target {
  item: string
  positions: string[]
}

const JOBS_MAX = 300

/** Sides among the positions of the targets: stations round a rotor are done in one go. */
function sidesOf(figure: FigureView, targets: readonly Target[]): number {
  const codes = new Set(targets.flatMap((target) => target.positions))
  return Math.max(1, figure.positions.filter((position) => codes.has(position.code)).length)
}

/** Minutes at the steps that the targets disturb; null where one of them has none. */
function minutesOf(figure: FigureView, targets: readonly Target[]): number | null {
  const minutes = new Map(figure.stripSteps.map((step) => [itemKey(step.item), step.minutes]))
  try {
    const { steps } = stripPlan({
      edges: figure.strip,
      lines: figure.lines,
      targets: targets.map((target) => target.item),
      absent: figure.absentItems,
    })
    const each = steps.map((step) => minutes.get(itemKey(step.item)))
    return each.includes(undefined) ? null : each.reduce<number>((sum, one) => sum + (one ?? 0), 0)
  } catch (error) {
    // A target that a newer edition dropped: its order is not known any more.
    if (isRefusal(error)) return null
    throw error
  }
}

const asTarget = (row: { item: string; positions: string }): Target => ({
  item: row.item,
  positions: JSON.parse(row.positions) as string[],
})
const itemsOf = (targets: readonly Target[]) => [...new Set(targets.map((one) => itemKey(one.item)))].sort().join(' ')

/**
 * What past closed jobs say of the time a job takes, figure by figure. Only jobs on that figure alone tell: hours written for
 * work on two figures cannot be parted.
 */
export async function jobTimes(jobId: number): Promise<FigureTime[]> {
  const db = database()
  const job = await db.job.findUnique({
    where: { id: jobId },
    include: { machine: true, targets: { orderBy: { id: 'asc' } } },
  })
  if (!job) return []
  const times: FigureTime[] = []
  for (const figureId of new Set(job.targets.map((target) => target.figureId))) {
    const targets = job.targets.filter((target) => target.figureId === figureId).map(asTarget)
    const figure = await figureView(db, figureId, {
      modelId: job.machine.modelId,
      serialNumber: job.machine.serialNumber,
    })
    const closed = await db.job.findMany({
      where: {
        id: { not: jobId },
        state: 'closed',
        labourMinutes: { gt: 0 },
        targets: { some: { figureId }, every: { figureId } },
      },
      orderBy: { closedAt: 'desc' },
      take: JOBS_MAX,
      select: { labourMinutes: true, targets: { select: { item: true, positions: true } } },
    })
    const past = closed.map((one): PastJob => {
      const aimed = one.targets.map(asTarget)
      return {
        minutes: one.labourMinutes,
        sides: sidesOf(figure, aimed),
        alike: itemsOf(aimed) === itemsOf(targets),
      }
    })
    times.push({
      figureId,
      figure: `${figure.number} ${figure.title}`,
      estimate: timeEstimate({ past, sides: sidesOf(figure, targets), stepMinutes: minutesOf(figure, targets) }),
    })
  }
  return times
}
