import type { z } from 'zod'
import type { FigurePosition, LineFacts } from '../figure/schema.ts'
import { isShaftEnd, placeSays } from '../figure/shaft-end.ts'
import type { FoundInput, OtherSideInput } from '../job/flow-schema.ts'
import { stepKeyRead } from '../job/step-key.ts'
import { piecesAimed, targetPlaces } from '../job/target-places.ts'
import { Refusal } from '../refusal.ts'
import type { Tx } from './client.ts'
import { database } from './client.ts'
import { jobCreate, jobOpenRead, targetAim } from './job.ts'
import { notePlace } from './job-hand-over.ts'
import { type WriteContext, write } from './transaction.ts'

export interface OtherSide {
  targetId: number
  item: string
  description: string
  /** Code of the side, or of the end of the shaft. */
  position: string
  label: string
}

type OtherSideFound = OtherSide & {
  pairNeeds: number[]
  /** What the target is renewed at when it is done there too. */
  grown: { positions: string[]; quantity: number }
}

/** Sides of the figure and ends of the shaft that a target leaves alone and that nobody has put on the job by its pair. */
async function otherSides(db: Tx, jobId: number): Promise<OtherSideFound[]> {
  const targets = await db.jobTarget.findMany({
    where: { jobId },
    include: {
      figure: { select: { positions: true } },
      line: { select: { description: true, side: true, facts: true } },
    },
    orderBy: { id: 'asc' },
  })
  const needs = await db.jobNeed.findMany({ where: { jobId, origin: 'suggestion', kind: 'part' } })
  return targets.flatMap((target) => {
    const positions = JSON.parse(target.figure.positions) as FigurePosition[]
    const taken = JSON.parse(target.positions) as string[]
    const ofPair = needs.filter(
      (need) => need.item === target.item && need.key.startsWith(`${target.figureId}:`) && need.key.endsWith('+other'),
    )
    const { sides, ends } = targetPlaces(positions, JSON.parse(target.line.facts) as LineFacts)
    const offered = (code: string, label: string, doneOfThese: readonly string[]): OtherSideFound[] => {
      const pair = ofPair.filter((need) => (JSON.parse(need.positions) as string[]).includes(code))
      if (pair.some((need) => need.state === 'accepted' || need.state === 'in-kit')) return []
      const more = Math.ceil(target.quantity / doneOfThese.filter((one) => taken.includes(one)).length)
      return [
        {
          targetId: target.id,
          item: target.item,
          description: target.line.description,
          position: code,
          label,
          pairNeeds: pair.map((need) => need.id),
          grown: { positions: [...taken, code], quantity: target.quantity + more },
        },
      ]
    }
    const others = positions.flatMap(({ code, label, pairedWith }) => {
      // A handed part has a line of its own for the other side.
      if (target.line.side !== null || taken.includes(code)) return []
      return pairedWith !== undefined && taken.includes(pairedWith) ? offered(code, label, sides) : []
    })
    const left = ends.filter((end) => !taken.includes(end))
    return [...others, ...(left.length === 1 ? offered(left[0]!, placeSays(left[0]!), ends) : [])]
  })
}

export async function otherSidesOf(jobId: number): Promise<OtherSide[]> {
  const sides = await otherSides(database() as unknown as Tx, jobId)
  return sides.map(({ pairNeeds: _, grown: __, ...side }) => side)
}

/** Does the other side while the machine is up: the target grows by it, and what was suggested for that side alone goes. */
export function otherSideAdd(context: WriteContext, input: z.infer<typeof OtherSideInput>): Promise<null> {
  return write(context, 'job.other-side', input, async (tx) => {
    const job = await jobOpenRead(tx, input.jobId)
    const side = (await otherSides(tx, job.id)).find(
      (one) => one.targetId === input.targetId && one.position === input.position,
    )
    if (!side) throw new Refusal('job/unknown-need')
    const target = await tx.jobTarget.findUniqueOrThrow({ where: { id: side.targetId } })
    // A declined pair was declined while nobody meant to open that side; now somebody does.
    await tx.jobNeed.deleteMany({ where: { id: { in: side.pairNeeds }, taken: 0 } })
    await targetAim(tx, context, job, {
      figureId: target.figureId,
      lineId: target.lineId,
      ...side.grown,
    })
    const lies = isShaftEnd(side.position) ? 'apart' : 'up'
    await notePlace(tx, context, job.id, `${side.label} as well while it is ${lies}: ${side.item} ${side.description}`)
    return null
  })
}

/**
 * Something found while stripping. Onto this job: what the step takes off becomes a target on the same sides, once for each
 * assembly. A job of its own: opened for the same machine, and each of the two names the other. Either way a note says what was found.
 */
export function foundAdd(
  context: WriteContext,
  input: FoundInput,
): Promise<{ jobId: number; number: number; isOwn: boolean }> {
  return write(context, 'job.found', input, async (tx) => {
    const job = await jobOpenRead(tx, input.jobId)
    const step = await tx.jobCheck.findFirst({ where: { id: input.checkId, jobId: job.id, kind: 'strip' } })
    if (!step) throw new Refusal('job/unknown-need')
    if (input.onto === 'own-job') {
      const own = await jobCreate(tx, context, {
        machineId: job.machineId,
        kind: 'repair',
        complaint: input.words,
        hourTenths: job.hourTenths,
        foundOnJobId: job.id,
      })
      await notePlace(tx, context, job.id, `Found: ${input.words} - job ${own.number}. At: ${step.text}`)
      return { jobId: own.id, number: own.number, isOwn: true }
    }
    const at = stepKeyRead(step.key)
    // Steps in words alone have no part to renew.
    if (at === null || at.around !== null) throw new Refusal('job/unknown-need')
    const { figureId, item, side, end } = at
    const others = await tx.jobTarget.findMany({ where: { jobId: job.id, figureId } })
    const positionsOf = (target: { positions: string }) => JSON.parse(target.positions) as string[]
    const lines = await tx.partsListLine.findMany({
      where: { figureId, item, retiredAt: null },
      include: { figure: { select: { positions: true } } },
      orderBy: { sort: 'asc' },
    })
    const asked = [...new Set(others.flatMap(positionsOf))]
    const line =
      lines.find((one) => one.side === null || (side === null ? asked.includes(one.side) : one.side === side)) ??
      lines[0]
    if (!line) throw new Refusal('figure/unknown-item', { item, where: 'strip order of the job' })
    const figure = JSON.parse(line.figure.positions) as FigurePosition[]
    const facts = JSON.parse(line.facts) as LineFacts
    const { ends, allowed } = targetPlaces(figure, facts)
    // Found at the left wheel it is renewed at the left wheel, and at the end of the shaft where its step is.
    const positions = [
      ...(side === null ? asked.filter((code) => allowed.has(code) && !isShaftEnd(code)) : [side]),
      ...ends.filter((one) => one === end),
    ]
    const before = others.find((target) => target.lineId === line.id)
    const there = before ? positionsOf(before) : []
    const isThere = [...(side === null ? [] : [side]), ...(end === null ? [] : [end])].every((code) =>
      there.includes(code),
    )
    if (!before || !isThere)
      await targetAim(tx, context, job, {
        figureId,
        lineId: line.id,
        positions: [...there, ...positions],
        quantity: (before?.quantity ?? 0) + piecesAimed({ quantity: line.quantity, facts }, figure, positions),
      })
    await notePlace(tx, context, job.id, `Found: ${input.words} - ${item} ${line.description} to be renewed too`)
    return { jobId: job.id, number: job.number, isOwn: false }
  })
}
