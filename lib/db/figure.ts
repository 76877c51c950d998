import { type BreakReport, breakReport } from '../catalogue/break-report.ts'
import type { PartClass } from '../catalogue/part-class.ts'
import { type SerialBreak, serialBreaksCover, serialBreaksSay } from '../catalogue/serial-break.ts'
import type { FigurePosition, LineFacts, PartFacts, StripStepFile } from '../figure/schema.ts'
import type { FigureTest } from '../job/measurement.ts'
import type { BinHolding } from '../job/pick-list.ts'
import { type TestKept, testsKept } from '../job/test-list.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { database, type Tx } from './client.ts'
import { lineRowBreaks } from './line-breaks.ts'
import { type PartStock, partStock } from './part.ts'
import { binHoldings } from './shelf.ts'
import { stripSaved } from './strip.ts'

type Reader = Tx | ReturnType<typeof database>

export interface FigureLineView {
  lineId: number
  item: string
  partId: number
  partNumber: string
  description: string
  /** Per assembly, minor units. */
  quantity: number
  quantityNote: string | null
  unit: StockUnit
  partClass: PartClass
  facts: LineFacts
  partFacts: PartFacts
  indenture: number
  attaches?: string
  side?: 'LH' | 'RH'
  note: string | null
  /** Not sold separately: the item to order instead. */
  orderItem?: string
  serialBreak: string
  /** Empty where the line fits every machine of the model. */
  breaks: SerialBreak[]
  /** Whether the serial break covers the machine in hand; 'unknown' lines are shown and marked. */
  applies: 'applies' | 'unknown'
}

export interface FigureView {
  id: number
  title: string
  /** Figure number in the book of the model in hand. */
  number: string
  model: { id: number; name: string; kind: string }
  /** Grows by one when a newer page takes its place. */
  edition: number
  /** Pixels of the picture; the drawing's own units are `width` and `height` of the figure. */
  picture: { id: string; extension: string; width: number; height: number }
  width: number
  height: number
  positions: FigurePosition[]
  tests: TestKept[]
  credit: string | null
  callouts: { item: string; x: number; y: number; tips: { x: number; y: number }[] }[]
  lines: FigureLineView[]
  /** Items that this machine does not have: their serial break lies elsewhere. The strip order passes through them. */
  absentItems: string[]
  strip: { first: string; then: string }[]
  /** Steps as somebody saved them, in the order they come off, with what is to be known at each. */
  stripSteps: StripStepFile[]
}

/** A machine as a figure needs to know it. */
export interface MachineInHand {
  fleetNumber: string
  name: string
  model: { id: number; name: string }
}

/**
 * A figure with the lines that apply to the serial number in hand. `modelId` picks the book when several models share the
 * figure. Lines that a newer edition dropped are left out, but for those of `lineIds`: a job that was planned with one still
 * finds it. Refuses with 'figure/no-such' and 'figure/other-model'.
 */
export async function figureView(
  reader: Reader,
  figureId: number,
  hand: {
    modelId?: number
    serialNumber?: string | null
    lineIds?: readonly number[]
    /** Whose lines are asked for; it must be of a model that has the figure. */
    machine?: MachineInHand | null
  } = {},
): Promise<FigureView> {
  const tx = reader as Tx
  const figure = await tx.figure.findUnique({
    where: { id: figureId },
    include: {
      picture: { select: { id: true, extension: true, width: true, height: true } },
      models: { include: { model: true }, orderBy: { modelId: 'asc' } },
      callouts: { orderBy: { id: 'asc' } },
      lines: {
        where: { OR: [{ retiredAt: null }, { id: { in: [...(hand.lineIds ?? [])] } }] },
        orderBy: { sort: 'asc' },
        include: { part: true },
      },
      stripEdges: true,
    },
  })
  const of =
    figure?.models.find((entry) => entry.modelId === (hand.machine?.model.id ?? hand.modelId)) ?? figure?.models[0]
  if (!figure || !of) throw new Refusal('figure/no-such')
  const { machine } = hand
  // Another model's serial number would pick lines by a break that was never meant for it.
  if (machine && !figure.models.some(({ modelId }) => modelId === machine.model.id))
    throw new Refusal('figure/other-model', {
      figure: `${of.number} ${figure.title}`,
      machine: `${machine.fleetNumber} ${machine.name}`,
      model: machine.model.name,
    })
  const saved = await stripSaved(tx, figureId)
  const lines: FigureLineView[] = []
  const absentItems: string[] = []
  for (const line of figure.lines) {
    const breaks = lineRowBreaks(line)
    const applies = serialBreaksCover(breaks, hand.serialNumber ?? null)
    if (applies === 'not') {
      absentItems.push(line.item)
      continue
    }
    lines.push({
      lineId: line.id,
      item: line.item,
      partId: line.partId,
      partNumber: line.part.number,
      description: line.description,
      quantity: line.quantity,
      quantityNote: line.quantityNote,
      unit: line.part.unit as StockUnit,
      partClass: line.part.partClass as PartClass,
      facts: JSON.parse(line.facts) as LineFacts,
      partFacts: JSON.parse(line.part.facts) as PartFacts,
      indenture: line.indenture,
      ...(line.attaches === null ? {} : { attaches: line.attaches }),
      ...(line.side === null ? {} : { side: line.side as 'LH' | 'RH' }),
      note: line.note,
      breaks,
      ...(line.orderItem === null ? {} : { orderItem: line.orderItem }),
      serialBreak: serialBreaksSay(breaks),
      applies,
    })
  }
  return {
    id: figure.id,
    title: figure.title,
    number: of.number,
    model: { id: of.modelId, name: `${of.model.maker} ${of.model.name}`, kind: of.model.kind },
    edition: figure.edition,
    picture: figure.picture,
    width: figure.width,
    height: figure.height,
    positions: JSON.parse(figure.positions) as FigurePosition[],
    tests: testsKept(JSON.parse(figure.tests) as (FigureTest | TestKept)[]),
    credit: figure.credit,
    callouts: figure.callouts.map(({ item, x, y, tips }) => ({
      item,
      x,
      y,
      tips: JSON.parse(tips) as { x: number; y: number }[],
    })),
    lines,
    absentItems: [...new Set(absentItems)].filter((item) => !lines.some((line) => line.item === item)),
    strip: figure.stripEdges.map((edge) => ({ first: edge.firstItem, then: edge.thenItem })),
    stripSteps: saved?.content.steps ?? [],
  }
}

/** Where the serial breaks of a figure's items leave a gap or overlap, over all its lines. */
export async function figureBreakReport(figureId: number): Promise<BreakReport> {
  const lines = await database().partsListLine.findMany({
    where: { figureId, retiredAt: null },
    orderBy: { sort: 'asc' },
    include: { part: { select: { number: true } } },
  })
  return breakReport(
    lines.map((line) => ({
      item: line.item,
      partNumber: line.part.number,
      ...(line.side === null ? {} : { side: line.side as 'LH' | 'RH' }),
      breaks: lineRowBreaks(line),
    })),
  )
}

/** The figure for a screen. */
export function figureRead(
  figureId: number,
  hand: { modelId?: number; serialNumber?: string | null; machine?: MachineInHand | null },
): Promise<FigureView> {
  return figureView(database(), figureId, hand)
}

/** What the shelf says of the parts of a figure, each by part id. */
export interface FigureShelf {
  stock: Map<number, PartStock>
  holdings: Map<number, BinHolding[]>
  reorderPoints: Map<number, number>
  /** Numbers of the parts that replace it. */
  replacedBy: Map<number, string[]>
  /** Parts that are no longer made. */
  discontinued: Set<number>
}

export async function figureShelf(figure: FigureView): Promise<FigureShelf> {
  const db = database()
  const partIds = figure.lines.map((line) => line.partId)
  const [stock, holdings, levels, replaced, gone] = await Promise.all([
    partStock(db, partIds),
    binHoldings(partIds),
    db.stockLevel.findMany({ where: { partId: { in: partIds } }, select: { partId: true, reorderPoint: true } }),
    db.supersession.findMany({
      where: { oldPartId: { in: partIds } },
      select: { oldPartId: true, new: { select: { number: true } } },
      orderBy: { id: 'asc' },
    }),
    db.part.findMany({ where: { id: { in: partIds }, discontinuedOn: { not: null } }, select: { id: true } }),
  ])
  const replacedBy = new Map<number, string[]>()
  for (const link of replaced)
    replacedBy.set(link.oldPartId, [...(replacedBy.get(link.oldPartId) ?? []), link.new.number])
  return {
    stock,
    holdings,
    reorderPoints: new Map(levels.map((level) => [level.partId, level.reorderPoint])),
    replacedBy,
    discontinued: new Set(gone.map((part) => part.id)),
  }
}

export interface FigureTitle {
  id: number
  number: string
  title: string
  picture: { id: string; extension: string }
  lines: number
}

/** The figures of a model's parts book, in the order of their numbers. */
export async function figuresOfModel(modelId: number): Promise<FigureTitle[]> {
  const rows = await database().figureOfModel.findMany({
    where: { modelId },
    include: { figure: { include: { picture: true, _count: { select: { lines: { where: { retiredAt: null } } } } } } },
  })
  return rows
    .map((row) => ({
      id: row.figureId,
      number: row.number,
      title: row.figure.title,
      picture: { id: row.figure.picture.id, extension: row.figure.picture.extension },
      lines: row.figure._count.lines,
    }))
    .sort((a, b) => a.number.localeCompare(b.number, 'en', { numeric: true }))
}
