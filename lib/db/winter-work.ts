import { targetOrdered } from '../job/ordered.ts'
import type { PlanFigure, PlanTarget } from '../job/plan-figure.ts'
import { counted } from '../measure/counted.ts'
import type { PlanFault } from '../readiness/plan-check.ts'
import { linePieces } from '../service/line-pieces.ts'
import { lineTargets, type Targets } from '../service/line-targets.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { companionWants } from '../winter/companions.ts'
import type { Want, WinterJobFacts, WinterMachineFacts } from '../winter/facts.ts'
import { database } from './client.ts'
import { type ServiceOfMachine, servicesOf } from './service-due.ts'
import { type Companions, companionsRead, type MachineOfPlan, targetsText } from './winter-companions.ts'
import { hoursOf } from './winter-hours.ts'

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

/** What a line of a service takes on a machine: what its job would renew (`servicePlace`), part by part. */
function wantsOf(line: ServiceLineRow, figures: ReadonlyMap<number, PlanFigure>): Want[] {
  const looks = line.kind === 'on-condition' ? [line.key] : []
  if (line.partId !== null) return [{ partId: line.partId, quantity: line.quantity ?? 1, looks, text: line.text }]
  const figure = line.figureId === null ? undefined : figures.get(line.figureId)
  if (!figure) return []
  const chosen = JSON.parse(line.positions) as string[]
  return figure.lines.flatMap((one): Want[] => {
    if (one.item !== line.item) return []
    const pieces = linePieces(one, figure.positions, chosen)
    if (pieces === null || pieces.quantity <= 0 || one.quantity <= 0) return []
    const ordered = targetOrdered(figure.lines, one, pieces.quantity)
    const { partId, item, description } = ordered.line
    return [{ partId, quantity: ordered.quantity, looks, text: `${item} ${description}` }]
  })
}

const askedOf = (lines: readonly ServiceLineRow[]) =>
  lines.flatMap(({ figureId, item, positions }) =>
    figureId === null || item === null ? [] : [{ figureId, item, positions: JSON.parse(positions) as string[] }],
  )

const textOf = ({ item, text }: ServiceLineRow) => (item === null ? text : `${item} ${text}`)

/** Wants of one part for one thing as one: a job may name it twice, a figure once a side. */
function wantsOnce(wants: readonly Want[]): Want[] {
  const once = new Map<string, Want>()
  for (const want of wants) {
    const key = `${want.partId} ${want.looks.join(' ')} ${want.text}`
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

/** What a machine takes with all that goes with it, and what of that nothing on file fits. */
async function withCompanions(
  { figuresOf, proposesOf }: Companions,
  machine: MachineOfPlan,
  asked: { own: readonly Want[]; always: Targets; looked: readonly ServiceLineRow[]; withAlways: boolean },
  named: ReadonlyMap<number, number>,
) {
  const figures = figuresOf(machine)
  const { own, always, withAlways } = asked
  const first = [...always.values()]
  const looks = asked.looked.flatMap((line) => {
    // Beside what is renewed already, so that the same place is not aimed at twice.
    const targets = [...lineTargets(figures, askedOf([line]))].filter(([lineId]) => !always.has(lineId))
    return targets.length === 0 ? [] : [{ key: line.key, text: textOf(line), targets: targets.map(([, one]) => one) }]
  })
  if (first.length === 0 && looks.length === 0) return { wants: [...own], missing: [] }
  const text = targetsText(figures, first)
  const proposes = await proposesOf(machine)
  return companionWants({ own, always: { targets: first, text }, looks, proposes, named, withAlways })
}

interface Read {
  companions: Companions
  /** Machines by id. */
  machines: ReadonlyMap<number, MachineOfPlan>
  linesOf: ReadonlyMap<number, ServiceLineRow[]>
}

/** Machines that come in, with what their services take; `named` by machine and part is what its open jobs name. */
async function machinesComing(
  coming: ReadonlyMap<number, ServiceOfMachine[]>,
  { companions, machines, linesOf }: Read,
  said: readonly Said[],
  named: ReadonlyMap<number, ReadonlyMap<number, number>>,
) {
  const saidOf = new Map(said.map((one) => [one.machineId, one]))
  const missing = new Map<string, number>()
  const facts: WinterMachineFacts[] = []
  for (const [id, all] of coming) {
    const machine = machines.get(id)!
    const lines = linesOnce(
      all.filter(({ job }) => job === null).flatMap(({ scheduleId }) => linesOf.get(scheduleId) ?? []),
    )
    const figures = companions.figuresOf(machine)
    const own = wantsOnce(lines.flatMap((line) => wantsOf(line, figures)))
    const always = lines.filter(({ kind }) => kind === 'always')
    const byPart = new Map(named.get(id))
    for (const { partId, quantity } of always)
      if (partId !== null) byPart.set(partId, (byPart.get(partId) ?? 0) + (quantity ?? 1))
    const looked = lines.filter(({ kind }) => kind === 'on-condition')
    const asked = { own, always: lineTargets(figures, askedOf(always)), looked, withAlways: true }
    const found = await withCompanions(companions, machine, asked, byPart)
    for (const what of found.missing) missing.set(what, (missing.get(what) ?? 0) + 1)
    const { fleetNumber, name } = all[0]!.machine
    facts.push({
      id,
      fleetNumber,
      name,
      comes: saidOf.get(id)?.comes === 'in' ? 'in' : 'due',
      weekOn: saidOf.get(id)?.weekOn ?? null,
      services: all.map(({ name: service, due }) => ({ name: service, dueOn: due.projectedOn })),
      wants: found.wants,
    })
  }
  const faults = [...missing].map(([what, count]): PlanFault => {
    const says = `is needed by ${counted(count, 'service')}, and nothing on file fits`
    return { where: what, says, next: 'Enter the part and who sells it, and the plan counts it.' }
  })
  return { facts, faults }
}

/** Open jobs as the plan needs them. */
function jobRows() {
  return database().job.findMany({
    where: { state: 'open' },
    orderBy: { number: 'asc' },
    include: {
      machine: { select: { fleetNumber: true } },
      targets: { orderBy: { id: 'asc' } },
      needs: { where: { state: { in: ['accepted', 'open'] }, partId: { not: null } } },
      services: { select: { scheduleId: true } },
      serviceTasks: { where: { kind: 'look', state: 'open' }, include: { line: true } },
    },
  })
}

type JobRow = Awaited<ReturnType<typeof jobRows>>[number]

/** What a job takes: what is agreed to, and on a service what nobody has answered yet, as far as a plan would ask for it. */
function jobNeeds({ needs, services }: JobRow, { protection }: Companions) {
  const isPlanned = ({ kind, strength, reasons }: JobRow['needs'][number]) => {
    const [first] = JSON.parse(reasons) as { ruleId: string }[]
    return kind !== 'act' && strength !== 'consider' && !(first && protection.has(first.ruleId))
  }
  return needs.filter((need) => need.state === 'accepted' || (services.length > 0 && isPlanned(need)))
}

/** What open jobs still ask for, by machine and part. */
function namedBy(jobs: readonly JobRow[], companions: Companions): Map<number, Map<number, number>> {
  const named = new Map<number, Map<number, number>>()
  for (const job of jobs) {
    const parts = named.get(job.machineId) ?? new Map<number, number>()
    for (const { partId, wanted, taken } of jobNeeds(job, companions))
      parts.set(partId!, (parts.get(partId!) ?? 0) + Math.max(0, wanted - taken))
    named.set(job.machineId, parts)
  }
  return named
}

/** Open jobs with what they lack, and what their services have still to look at. */
async function jobsOpen(rows: readonly JobRow[], { companions, machines }: Read): Promise<WinterJobFacts[]> {
  const jobs: WinterJobFacts[] = []
  for (const job of rows) {
    const { id, number, machineId, machine, needOn, priority, serviceTasks } = job
    const lacks = jobNeeds(job, companions).map(({ partId, wanted, taken, allocated, description, state }): Want => {
      const text = state === 'accepted' ? description : `${description}, not answered yet`
      return { partId: partId!, quantity: wanted - taken - allocated, looks: [], text }
    })
    const inHand = machines.get(machineId)!
    const figures = companions.figuresOf(inHand)
    const looked = serviceTasks.map(({ line }) => line)
    const looks = looked.flatMap((line) => wantsOf(line, figures))
    const own = wantsOnce([...lacks.filter(({ quantity }) => quantity > 0), ...looks])
    const always = new Map(
      job.targets.map(({ lineId, figureId, item, positions, quantity }): [number, PlanTarget] => [
        lineId,
        { figureId, item, quantity, positions: JSON.parse(positions) as string[] },
      ]),
    )
    const asked = { own, always, looked, withAlways: false }
    const { wants } = looked.length === 0 ? { wants: own } : await withCompanions(companions, inHand, asked, new Map())
    if (wants.length > 0)
      jobs.push({ id, number, machineId, fleetNumber: machine.fleetNumber, needOn, priority, wants })
  }
  return jobs
}

function machinesDue(services: readonly ServiceOfMachine[], until: PlainDate, said: readonly Said[]) {
  const saidOf = new Map(said.map((one) => [one.machineId, one]))
  const coming = new Map<number, ServiceOfMachine[]>()
  for (const one of services) {
    const comes = saidOf.get(one.machine.id)?.comes ?? 'due'
    if (comes === 'out' || (comes === 'due' && !isDueBy(one, until))) continue
    coming.set(one.machine.id, [...(coming.get(one.machine.id) ?? []), one])
  }
  return coming
}

async function read(
  coming: ReadonlyMap<number, ServiceOfMachine[]>,
  jobs: readonly JobRow[],
  on: PlainDate,
): Promise<Read> {
  const scheduleIds = new Set([...coming.values()].flat().map(({ scheduleId }) => scheduleId))
  const db = database()
  const [lines, machines] = await Promise.all([
    db.serviceLine.findMany({
      where: { schedule: { retiredAt: null }, retiredAt: null, kind: { in: ['always', 'on-condition'] } },
      orderBy: [{ scheduleId: 'asc' }, { sort: 'asc' }, { id: 'asc' }],
    }),
    db.machine.findMany({
      select: {
        id: true,
        serialNumber: true,
        modelId: true,
        year: true,
        model: { select: { maker: true, name: true } },
      },
    }),
  ])
  const linesOf = new Map<number, ServiceLineRow[]>()
  for (const line of lines)
    if (scheduleIds.has(line.scheduleId)) linesOf.set(line.scheduleId, [...(linesOf.get(line.scheduleId) ?? []), line])
  const figureIds = [
    ...[...linesOf.values()].flat().flatMap(({ figureId }) => figureId ?? []),
    ...jobs
      .filter(({ serviceTasks }) => serviceTasks.length > 0)
      .flatMap(({ targets, serviceTasks }) => [...targets, ...serviceTasks.map(({ line }) => line)])
      .flatMap(({ figureId }) => figureId ?? []),
  ]
  const companions = await companionsRead(figureIds, new Date(`${on}T12:00:00Z`))
  return { companions, linesOf, machines: new Map(machines.map((one) => [one.id, one])) }
}

/** The machines that come in and the open jobs, with what each takes; machines of which nothing can be told are named. */
export async function winterWork(asked: {
  today: PlainDate
  from: PlainDate
  until: PlainDate
  said: readonly Said[]
  /** What a service takes of which nothing is known; null: hours are not asked for. */
  usualMinutes: number | null
}) {
  const { today, from, until, said, usualMinutes } = asked
  const [services, rows] = await Promise.all([servicesOf(today), jobRows()])
  const coming = machinesDue(services, until, said)
  // Rules that ask for the season or for an age are asked for the day on which the work can begin.
  const known = await read(coming, rows, [today, from].sort().at(-1)!)
  const [machines, jobs] = [
    await machinesComing(coming, known, said, namedBy(rows, known.companions)),
    await jobsOpen(rows, known),
  ]
  const hours = usualMinutes === null ? null : await hoursOf(coming, usualMinutes)
  for (const machine of machines.facts) {
    machine.hours = hours?.get(machine.id)
    machine.priority = rows
      .filter(({ machineId }) => machineId === machine.id)
      .map(({ priority }) => priority)
      .sort()[0]
  }
  const isIn = new Set(coming.keys())
  const out = new Set(said.filter(({ comes }) => comes === 'out').map(({ machineId }) => machineId))
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
  const texts = new Map<string, string>()
  for (const line of [
    ...known.linesOf.values(),
    ...rows.map(({ serviceTasks }) => serviceTasks.map((one) => one.line)),
  ].flat())
    texts.set(line.key, textOf(line))
  return {
    machines: machines.facts.sort((a, b) => (a.fleetNumber < b.fleetNumber ? -1 : 1)),
    jobs,
    lookTexts: texts,
    faults: [...faults, ...machines.faults],
  }
}
