import {
  type EditionDiff,
  editionDiff,
  editionItems,
  editionMoved,
  editionStripOrder,
  editionStripSteps,
} from '../figure/edition.ts'
import type { FigureFile, PartsListLineFile } from '../figure/schema.ts'
import { itemKey, type StripEdge, stripOrderCheckLines } from '../figure/strip-order.ts'
import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import type { Tx } from './client.ts'
import { calloutRow, type FigureReady, lineRow } from './figure-import.ts'
import { figureParts } from './figure-parts.ts'
import { supersessionLinks, supersessionPlace } from './part.ts'
import { pictureStore } from './picture.ts'
import { stripPlace, stripSaved } from './strip.ts'
import type { WriteContext } from './transaction.ts'

const WITH = {
  lines: { where: { retiredAt: null }, orderBy: { sort: 'asc' }, include: { part: true } },
  callouts: true,
  stripEdges: true,
} as const

async function figureNow(tx: Tx, figureId: number) {
  const figure = await tx.figure.findUnique({ where: { id: figureId }, include: WITH })
  if (!figure) throw new Refusal('figure/no-such')
  return figure
}

type FigureNow = Awaited<ReturnType<typeof figureNow>>

const beforeOf = (figure: FigureNow) =>
  figure.lines.map((line) => ({
    lineId: line.id,
    item: line.item,
    partNumber: line.part.number,
    description: line.description,
    quantity: line.quantity,
  }))

const afterOf = (file: FigureFile) =>
  file.lines.map((line) => ({ ...line, quantity: Math.round(line.quantity * quantityScale(line.unit)) }))

export interface EditionChanges {
  diff: EditionDiff
  /** Lines of the edition in the book, for the words on the screen. */
  before: { lineId: number; item: string; partNumber: string; description: string; quantity: number; unit: StockUnit }[]
  /** Items whose number stands elsewhere on the drawing. */
  moved: string[]
  /** Steps of the strip order that go, because one of their items is gone. */
  stripDropped: StripEdge[]
  stripKept: number
  /** Open jobs that renew a line which goes; they keep it. */
  jobs: { id: number; number: number; item: string }[]
}

/** What publishing `file` as the next edition of the figure would change. Refuses with 'figure/no-such'. */
export async function editionChanges(tx: Tx, figureId: number, file: FigureFile): Promise<EditionChanges> {
  const figure = await figureNow(tx, figureId)
  const [before, after] = [beforeOf(figure), afterOf(file)]
  const diff = editionDiff(before, after)
  const strip = editionStripOrder(edgesOf(figure), editionItems(diff, before, after))
  const gone = [...diff.removed, ...diff.numberChanged.map((one) => one.lineId)]
  const targets = await tx.jobTarget.findMany({
    where: { lineId: { in: gone }, job: { state: 'open' } },
    include: { job: { select: { id: true, number: true } } },
  })
  const unitOf = new Map(figure.lines.map((line) => [line.id, line.part.unit as StockUnit]))
  return {
    diff,
    before: before.map((line) => ({ ...line, unit: unitOf.get(line.lineId)! })),
    moved: editionMoved(figure.callouts, file.callouts),
    stripDropped: strip.dropped,
    stripKept: strip.kept.length,
    jobs: targets.map(({ job, item }) => ({ ...job, item })),
  }
}

function edgesOf(figure: FigureNow): StripEdge[] {
  return figure.stripEdges.map((edge) => ({ first: edge.firstItem, then: edge.thenItem }))
}

export interface EditionPlaced {
  figureId: number
  edition: number
  made: { parts: number; lines: number; retired: number; superseded: number }
  stripDropped: StripEdge[]
}

/**
 * Puts a newer page in the place of the figure's edition, in the caller's transaction. A part that is still there keeps its
 * line and with it what the page does not print: attaching parts, serial break, side, facts of the joint. A line that goes is
 * retired, never deleted, because jobs point to it. `supersede` names lines whose old part number the new one replaces.
 * Refuses with 'figure/no-such', 'figure/strip-cycle', 'catalogue/cycle', and as `figureParts` does.
 */
export async function editionPlace(
  tx: Tx,
  context: WriteContext,
  ready: FigureReady,
  input: { figureId: number; supersede: readonly number[] },
): Promise<EditionPlaced> {
  const figure = await figureNow(tx, input.figureId)
  const [before, after] = [beforeOf(figure), afterOf(ready.file)]
  const diff = editionDiff(before, after)
  const items = editionItems(diff, before, after)
  const lineOf = new Map(figure.lines.map((line) => [line.id, line]))
  const file = asInBook(ready.file, diff, lineOf)
  const parts = await figureParts(tx, file, ready.name)
  const pictureId = await pictureStore(tx, context.now, ready.picture)
  const strip = editionStripOrder(edgesOf(figure), items)
  const held = (line: { attaches: string | null }) =>
    line.attaches === null ? null : (items.get(itemKey(line.attaches)) ?? null)
  const lines = file.lines.map((line, row) => {
    const pair = [...diff.kept, ...diff.numberChanged].find((one) => one.row === row)
    const old = pair && lineOf.get(pair.lineId)
    const attaches = old ? held(old) : null
    return { item: line.item, ...(attaches === null ? {} : { attaches }) }
  })
  stripOrderCheckLines(strip.kept, lines)

  for (const { lineId, row } of diff.kept) {
    const { item, description, quantity, quantityNote } = lineRow(file.lines[row]!)
    await tx.partsListLine.update({
      where: { id: lineId },
      data: { sort: row, item, description, quantity, quantityNote, attaches: lines[row]!.attaches ?? null },
    })
  }
  const gone = [...diff.removed, ...diff.numberChanged.map((one) => one.lineId)]
  await tx.partsListLine.updateMany({ where: { id: { in: gone } }, data: { retiredAt: context.now } })
  const replaced = new Map(diff.numberChanged.map((one) => [one.row, lineOf.get(one.lineId)!]))
  await tx.partsListLine.createMany({
    data: [...diff.added, ...replaced.keys()].map((row) => {
      const old = replaced.get(row)
      const fresh = { figureId: figure.id, sort: row, partId: parts.ids[row]!, ...lineRow(file.lines[row]!) }
      if (!old) return fresh
      // The joint is the same, so what is known of it goes on; the screen asks for a second look at torque and threads.
      const { indenture, serialFrom, serialTo, side, note, facts } = old
      return { ...fresh, indenture, serialFrom, serialTo, side, note, facts, attaches: lines[row]!.attaches ?? null }
    }),
  })
  await tx.callout.deleteMany({ where: { figureId: figure.id } })
  await tx.callout.createMany({ data: file.callouts.map((callout) => calloutRow(figure.id, callout)) })
  const saved = await stripSaved(tx, figure.id)
  if (saved) {
    const steps = editionStripSteps(saved.content.steps, items)
    await stripPlace(tx, context, {
      figureId: figure.id,
      version: saved.version + 1,
      content: { steps, edges: strip.kept },
    })
  } else {
    await tx.stripEdge.deleteMany({ where: { figureId: figure.id } })
    await tx.stripEdge.createMany({
      data: strip.kept.map(({ first, then }) => ({ figureId: figure.id, firstItem: first, thenItem: then })),
    })
  }
  const { width, height } = ready.picture
  await tx.figure.update({
    where: { id: figure.id },
    data: {
      title: file.title,
      pictureId,
      width,
      height,
      // A page that says nothing of places leaves them as they are.
      ...(file.positions.length === 0 ? {} : { positions: JSON.stringify(file.positions) }),
      edition: figure.edition + 1,
    },
  })
  let superseded = 0
  for (const { lineId, row } of diff.numberChanged.filter((one) => input.supersede.includes(one.lineId))) {
    const [oldPartId, newPartId] = [lineOf.get(lineId)!.partId, parts.ids[row]!]
    const links = await supersessionLinks(tx, [oldPartId])
    if (links.some((link) => link.oldPartId === oldPartId && link.newPartId === newPartId)) continue
    const note = `figure ${file.number}, edition ${figure.edition + 1}`
    await supersessionPlace(tx, context.now, { oldPartId, newPartId, ratio: 1, interchange: 'one-way', note })
    superseded += 1
  }
  return {
    figureId: figure.id,
    edition: figure.edition + 1,
    made: { parts: parts.made, lines: diff.added.length + replaced.size, retired: gone.length, superseded },
    stripDropped: strip.dropped,
  }
}

/** A line that goes on keeps its part: its maker, its unit, and its number where the newer page prints none. */
function asInBook(
  file: FigureFile,
  diff: EditionDiff,
  lineOf: ReadonlyMap<number, FigureNow['lines'][number]>,
): FigureFile {
  const partOf = new Map(diff.kept.map(({ lineId, row }) => [row, lineOf.get(lineId)!.part]))
  const makerOf = new Map(diff.numberChanged.map(({ lineId, row }) => [row, lineOf.get(lineId)!.part]))
  const line = (one: PartsListLineFile, row: number): PartsListLineFile => {
    const part = partOf.get(row)
    if (part) return { ...one, partNumber: part.number, maker: part.maker }
    const before = makerOf.get(row)
    return before ? { ...one, maker: before.maker, partClass: before.partClass as PartsListLineFile['partClass'] } : one
  }
  return { ...file, lines: file.lines.map(line) }
}
