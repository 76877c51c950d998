import { serialBreaksCover } from '../catalogue/serial-break.ts'
import type { FigurePosition, LineFacts } from '../figure/schema.ts'
import { targetOrdered } from '../job/ordered.ts'
import type { StockUnit } from '../measure/quantity.ts'
import type { PlanFault } from '../readiness/plan-check.ts'
import { linePieces } from '../service/line-pieces.ts'
import type { PlainDate } from '../service/plain-date.ts'
import type { Want, WinterJobFacts, WinterMachineFacts } from '../winter/facts.ts'
import { database } from './client.ts'
import { lineRowBreaks } from './line-breaks.ts'
import { type ServiceOfMachine, servicesOf } from './service-due.ts'

interface ServiceLineRow {
  id: number
  scheduleId: number
  key: string
  kind: string
  figureId: number | null
  item: string | null
  partId: number | null
  positions: string
  quantity: number | null
  text: string
}

/** The lines of the figures that services name, with all that says which of them a machine has. */
async function figuresRead(figureIds: readonly number[]) {
  const figures = await database().figure.findMany({
    where: { id: { in: [...new Set(figureIds)] } },
    select: {
      id: true,
      positions: true,
      lines: { where: { retiredAt: null }, orderBy: { sort: 'asc' }, include: { part: { select: { unit: true } } } },
    },
  })
  return new Map(
    figures.map(({ id, positions, lines }) => [
      id,
      {
        positions: JSON.parse(positions) as FigurePosition[],
        lines: lines.map((line) => ({
          lineId: line.id,
          item: line.item,
          partId: line.partId,
          description: line.description,
          quantity: line.quantity,
          unit: line.part.unit as StockUnit,
          facts: JSON.parse(line.facts) as LineFacts,
          breaks: lineRowBreaks(line),
          ...(line.side === null ? {} : { side: line.side as 'LH' | 'RH' }),
          ...(line.orderItem === null ? {} : { orderItem: line.orderItem }),
        })),
      },
    ]),
  )
}

type Figures = Awaited<ReturnType<typeof figuresRead>>

/** What a line of a service takes on a machine: what its job would renew (`servicePlace`), part by part. */
function wantsOf(line: ServiceLineRow, figures: Figures, serialNumber: string | null): Want[] {
  const look = line.kind === 'on-condition' ? line.key : null
  if (line.partId !== null) return [{ partId: line.partId, quantity: line.quantity ?? 1, look, text: line.text }]
  const figure = line.figureId === null ? undefined : figures.get(line.figureId)
  if (!figure) return []
  const here = figure.lines.filter((one) => serialBreaksCover(one.breaks, serialNumber) !== 'not')
  const chosen = JSON.parse(line.positions) as string[]
  return here.flatMap((one): Want[] => {
    if (one.item !== line.item) return []
    const pieces = linePieces(one, figure.positions, chosen)
    if (pieces === null || pieces.quantity <= 0 || one.quantity <= 0) return []
    const ordered = targetOrdered(here, one, pieces.quantity)
    const { partId, item, description } = ordered.line
    return [{ partId, quantity: ordered.quantity, look, text: `${item} ${description}` }]
  })
}

/** Wants of one part for one thing as one: a job may name it twice, a figure once a side. */
function wantsOnce(wants: readonly Want[]): Want[] {
  const once = new Map<string, Want>()
  for (const want of wants) {
    const key = `${want.partId} ${want.look} ${want.text}`
    const before = once.get(key)
    once.set(key, before ? { ...before, quantity: before.quantity + want.quantity } : want)
  }
  return [...once.values()]
}

/** A thing that several services ask for is done once; what is renewed in any case is not looked at. */
function linesOnce(lines: readonly ServiceLineRow[]): ServiceLineRow[] {
  const once = new Map<string, ServiceLineRow>()
  for (const line of lines) if (line.kind === 'always' || !once.has(line.key)) once.set(line.key, line)
  return [...once.values()]
}

/** Due by the end of the season: by the calendar, by hours as the machine runs, or near enough to be done with the rest. */
function isDueBy({ due }: ServiceOfMachine, until: PlainDate): boolean {
  if (due.state === 'no-start') return false
  return due.state !== 'not-due' || (due.projectedOn !== null && due.projectedOn <= until)
}

interface Said {
  machineId: number
  comes: string
  weekOn: string | null
}

async function machinesComing(
  services: readonly ServiceOfMachine[],
  { until, said }: { until: PlainDate; said: readonly Said[] },
) {
  const saidOf = new Map(said.map((one) => [one.machineId, one]))
  const coming = new Map<number, ServiceOfMachine[]>()
  for (const one of services) {
    const comes = saidOf.get(one.machine.id)?.comes ?? 'due'
    if (comes === 'out' || (comes === 'due' && !isDueBy(one, until))) continue
    coming.set(one.machine.id, [...(coming.get(one.machine.id) ?? []), one])
  }
  const scheduleIds = new Set([...coming.values()].flat().map(({ scheduleId }) => scheduleId))
  const db = database()
  const lines = await db.serviceLine.findMany({
    where: { schedule: { retiredAt: null }, retiredAt: null, kind: { in: ['always', 'on-condition'] } },
    orderBy: [{ scheduleId: 'asc' }, { sort: 'asc' }, { id: 'asc' }],
  })
  const ofSchedule = new Map<number, ServiceLineRow[]>()
  for (const line of lines)
    if (scheduleIds.has(line.scheduleId))
      ofSchedule.set(line.scheduleId, [...(ofSchedule.get(line.scheduleId) ?? []), line])
  const figures = await figuresRead(lines.flatMap(({ figureId }) => figureId ?? []))
  const serials = new Map(
    (await db.machine.findMany({ select: { id: true, serialNumber: true } })).map((one) => [one.id, one.serialNumber]),
  )
  const machines = [...coming.values()].map((all): WinterMachineFacts => {
    const { id, fleetNumber, name } = all[0]!.machine
    const asked = linesOnce(
      all.filter(({ job }) => job === null).flatMap(({ scheduleId }) => ofSchedule.get(scheduleId) ?? []),
    )
    return {
      id,
      fleetNumber,
      name,
      comes: saidOf.get(id)?.comes === 'in' ? 'in' : 'due',
      weekOn: saidOf.get(id)?.weekOn ?? null,
      services: all.map(({ name: service, due }) => ({ name: service, dueOn: due.projectedOn })),
      wants: wantsOnce(asked.flatMap((line) => wantsOf(line, figures, serials.get(id) ?? null))),
    }
  })
  return { machines, figures }
}

/** Open jobs with what they lack, and what their services have still to look at. */
async function jobsOpen(): Promise<WinterJobFacts[]> {
  const jobs = await database().job.findMany({
    where: { state: 'open' },
    orderBy: { number: 'asc' },
    include: {
      machine: { select: { fleetNumber: true, serialNumber: true } },
      needs: { where: { state: 'accepted', partId: { not: null } } },
      serviceTasks: { where: { kind: 'look', state: 'open' }, include: { line: true } },
    },
  })
  const figures = await figuresRead(jobs.flatMap((job) => job.serviceTasks.flatMap(({ line }) => line.figureId ?? [])))
  return jobs.flatMap(({ id, number, machineId, machine, needOn, priority, needs, serviceTasks }) => {
    const lacks = needs.map(({ partId, wanted, taken, allocated, description }): Want => {
      return { partId: partId!, quantity: wanted - taken - allocated, look: null, text: description }
    })
    const looks = serviceTasks.flatMap(({ line }) => wantsOf(line, figures, machine.serialNumber))
    const wants = wantsOnce([...lacks.filter(({ quantity }) => quantity > 0), ...looks])
    return wants.length === 0
      ? []
      : [{ id, number, machineId, fleetNumber: machine.fleetNumber, needOn, priority, wants }]
  })
}

/** The machines that come in and the open jobs, with what each takes; machines of which nothing can be told are named. */
export async function winterWork(asked: { today: PlainDate; until: PlainDate; said: readonly Said[] }) {
  const services = await servicesOf(asked.today)
  const [{ machines }, jobs] = await Promise.all([machinesComing(services, asked), jobsOpen()])
  const isIn = new Set(machines.map(({ id }) => id))
  const out = new Set(asked.said.filter(({ comes }) => comes === 'out').map(({ machineId }) => machineId))
  const blind = services.filter(
    ({ due, machine }) => due.state === 'no-start' && !isIn.has(machine.id) && !out.has(machine.id),
  )
  const faults: PlanFault[] = [...new Map(blind.map(({ machine }) => [machine.id, machine])).values()].map(
    (machine) => ({
      where: `${machine.fleetNumber} ${machine.name}`,
      says: 'was never serviced and its hour meter never read, so nothing is known to be due',
      next: 'Read its meter, or bring it in by hand.',
    }),
  )
  return { machines: machines.sort((a, b) => (a.fleetNumber < b.fleetNumber ? -1 : 1)), jobs, faults }
}
