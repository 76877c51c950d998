import { partNumberKey } from '../catalogue/part-number.ts'
import { figureFileCheck } from '../figure/figure-file.ts'
import { lineBreaks } from '../figure/line-check.ts'
import type { FigureFile, PartsListLineFile } from '../figure/schema.ts'
import { quantityScale } from '../measure/quantity.ts'
import { type PictureChecked, type PictureSent, pictureCheck } from '../picture/picture.ts'
import { Refusal } from '../refusal.ts'
import type { Tx } from './client.ts'
import { commandLinePerson } from './command-line.ts'
import { figureParts } from './figure-parts.ts'
import { pictureForsake, pictureStore, pictureTilesCut } from './picture.ts'
import { stripPlace } from './strip.ts'
import { type WriteContext, write } from './transaction.ts'

export interface FigureToImport {
  /** A figure file as it was read; it is checked here. */
  file: unknown
  picture: PictureSent
  /** What to call the file in an answer. */
  name?: string
}

export interface FigureImported {
  figureId: number
  modelId: number
  pictureId: string
  made: { model: boolean; parts: number; lines: number; callouts: number; leaderEnds: number; stripSteps: number }
  /** Parts of the list that were in the catalogue before. */
  partsKnown: number
  warnings: string[]
}

/** What a rehearsal answers: the same without ids, because nothing was made. */
export type FigureRehearsed = Omit<FigureImported, 'figureId' | 'modelId'>

/** Thrown to roll a rehearsal back; carries what would have been made. */
class RehearsalOver extends Error {
  readonly imported: FigureImported

  constructor(imported: FigureImported) {
    super('the rehearsal is over')
    this.imported = imported
  }
}

/**
 * Brings one figure into the parts book, all of it or nothing: model and parts are found or made, then picture, lines,
 * callouts and strip order, in one transaction. The picture is read before it, because that takes seconds.
 *
 * A part is known by maker and number (the line's maker, else the model's); a known part keeps its description and the line
 * keeps the book's. A line for which the book prints no number gets FIGURE-ITEM (4-02-7) under the model's maker; where
 * another part has that number already, -2, -3 and so on is added, so that two figures never share such a part by accident.
 *
 * Refusals in order of precedence: 'import/refused' (the file), those of `pictureCheck`, 'import/refused' (the picture's
 * size), 'figure/exists', 'import/refused' (a part kept by another unit).
 */
export async function figureImport(context: WriteContext, input: FigureToImport): Promise<FigureImported> {
  const ready = await figurePrepare(input)
  const imported = await placedOrForsaken(ready.picture, () =>
    write(context, 'figure.import', { file: ready.file, picture: ready.picture.id }, (tx) =>
      figurePlace(tx, context, ready),
    ),
  )
  // The figure is in the book; tiles that cannot be cut now (no room on the disk) are tried again when it is looked at.
  await pictureTilesCut(ready.picture).catch(() => undefined)
  return imported
}

/** Runs the whole import and takes it back: every refusal and warning, and nothing is left. */
export async function figureRehearse(context: WriteContext, input: FigureToImport): Promise<FigureRehearsed> {
  const ready = await figurePrepare(input)
  try {
    await placedOrForsaken(ready.picture, () =>
      write(context, 'figure.rehearse', { file: ready.file, picture: ready.picture.id }, async (tx) => {
        throw new RehearsalOver(await figurePlace(tx, context, ready))
      }),
    )
  } catch (error) {
    if (!(error instanceof RehearsalOver)) throw error
    const { figureId: _figure, modelId: _model, ...rehearsed } = error.imported
    return rehearsed
  }
  throw new Error('a rehearsal always ends by being taken back')
}

/** Runs what keeps the picture; when that fails, the picture's file does not stay behind. */
export async function placedOrForsaken<T>(picture: PictureChecked, run: () => Promise<T>): Promise<T> {
  try {
    return await run()
  } catch (error) {
    // The first answer counts: a file left behind is harmless, and the next import of the page takes it up.
    await pictureForsake(picture).catch(() => undefined)
    throw error
  }
}

/** A figure whose file and picture are checked: what is left needs the transaction. */
export interface FigureReady {
  file: FigureFile
  warnings: string[]
  picture: PictureChecked
  name: string
}

/** Checks file and picture, outside of any transaction because a picture takes seconds. Refusals as in `figureImport`. */
export async function figurePrepare(input: FigureToImport): Promise<FigureReady> {
  const name = input.name ?? 'the figure file'
  const { file, warnings } = figureFileCheck(input.file, name)
  const picture = await pictureCheck(input.picture)
  const { width, height } = file.picture
  // Callouts are kept in the picture's own pixels: half a pixel is rounding, more is another picture.
  if (Math.abs(width - picture.width) > 0.5 || Math.abs(height - picture.height) > 0.5) {
    const fault = `picture, width and height: the file says ${width} x ${height}, the picture is ${picture.width} x ${picture.height}`
    throw new Refusal('import/refused', { count: 1, file: name }, { faults: [fault] })
  }
  if (picture.leftOut.length > 0) warnings.push(`the drawing was kept without: ${picture.leftOut.join(', ')}`)
  return { file, warnings, picture, name }
}

/** Makes the figure in the caller's transaction; `placedOrForsaken` stands around it. */
export async function figurePlace(tx: Tx, context: WriteContext, ready: FigureReady): Promise<FigureImported> {
  const { file, picture } = ready
  await commandLinePerson(tx, context)
  const key = partNumberKey(`${file.model.maker}/${file.model.name}`)
  const known = await tx.machineModel.findUnique({ where: { key } })
  const model = known ?? (await tx.machineModel.create({ data: { ...file.model, key } }))
  const numberKey = partNumberKey(file.number)
  const there = await tx.figureOfModel.findUnique({ where: { modelId_numberKey: { modelId: model.id, numberKey } } })
  if (there) throw new Refusal('figure/exists', { number: file.number, model: `${model.maker} ${model.name}` })
  const parts = await figureParts(tx, file, ready.name)
  const pictureId = await pictureStore(tx, context.now, picture)
  const figure = await tx.figure.create({
    data: {
      title: file.title,
      pictureId,
      width: picture.width,
      height: picture.height,
      positions: JSON.stringify(file.positions),
      tests: JSON.stringify(file.tests),
      credit: file.credit ?? null,
      createdAt: context.now,
      models: { create: { modelId: model.id, number: file.number, numberKey } },
    },
    select: { id: true },
  })
  await tx.callout.createMany({ data: file.callouts.map((callout) => calloutRow(figure.id, callout)) })
  await tx.partsListLine.createMany({
    data: file.lines.map((line, sort) => ({ figureId: figure.id, sort, partId: parts.ids[sort]!, ...lineRow(line) })),
  })
  const edges = new Map(file.stripOrder.map((edge) => [`${edge.first} ${edge.then}`, edge]))
  // An order without notes is the figure's own; with them it is kept as one that was saved.
  if (file.stripSteps.length > 0) {
    const content = { steps: file.stripSteps, edges: [...edges.values()] }
    await stripPlace(tx, context, { figureId: figure.id, version: 1, content })
  } else {
    await tx.stripEdge.createMany({
      data: [...edges.values()].map(({ first, then }) => ({ figureId: figure.id, firstItem: first, thenItem: then })),
    })
  }
  return {
    figureId: figure.id,
    modelId: model.id,
    pictureId,
    made: {
      model: known === null,
      parts: parts.made,
      lines: file.lines.length,
      callouts: file.callouts.length,
      leaderEnds: file.callouts.reduce((sum, callout) => sum + callout.tips.length, 0),
      stripSteps: edges.size,
    },
    partsKnown: parts.known,
    warnings: [...ready.warnings, ...parts.warnings],
  }
}

export function calloutRow(figureId: number, { item, x, y, tips }: FigureFile['callouts'][number]) {
  return { figureId, item, x, y, tips: JSON.stringify(tips) }
}

export function lineRow(line: PartsListLineFile) {
  const breaks = lineBreaks(line)
  return {
    item: line.item,
    description: line.description,
    quantity: Math.round(line.quantity * quantityScale(line.unit)),
    quantityNote: line.quantityNote ?? null,
    indenture: line.indenture,
    attaches: line.attaches ?? null,
    serialFrom: breaks.length === 1 ? breaks[0]!.from : null,
    serialTo: breaks.length === 1 ? breaks[0]!.to : null,
    serialRanges: breaks.length > 1 ? JSON.stringify(breaks) : null,
    side: line.side ?? null,
    note: line.note ?? null,
    orderItem: line.orderItem ?? null,
    facts: JSON.stringify(line.facts),
  }
}
