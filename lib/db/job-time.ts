import { once } from '../companion/places.ts'
import { itemKey, stripPlan } from '../figure/strip-order.ts'
import { type PastJob, type TimeEstimate, timeEstimate, workNames, workStep } from '../job/time-estimate.ts'
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

/** What is done at a side for the targets: everything that comes off for them, and they themselves renewed. */
function workOf(figure: FigureView, items: readonly string[]): string[] {
  try {
    const { steps } = stripPlan({
      edges: figure.strip,
      lines: figure.lines,
      targets: items,
      absent: figure.absentItems,
    })
    return workNames(
      steps.map((step) => itemKey(step.item)),
      items,
    )
  } catch (error) {
    // A target that a newer edition dropped: its order is not known any more.
    if (isRefusal(error)) return workNames(items, items)
    throw error
  }
}

/** The items of the targets, each once, as a text by which jobs with the same ones are found. */
function itemsOf(targets: readonly Target[]): string {
  return JSON.stringify([...new Set(targets.map((target) => itemKey(target.item)))].sort())
}

const asTarget = (row: { item: string; positions: string }): Target => ({
  item: row.item,
  positions: JSON.parse(row.positions) as string[],
})
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
    // Many past jobs renewed the same: their strip order is worked out once.
    const workFor = once((items: string) => workOf(figure, JSON.parse(items) as string[]))
    const past = closed.map((one): PastJob => {
      const aimed = one.targets.map(asTarget)
      return {
        minutes: one.labourMinutes,
        sides: sidesOf(figure, aimed),
        work: workFor(itemsOf(aimed)),
      }
    })
    const stepMinutes = new Map(
      figure.stripSteps.flatMap(({ item, minutes }) =>
        minutes === undefined ? [] : [[workStep(itemKey(item)), minutes] as const],
      ),
    )
    times.push({
      figureId,
      figure: `${figure.number} ${figure.title}`,
      estimate: timeEstimate({ past, sides: sidesOf(figure, targets), work: workFor(itemsOf(targets)), stepMinutes }),
    })
  }
  return times
}
