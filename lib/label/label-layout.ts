import { linesOf, type Pen } from '../print/pen.ts'
import { CODE_128_QUIET, code128Widths } from './code-128.ts'
import { type Gs1Written, gs1Printed, gs1Symbol } from './gs1-write.ts'
import type { LabelOf } from './label-code.ts'
import { QR_QUIET, type QrSymbol, qrGs1Symbol, qrSymbol } from './qr.ts'

export const LABEL_SYMBOLS = ['qr', 'code-128'] as const
export type LabelSymbol = (typeof LABEL_SYMBOLS)[number]

/** What a label says: for scanners, large, and in small lines below. */
export interface LabelText {
  kind: LabelOf
  /** Our own code, for the symbol unless `gs1` fits. */
  code: string
  /** What the symbol says of a batch, where the label is large enough. */
  gs1?: Gs1Written
  lead: string
  lines: string[]
}

interface Box {
  x: number
  y: number
  width: number
  height: number
}

export interface LabelWords {
  text: string
  x: number
  /** Of the base line. */
  y: number
  size: number
  bold: boolean
  width: number
}

/** A label as it is drawn: dark boxes and words, millimetres from its top left corner. */
export interface LabelDrawing {
  boxes: Box[]
  words: LabelWords[]
  /** Width of the narrowest bar or dot of the symbol. */
  module: number
}

/** Printers leave an edge of a label white, and sheets are cut a little off. */
const EDGE = 2
const SMALL = 2.5
const LINE = 1.25
const LEAD = { most: 9, least: 2.6 }
const QR_MODULE_MAX = 0.9
const BAR_MODULE_MAX = 0.4
const BAR_HEIGHT_MAX = 12
/** Narrowest dot and bar that workshop printers and readers bring through: common practice, no source. */
const MODULE_MIN = { qr: 0.33, 'code-128': 0.19 }

/**
 * One label of a size.
 * @param size millimetres
 * @param measure width of a text in the unit of the font's size
 */
export function labelLayout(
  label: LabelText,
  size: { width: number; height: number },
  symbol: LabelSymbol,
  measure: Pen['width'],
): LabelDrawing {
  const inner = { x: EDGE, y: EDGE, width: size.width - 2 * EDGE, height: size.height - 2 * EDGE }
  const own = () => (symbol === 'qr' ? qrDrawn(qrSymbol(label.code), inner) : barsDrawn(label.code, inner))
  const ofBatch = label.gs1 && gs1Drawn(label.gs1, inner, symbol)
  const drawn = ofBatch ?? own()
  // The lines of a batch say what its symbol says; our own code is typed where there is no scanner.
  const foot = ofBatch ? '' : label.code
  return { boxes: drawn.boxes, module: drawn.module, words: [...wordsDrawn(label, foot, drawn.rest, measure)] }
}

/** Undefined where its dots or bars would be too fine to be read. */
function gs1Drawn(elements: Gs1Written, inner: Box, symbol: LabelSymbol): Drawn | undefined {
  const drawn =
    symbol === 'qr' ? qrDrawn(qrGs1Symbol(gs1Printed(elements)), inner) : barsDrawn(gs1Symbol(elements), inner)
  return drawn.module >= MODULE_MIN[symbol] ? drawn : undefined
}

interface Drawn {
  boxes: Box[]
  module: number
  /** What is left for words. */
  rest: Box
}

/** On the left, as large as the label is high; the label's own white edge is part of the clear space. */
function qrDrawn(symbol: QrSymbol, inner: Box): Drawn {
  const side = Math.min(inner.height + 2 * EDGE, inner.width * 0.5)
  const module = Math.min(QR_MODULE_MAX, side / (symbol.size + 2 * QR_QUIET))
  const whole = module * (symbol.size + 2 * QR_QUIET)
  const x0 = Math.max(0, inner.x - EDGE) + QR_QUIET * module
  const y0 = inner.y + (inner.height - symbol.size * module) / 2
  const boxes: Box[] = []
  for (let y = 0; y < symbol.size; y++)
    for (let x = 0; x < symbol.size; x++) {
      if (!symbol.isDark(x, y)) continue
      // Dots beside each other are one box: no printer leaves a hair between them.
      let end = x
      while (symbol.isDark(end + 1, y) && end + 1 < symbol.size) end++
      boxes.push({ x: x0 + x * module, y: y0 + y * module, width: (end - x + 1) * module, height: module })
      x = end
    }
  const used = Math.max(inner.x, whole)
  return { boxes, module, rest: { ...inner, x: used, width: inner.x + inner.width - used } }
}

/** Along the lower edge, words above. */
function barsDrawn(code: string, inner: Box): Drawn {
  const widths = code128Widths(code)
  const modules = widths.reduce((sum, one) => sum + one, 0)
  // The white edge of the label counts as clear space.
  const module = Math.min(BAR_MODULE_MAX, (inner.width + 2 * EDGE) / (modules + 2 * CODE_128_QUIET))
  const height = Math.min(BAR_HEIGHT_MAX, inner.height * 0.4)
  const y = inner.y + inner.height - height
  let x = inner.x - EDGE + (inner.width + 2 * EDGE - modules * module) / 2
  const boxes: Box[] = []
  for (const [at, width] of widths.entries()) {
    if (at % 2 === 0) boxes.push({ x, y, width: width * module, height })
    x += width * module
  }
  return { boxes, module, rest: { ...inner, height: inner.height - height - 0.8 } }
}

/** The lead as large as fits, then lines as long as there is room, and the code to type where no scanner is at hand. */
function* wordsDrawn(label: LabelText, code: string, rest: Box, measure: Pen['width']): Generator<LabelWords> {
  const width = (text: string, size: number, bold: boolean) => measure(text, { size, bold })
  const at = (text: string, y: number, size: number, bold: boolean): LabelWords => ({
    text,
    x: rest.x,
    y,
    size,
    bold,
    width: width(text, size, bold),
  })
  const foot = SMALL * LINE
  const bottom = rest.y + rest.height - foot
  const fitting = (rest.width / Math.max(width(label.lead, 1, true), 0.001)) * 0.999
  const size = Math.max(LEAD.least, Math.min(LEAD.most, fitting, (rest.height - foot) * 0.5))
  let y = rest.y
  for (const line of linesOf(label.lead, rest.width, (text) => width(text, size, true))) {
    yield at(line, y + size * 0.8, size, true)
    y += size * 1.1
  }
  for (const text of label.lines) {
    for (const line of linesOf(text, rest.width, (part) => width(part, SMALL, false))) {
      if (y + SMALL * LINE > bottom) break
      y += SMALL * LINE
      yield at(line, y - SMALL * 0.25, SMALL, false)
    }
  }
  if (code !== '') yield at(code, rest.y + rest.height - SMALL * 0.2, SMALL * 0.9, false)
}
