import type { StockUnit } from '../measure/quantity.ts'
import type { DeskDraft, DeskHead } from './desk.ts'
import type { PageBox, PageReading } from './reader/schema.ts'

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
  const drawings = reading.figures
    .filter((figure) => figure.callouts.length > 0)
    .map((figure) => drawingBox(reading, figure))
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
    rows: reading.rows.map((row) => ({
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
    keep: drawings.length === 1 ? (drawings[0] ?? null) : null,
    drawings,
  }
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
