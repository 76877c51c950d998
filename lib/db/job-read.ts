import type { PartClass } from '../catalogue/part-class.ts'
import type { CautionsInput } from '../companion/cautions.ts'
import type { RuleOrigin } from '../companion/rule-book.ts'
import type { Strength } from '../companion/rule-terms.ts'
import type { FigurePosition, LineFacts } from '../figure/schema.ts'
import { measureRead, type TestMeasure } from '../job/measurement.ts'
import { stepKeyRead } from '../job/step-key.ts'
import { targetPlaces } from '../job/target-places.ts'
import { machineDrive } from '../machine/kind.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { database, type Tx } from './client.ts'
import { freeBin } from './free-bins.ts'
import { type MeterNote, meterNotes } from './meter.ts'
import { type PartStock, partStock, partsOnOrder, supersessionLinks } from './part.ts'
import { personNames } from './part-typed.ts'

export interface NeedView {
  id: number
  key: string
  origin: 'target' | 'suggestion' | 'by-hand'
  kind: 'part' | 'consumable' | 'act'
  part: { id: number; number: string; unit: StockUnit; costMinor: number | null } | null
  item: string | null
  positions: string[]
  description: string
  strength: Strength
  /** Unit of the quantities: the part's, or what was asked for where no part on file serves. */
  unit: StockUnit
  suggested: number
  wanted: number
  taken: number
  allocated: number
  /** in-kit: a kit on the job stands in for it. */
  state: 'open' | 'accepted' | 'declined' | 'in-kit'
  declineReason: string | null
  /** What the job wanted where another part is used for it, and who allowed that. */
  insteadOf: string | null
  reasons: {
    ruleId: string
    words: string
    source: string
    strength: string
    found: Record<string, string>
    /** Where the rule was not the shipped one when the job was planned. */
    origin?: RuleOrigin
  }[]
  stock: PartStock | null
  reorderPoint: number | null
  bins: { bin: string; store: string; quantity: number }[]
  /** Parts that do the same work by supersession and lie on the shelf. */
  instead: { id: number; number: string; available: number; says: string }[]
}

export interface CheckView {
  id: number
  kind: 'strip' | 'rebuild' | 'test' | 'after-run'
  text: string
  state: 'open' | 'done' | 'not-applicable'
  note: string | null
  by: string | null
  at: Date | null
  /** Names the step among those of its kind. */
  key: string
  measure: TestMeasure | null
  measured: number | null
}

export interface JobView {
  id: number
  number: number
  state: 'open' | 'closed'
  kind: string
  complaint: string
  cause: string
  correction: string
  labourMinutes: number
  /** Why musts are not fitted, as far as it is written. */
  notFitted: string
  /** Which saving of cause and correction this is. */
  wordsVersion: number
  hourTenths: number | null
  /** Readings on this job that cannot follow the one before, and what was said of them. */
  meterNotes: MeterNote[]
  openedAt: Date
  openedBy: string
  /** When its parts must be there, calendar date, and how much it matters: 1 first, 2 usual, 3 can wait. */
  needOn: string | null
  priority: number
  closedAt: Date | null
  machine: {
    id: number
    fleetNumber: string
    name: string
    model: string
    modelId: number
    modelKind: string
    serialNumber: string | null
    state: string
    hourTenths: number
  }
  targets: {
    id: number
    figureId: number
    figure: string
    item: string
    lineId: number
    description: string
    positions: string[]
    quantity: number
    partClass: string
    unit: StockUnit
    /** Sides of the figure, how many stand round its rotor, and the ends of its shaft: where the target could be. */
    places: FigurePosition[]
    stations: number | null
    ends: string[]
    /** Pieces an assembly, minor units. */
    perAssembly: number
  }[]
  figures: { id: number; number: string; title: string }[]
  needs: NeedView[]
  checks: CheckView[]
  entryId: number | null
  /** The service job that carries it on. */
  joinedToId: number | null
}

/** Where a target could be. */
function targetWhere(target: { figure: { positions: string }; line: { facts: string } }) {
  const places = JSON.parse(target.figure.positions) as FigurePosition[]
  const facts = JSON.parse(target.line.facts) as LineFacts
  return { places, stations: facts.stations ?? null, ends: targetPlaces(places, facts).ends as string[] }
}

/** A whole job for its screens. Refuses with 'job/no-such'. */
export async function jobView(jobId: number): Promise<JobView> {
  const db = database()
  const job = await db.job.findUnique({
    where: { id: jobId },
    include: {
      machine: { include: { model: true } },
      targets: {
        orderBy: { id: 'asc' },
        include: { line: { include: { part: true } }, figure: { include: { models: true } } },
      },
      needs: {
        orderBy: [{ sort: 'asc' }, { id: 'asc' }],
        include: {
          part: {
            include: {
              level: true,
              balances: { where: { quantity: { gt: 0 }, ...freeBin }, include: { bin: { include: { store: true } } } },
            },
          },
        },
      },
      checks: { orderBy: [{ kind: 'asc' }, { sort: 'asc' }] },
      entry: { select: { id: true } },
    },
  })
  if (!job) throw new Refusal('job/no-such', { job: jobId })
  const partIds = job.needs.flatMap((need) => (need.partId === null ? [] : [need.partId]))
  const links = await supersessionLinks(db, partIds)
  const linked = [...new Set(links.flatMap((link) => [link.oldPartId, link.newPartId]))]
  const [stock, linkedParts, people, notes] = await Promise.all([
    partStock(db, [...partIds, ...linked]),
    db.part.findMany({ where: { id: { in: linked } }, select: { id: true, number: true } }),
    personNames(db as unknown as Tx, [job.openedById, ...job.checks.map((check) => check.doneById)]),
    meterNotes(db, { jobId }),
  ])
  const numberOf = new Map(linkedParts.map((part) => [part.id, part.number]))
  const figureOf = (target: (typeof job.targets)[number]) => {
    const of = target.figure.models.find((one) => one.modelId === job.machine.modelId) ?? target.figure.models[0]
    return { id: target.figureId, number: of?.number ?? '', title: target.figure.title }
  }
  const instead = (partId: number): NeedView['instead'] =>
    links.flatMap((link) => {
      const forward = link.oldPartId === partId
      if (!forward && !(link.newPartId === partId && link.interchange === 'both-ways')) return []
      const id = forward ? link.newPartId : link.oldPartId
      const available = stock.get(id)?.available ?? 0
      return available > 0
        ? [
            {
              id,
              number: numberOf.get(id) ?? '',
              available,
              says: forward ? 'replaces it' : 'is replaced by it and fits',
            },
          ]
        : []
    })
  return {
    id: job.id,
    number: job.number,
    state: job.state as JobView['state'],
    kind: job.kind,
    complaint: job.complaint,
    cause: job.cause,
    correction: job.correction,
    labourMinutes: job.labourMinutes,
    notFitted: job.notFitted ?? '',
    wordsVersion: job.wordsVersion ?? 0,
    hourTenths: job.hourTenths,
    meterNotes: notes,
    openedAt: job.openedAt,
    openedBy: people(job.openedById),
    needOn: job.needOn,
    priority: job.priority,
    closedAt: job.closedAt,
    machine: {
      id: job.machineId,
      fleetNumber: job.machine.fleetNumber,
      name: job.machine.name,
      model: `${job.machine.model.maker} ${job.machine.model.name}`,
      modelId: job.machine.modelId,
      modelKind: job.machine.model.kind,
      serialNumber: job.machine.serialNumber,
      state: job.machine.state,
      hourTenths: job.machine.hourTenths,
    },
    targets: job.targets.map((target) => ({
      ...targetWhere(target),
      id: target.id,
      figureId: target.figureId,
      figure: `${figureOf(target).number} ${figureOf(target).title}`,
      item: target.item,
      lineId: target.lineId,
      description: target.line.description,
      positions: JSON.parse(target.positions) as string[],
      quantity: target.quantity,
      partClass: target.line.part.partClass,
      unit: target.line.part.unit as StockUnit,
      perAssembly: target.line.quantity,
    })),
    figures: [...new Map(job.targets.map((target) => [target.figureId, figureOf(target)])).values()],
    needs: job.needs.map((need) => ({
      id: need.id,
      key: need.key,
      origin: need.origin as NeedView['origin'],
      kind: need.kind as NeedView['kind'],
      part: need.part && {
        id: need.part.id,
        number: need.part.number,
        unit: need.part.unit as StockUnit,
        costMinor: need.part.costMinor,
      },
      item: need.item,
      positions: JSON.parse(need.positions) as string[],
      description: need.description,
      strength: need.strength as Strength,
      unit: (need.part?.unit ?? need.unit ?? 'each') as StockUnit,
      suggested: need.suggested,
      wanted: need.wanted,
      taken: need.taken,
      allocated: need.allocated,
      state: need.state as NeedView['state'],
      declineReason: need.declineReason,
      insteadOf: need.insteadOf,
      reasons: JSON.parse(need.reasons) as NeedView['reasons'],
      stock: need.partId === null ? null : (stock.get(need.partId) ?? null),
      reorderPoint: need.part?.level?.reorderPoint ?? null,
      bins: (need.part?.balances ?? [])
        .sort((a, b) => a.bin.walkOrder - b.bin.walkOrder)
        .map((row) => ({ bin: row.bin.code, store: row.bin.store.name, quantity: row.quantity })),
      instead: need.partId === null ? [] : instead(need.partId),
    })),
    checks: job.checks.map((check) => ({
      id: check.id,
      kind: check.kind as CheckView['kind'],
      text: check.text,
      state: check.state as CheckView['state'],
      note: check.note,
      by: check.doneById ? people(check.doneById) : null,
      at: check.doneAt,
      key: check.key,
      measure: measureRead(check.measure),
      measured: check.measured,
    })),
    entryId: job.entry?.id ?? null,
    joinedToId: job.joinedToId,
  }
}

export interface JobRow {
  id: number
  number: number
  state: string
  complaint: string
  openedAt: Date
  closedAt: Date | null
  machine: string
  machineId: number
  unsafe: boolean
  /** Accepted parts that the shelf could not promise. */
  waiting: number
  /** When the first order for one of them should have come or comes; null where nothing is on order. */
  waitsDueOn: string | null
  needOn: string | null
  priority: number
}

export async function jobsList(
  where: { state?: 'open' | 'closed'; machineId?: number },
  take = 100,
): Promise<JobRow[]> {
  const jobs = await database().job.findMany({
    where,
    orderBy: { number: 'desc' },
    take,
    include: {
      machine: true,
      needs: {
        where: { state: 'accepted', partId: { not: null } },
        select: { partId: true, wanted: true, taken: true, allocated: true },
      },
    },
  })
  const waits = (job: (typeof jobs)[number]) =>
    job.state === 'open' ? job.needs.filter((need) => need.wanted - need.taken > need.allocated) : []
  const coming = await partsOnOrder(jobs.flatMap((job) => waits(job).map((need) => need.partId!)))
  return jobs.map((job) => ({
    id: job.id,
    number: job.number,
    state: job.state,
    complaint: job.complaint,
    openedAt: job.openedAt,
    closedAt: job.closedAt,
    machine: `${job.machine.fleetNumber} ${job.machine.name}`,
    machineId: job.machineId,
    unsafe: job.machine.state === 'unsafe',
    waiting: waits(job).length,
    waitsDueOn:
      waits(job)
        .flatMap((need) => coming.get(need.partId!)?.dueOn ?? [])
        .sort()[0] ?? null,
    needOn: job.needOn,
    priority: job.priority,
  }))
}

/** What comes off on this job, as the cautions need it. */
export async function jobCautionsInput(jobId: number): Promise<CautionsInput> {
  const db = database()
  const { machine } = await db.job.findUniqueOrThrow({
    where: { id: jobId },
    select: { machine: { select: { model: { select: { kind: true } } } } },
  })
  const steps = await db.jobCheck.findMany({ where: { jobId, kind: 'strip' }, select: { key: true } })
  const places = steps.flatMap((step) => {
    const at = stepKeyRead(step.key)
    return at ? [{ figureId: at.figureId, item: at.item }] : []
  })
  const drive = machineDrive(machine.model.kind)
  if (places.length === 0) return { drive, classes: [] }
  const lines = await db.partsListLine.findMany({
    where: { OR: places },
    include: { part: { select: { partClass: true } } },
  })
  const facts = lines.map((line) => JSON.parse(line.facts) as LineFacts)
  return {
    drive,
    classes: [...new Set(lines.map((line) => line.part.partClass as PartClass))],
    safetyJoints: [...new Set(facts.flatMap((fact) => (fact.safetyJoint ? [fact.safetyJoint] : [])))],
    massKg: facts.flatMap((fact) => (fact.massKg === undefined ? [] : [fact.massKg])),
    fluids: facts.flatMap((fact) => fact.fluid ?? []),
    fillLitres: facts.flatMap((fact) => (fact.fillLitres === undefined ? [] : [fact.fillLitres])),
  }
}
