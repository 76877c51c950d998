import { createHash } from 'node:crypto'
import type { PictureChecked } from '../picture/picture.ts'
import type { Tx } from './client.ts'
import { asked, put, type Reader } from './exchange-rows.ts'
import { pictureStore } from './picture.ts'

/**
 * What stands in the place of the drawing in a figure that came as a list: the list is of use without one, and the sheet says
 * what is missing. All such figures share it. Written as the cleaner of drawings writes it (a test holds the two together), so
 * that a list need not wait for the cleaner.
 */
const SHEET_WITHOUT_DRAWING = [
  '<svg xmlns="http://www.w3.org/2000/svg" width="800" height="320" viewBox="0 0 800 320">',
  '<rect x="20" y="20" width="760" height="280" fill="none" stroke="#222" stroke-width="1.5"/>',
  '<text x="400" y="150" font-size="30" font-family="sans-serif" text-anchor="middle" fill="#222">Parts list without a drawing</text>',
  '<text x="400" y="195" font-size="20" font-family="sans-serif" text-anchor="middle" fill="#222">Items are in the list. Compare each part with the printed book.</text>',
  '</svg>',
].join('')

export function sheetWithoutDrawing(): PictureChecked {
  const bytes = Buffer.from(SHEET_WITHOUT_DRAWING)
  const id = createHash('sha256').update(bytes).digest('hex')
  return { id, bytes, mediaType: 'image/svg+xml', extension: 'svg', width: 800, height: 320, leftOut: [] }
}

export interface KnownFigure {
  id: number
  title: string
}

/** Figures of models by model id and number key. */
export async function figuresKnown(
  reader: Reader,
  wanted: readonly (readonly [modelId: number, numberKey: string])[],
): Promise<Map<string, KnownFigure>> {
  const rows = await asked(
    wanted,
    (json) => (reader as Tx).$queryRaw<
      { modelId: number | bigint; numberKey: string; id: number | bigint; title: string }[]
    >`
      SELECT o."modelId", o."numberKey", f."id", f."title" FROM json_each(${json}) k
      JOIN "FigureOfModel" o ON o."modelId" = k.value->>0 AND o."numberKey" = k.value->>1
      JOIN "Figure" f ON f."id" = o."figureId"`,
  )
  return new Map(rows.map((row) => [`${row.modelId}/${row.numberKey}`, { id: Number(row.id), title: row.title }]))
}

export interface KnownLine {
  id: number
  figureId: number
  sort: number
  item: string
  partKey: string
  description: string
  quantity: number
  quantityNote: string | null
  indenture: number
  attaches: string | null
  serialFrom: string | null
  serialTo: string | null
  /** JSON, SerialBreak[]: only where the line has several ranges */
  serialRanges: string | null
  side: string | null
  note: string | null
  orderItem: string | null
}

type RawLine = Omit<KnownLine, 'partKey'> & { makerKey: string; numberKey: string }

export async function linesKnown(reader: Reader, figureIds: Iterable<number>): Promise<KnownLine[]> {
  const rows = await asked(
    figureIds,
    (json) => (reader as Tx).$queryRaw<RawLine[]>`
      SELECT l."id", l."figureId", l."sort", l."item", l."description", l."quantity", l."quantityNote", l."indenture",
        l."attaches", l."serialFrom", l."serialTo", l."serialRanges", l."side", l."note", l."orderItem",
        p."makerKey", p."numberKey"
      FROM json_each(${json}) k JOIN "PartsListLine" l ON l."figureId" = k.value JOIN "Part" p ON p."id" = l."partId"
      WHERE l."retiredAt" IS NULL ORDER BY l."figureId", l."sort"`,
  )
  return rows.map(({ makerKey, numberKey, ...line }) => ({
    ...line,
    id: Number(line.id),
    figureId: Number(line.figureId),
    sort: Number(line.sort),
    quantity: Number(line.quantity),
    indenture: Number(line.indenture),
    partKey: `${makerKey}/${numberKey}`,
  }))
}

export interface NewFigure {
  modelId: number
  number: string
  numberKey: string
  title: string
}

/** Makes figures that have no drawing yet and answers their ids in the same order. */
export async function figuresMake(tx: Tx, now: Date, figures: readonly NewFigure[]): Promise<number[]> {
  if (figures.length === 0) return []
  const picture = sheetWithoutDrawing()
  const pictureId = await pictureStore(tx, now, picture)
  // Ids are given here, inside the writing transaction, so that each figure is known without asking for it by its title.
  const [last] = await tx.$queryRaw<{ id: number | bigint | null }[]>`
    SELECT MAX("id") AS "id" FROM (SELECT MAX("id") AS "id" FROM "Figure" UNION ALL
      SELECT "seq" FROM "sqlite_sequence" WHERE "name" = 'Figure')`
  const first = Number(last?.id ?? 0) + 1
  const ids = figures.map((_, at) => first + at)
  await put(
    figures,
    ({ title }, at) => [ids[at], title],
    (json) => tx.$executeRaw`
      INSERT INTO "Figure" ("id", "title", "pictureId", "width", "height", "createdAt")
      SELECT value->>0, value->>1, ${pictureId}, ${picture.width}, ${picture.height}, ${now} FROM json_each(${json})`,
  )
  await put(
    figures,
    ({ modelId, number, numberKey }, at) => [modelId, ids[at], number, numberKey],
    (json) => tx.$executeRaw`
      INSERT INTO "FigureOfModel" ("modelId", "figureId", "number", "numberKey")
      SELECT value->>0, value->>1, value->>2, value->>3 FROM json_each(${json})`,
  )
  return ids
}

/** What is written of a line; the part is found by its key. */
export type LineContent = Omit<KnownLine, 'id' | 'figureId' | 'sort'>
export type NewLine = Omit<KnownLine, 'id'>

export async function linesInsert(tx: Tx, lines: Iterable<NewLine>): Promise<void> {
  await put(
    lines,
    (line) => [
      ...line.partKey.split('/'),
      line.figureId,
      line.sort,
      line.item,
      line.description,
      line.quantity,
      line.quantityNote,
      line.indenture,
      line.attaches,
      line.serialFrom,
      line.serialTo,
      line.serialRanges,
      line.side,
      line.note,
      line.orderItem,
    ],
    (json) => tx.$executeRaw`
      INSERT INTO "PartsListLine" ("partId", "figureId", "sort", "item", "description", "quantity", "quantityNote",
        "indenture", "attaches", "serialFrom", "serialTo", "serialRanges", "side", "note", "orderItem")
      SELECT p."id", j.value->>2, j.value->>3, j.value->>4, j.value->>5, j.value->>6, j.value->>7, j.value->>8, j.value->>9,
        j.value->>10, j.value->>11, j.value->>12, j.value->>13, j.value->>14, j.value->>15
      FROM json_each(${json}) j JOIN "Part" p ON p."makerKey" = j.value->>0 AND p."numberKey" = j.value->>1`,
  )
}

export async function linesUpdate(tx: Tx, lines: Iterable<LineContent & { id: number }>): Promise<void> {
  await put(
    lines,
    ({ id, description, quantity, quantityNote, indenture, attaches, note, orderItem }) => [
      id,
      description,
      quantity,
      quantityNote,
      indenture,
      attaches,
      note,
      orderItem,
    ],
    (json) => tx.$executeRaw`
      UPDATE "PartsListLine" SET "description" = j.value->>1, "quantity" = j.value->>2, "quantityNote" = j.value->>3,
        "indenture" = j.value->>4, "attaches" = j.value->>5, "note" = j.value->>6, "orderItem" = j.value->>7
      FROM json_each(${json}) j WHERE "PartsListLine"."id" = j.value->>0`,
  )
}

export async function titlesUpdate(tx: Tx, titles: ReadonlyMap<number, string>): Promise<void> {
  await put(
    [...titles],
    (row) => row,
    (json) => tx.$executeRaw`
      UPDATE "Figure" SET "title" = j.value->>1 FROM json_each(${json}) j WHERE "Figure"."id" = j.value->>0`,
  )
}
