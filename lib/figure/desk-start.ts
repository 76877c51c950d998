import type { StockUnit } from '../measure/quantity.ts'
import type { DeskDraft, DeskHead } from './desk.ts'
import type { PageBox, PageReading, ReadRow } from './reader/schema.ts'
import { itemCompare } from './strip-order.ts'

const NO_HEAD: DeskHead = { modelId: null, maker: '', model: '', kind: '', number: '', title: '', positions: '' }

/** Paper left around a drawing that is cut out of its page, as a share of the page's width. */
const MARGIN_SHARE = 0.06

/**
 * What was read, laid on the desk to be put right. `head` is known already when the page renews a figure; `unitOf` says what a
 * part in the catalogue is kept by.
 */
export function deskStart(
  reading: PageReading,
  head: Partial<DeskHead> = {},
  unitOf: (partNumber: string) => StockUnit = () => 'each',
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
      unit: unitOf(row.partNumber),
      doubts: [...row.doubts],
      seen: [],
      box: row.box,
    })),
    head: { ...NO_HEAD, ...head },
    keep: drawings[0] ?? null,
    drawings,
  }
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
