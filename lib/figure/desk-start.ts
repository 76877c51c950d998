import { partClassSaid } from '../catalogue/class-words.ts'
import type { PartClass } from '../catalogue/part-class.ts'
import type { StockUnit } from '../measure/quantity.ts'
import type { DeskDraft, DeskHead, DeskRow } from './desk.ts'
import type { PageBox, PageReading, ReadRow } from './reader/schema.ts'
import { itemCompare } from './strip-order.ts'

const NO_HEAD: DeskHead = {
  modelId: null,
  maker: '',
  model: '',
  kind: '',
  number: '',
  title: '',
  positions: '',
  unsure: [],
}

export interface KnownPart {
  unit: StockUnit
  partClass: PartClass
}

/** What a part is kept by and of which class it is: as the catalogue has it, else as its words say. */
function kindOf(row: ReadRow, part: KnownPart | undefined): Pick<DeskRow, 'unit' | 'partClass' | 'classBy'> {
  if (part && part.partClass !== 'other') return { ...part, classBy: 'catalogue' }
  return { unit: part?.unit ?? 'each', partClass: partClassSaid(row.description) ?? 'other', classBy: 'words' }
}

/** Paper left around a drawing that is cut out of its page, as a share of the page's width. */
const MARGIN_SHARE = 0.06

/**
 * What was read, laid on the desk to be put right. `head` is known already when the page renews a figure; `known` says what the
 * catalogue has of a part number.
 */
export function deskStart(
  reading: PageReading,
  head: Partial<DeskHead> = {},
  known: (partNumber: string) => KnownPart | undefined = () => undefined,
): DeskDraft {
  let next = 0
  const id = (letter: string) => {
    next += 1
    return `${letter}${next}`
  }
  const each = reading.figures
    .filter((figure) => figure.callouts.length > 0)
    .map((figure) => drawingBox(reading, figure))
  // Parts that lie far apart are found as several drawings; mostly they are one figure, so all together come first.
  const drawings = each.length > 1 ? [together(each), ...each] : each
  return {
    width: reading.width,
    height: reading.height,
    callouts: reading.callouts.map(({ item, x, y, tips, doubts }) => ({
      id: id('c'),
      item,
      x,
      y,
      tips: tips.map((tip) => ({ id: id('t'), x: tip.x, y: tip.y })),
      doubts: [...doubts],
      seen: [],
    })),
    rows: inOrder(reading.rows).map((row) => ({
      id: id('r'),
      item: row.item,
      partNumber: row.partNumber,
      description: row.description,
      quantity: row.quantity === null ? '' : String(row.quantity),
      quantityNote: row.quantityNote,
      ...kindOf(row, known(row.partNumber)),
      doubts: [...row.doubts],
      seen: [],
      box: row.box,
    })),
    head: { ...NO_HEAD, ...headOf(reading, head), ...head },
    keep: drawings[0] ?? null,
    drawings,
  }
}

/** Number and title as the page prints them, to be looked at; a figure of the book keeps its own. */
function headOf({ heading }: PageReading, known: Partial<DeskHead>): Partial<DeskHead> {
  if (!heading || known.title !== undefined) return {}
  const { number, title } = heading
  return { number, title, unsure: [...(number ? (['number'] as const) : []), ...(title ? (['title'] as const) : [])] }
}

function together(boxes: readonly PageBox[]): PageBox {
  const side = (at: 0 | 1 | 2 | 3, pick: (...values: number[]) => number) => pick(...boxes.map((box) => box[at]))
  return [side(0, Math.min), side(1, Math.min), side(2, Math.max), side(3, Math.max)]
}

/** Some lists read upwards from the title block: they are turned, so that item 1 stands first as in a printed parts list. */
function inOrder(rows: readonly ReadRow[]): readonly ReadRow[] {
  const steps = rows.slice(1).map((row, at) => Math.sign(itemCompare(row.item, rows[at]!.item)))
  const falling = steps.filter((step) => step < 0).length
  return falling > steps.length / 2 ? rows.toReversed() : rows
}

/** The drawing with its numbers and leader ends, whatever the box alone says, and some paper around. */
function drawingBox(reading: PageReading, figure: PageReading['figures'][number]): PageBox {
  const ends = figure.callouts.flatMap((at) => {
    const callout = reading.callouts[at]
    return callout ? [callout, ...callout.tips] : []
  })
  const margin = reading.width * MARGIN_SHARE
  const [left, top, right, bottom] = figure.box
  const xs = ends.map((end) => end.x)
  const ys = ends.map((end) => end.y)
  return [
    Math.max(0, Math.floor(Math.min(left, ...xs) - margin)),
    Math.max(0, Math.floor(Math.min(top, ...ys) - margin)),
    Math.min(reading.width, Math.ceil(Math.max(right, ...xs) + margin)),
    Math.min(reading.height, Math.ceil(Math.max(bottom, ...ys) + margin)),
  ]
}

/** A line of the figure that a page renews, as the book has it. */
export interface BookLine {
  item: string
  partNumber: string
  description: string
  /** Whole stock units. */
  quantity: number
  quantityNote: string
  unit: StockUnit
  partClass: PartClass
}

/**
 * The page of a figure whose list is in the book already may print nothing but the drawing: the lines of the book are laid beside
 * it, so that numbers and lines check each other and nothing of the list goes when the drawing is published. A page that prints a
 * list of its own keeps to that.
 */
export function deskWithBookLines(draft: DeskDraft, lines: readonly BookLine[]): DeskDraft {
  if (draft.rows.some((row) => [row.item, row.partNumber, row.description].some((text) => text.trim() !== '')))
    return draft
  const ids = [
    ...draft.callouts.flatMap((one) => [one.id, ...one.tips.map((tip) => tip.id)]),
    ...draft.rows.map((row) => row.id),
  ]
  const next = ids.reduce((most, id) => Math.max(most, Number(id.slice(1)) + 1), 1)
  return {
    ...draft,
    rows: lines.map(({ quantity, ...line }, at) => ({
      ...line,
      id: `r${next + at}`,
      quantity: String(quantity),
      classBy: line.partClass === 'other' ? 'words' : 'catalogue',
      doubts: [],
      seen: [],
      box: null,
    })),
  }
}
