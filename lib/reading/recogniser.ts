import type { CropText, Recogniser } from '../figure/reader/schema.ts'
import { type ItemRead, itemRead } from './item-reader.ts'
import { LineReader } from './line-reader.ts'

/** Below this the net for single signs is not sure, and the one for lines is asked as well. */
const SURE = 0.85

/** The air in 11 now and then reads as 1.1: from here on a point that only the larger net saw is believed. */
const POINT_SURE = 0.7

/** An item number as it may be printed, without the full stop after it. */
const ITEM = /^[A-Z]?\d{1,3}(?:\.\d{1,2})?[A-Z]?$/

/**
 * Opens what reads print. Item numbers are read sign by sign by a small net (a fraction of a millisecond); what it is not
 * sure of, and lines of print, are read by a larger one, which is loaded when first needed and kept for the process.
 */
export function recogniserOpen(): { recognise: Recogniser; close(): Promise<void> } {
  const lines = new LineReader()
  const recognise: Recogniser = async (page, crops) => {
    const bySign = crops.map(({ box, kind }) => (kind === 'item' ? itemRead(page, box) : null))
    const texts = bySign.map(
      (one): CropText => (one === null ? NOTHING : { text: one.text, confidence: one.confidence }),
    )
    for (const kind of ['item', 'line'] as const) {
      const open = crops.flatMap((crop, at) => (crop.kind === kind && !settled(bySign[at]!) ? [at] : []))
      if (open.length === 0) continue
      const boxes = open.map((at) => crops[at]!.box)
      const read = await lines.read(page, boxes, kind)
      for (const [n, at] of open.entries()) texts[at] = kind === 'item' ? chosen(bySign[at]!, read[n]!) : read[n]!
    }
    return texts
  }
  return { recognise, close: () => lines.close() }
}

function settled(bySign: ItemRead | null): boolean {
  return bySign !== null && bySign.confidence >= SURE && !bySign.roomForPoint && ITEM.test(bySign.text)
}

const NOTHING: CropText = { text: '', confidence: 0 }

/** Two readings that agree are surer than either; where they do not, the surer one with a doubt. */
function chosen(bySign: ItemRead, byLine: CropText): CropText {
  const line = { text: byLine.text.replace(/\.$/, ''), confidence: byLine.confidence }
  const isPointed = line.text.includes('.') && line.text.replace('.', '') === bySign.text
  if (bySign.roomForPoint && isPointed && line.confidence >= POINT_SURE) return line
  if (!ITEM.test(line.text)) return ITEM.test(bySign.text) ? { ...bySign, confidence: bySign.confidence * 0.8 } : line
  if (!ITEM.test(bySign.text)) return { ...line, confidence: line.confidence * 0.9 }
  if (line.text === bySign.text)
    return { text: line.text, confidence: 1 - (1 - line.confidence) * (1 - bySign.confidence) }
  const surer = line.confidence > bySign.confidence ? line : bySign
  return { text: surer.text, confidence: surer.confidence * 0.7 }
}
