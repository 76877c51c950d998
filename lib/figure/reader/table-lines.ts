import type { TextLine } from './page-text.ts'
import type { CropText, GreyPage, Recogniser } from './schema.ts'
import { quantityOf } from './table-column.ts'
import { printTidied, spacesPut } from './table-print.ts'
import { lineSheet } from './table-sheet.ts'

/** Widest number of three signs, as a share of its height. */
const NUMBER_WIDE = 2.4
/** A quantity from this share of its height on may be a word (AR, REF, X), which the reader of signs takes for digits. */
const WORD_WIDE = 0.8

/** `either`: the column has no head, and only what stands in it will tell which of the two it is. */
export type NumberKind = 'item' | 'quantity' | 'either'

interface WantedLine {
  line: TextLine
  /** What the column it stands in holds, where that is short numbers. */
  number: NumberKind | null
}

export function isNumberWide({ box }: TextLine): boolean {
  return box[2] - box[0] <= NUMBER_WIDE * (box[3] - box[1])
}

/** Reads lines of a table, in order: short numbers sign by sign on the page itself, all others from one sheet. */
export async function linesRead(
  page: GreyPage,
  wanted: readonly WantedLine[],
  recognise: Recogniser,
): Promise<CropText[]> {
  const isNumber = ({ line, number }: WantedLine) => number !== null && !line.inverse && isNumberWide(line)
  const numbers = wanted.filter(isNumber)
  const mayBeWord = ({ line: { box }, number }: WantedLine) =>
    number !== 'item' && box[2] - box[0] >= WORD_WIDE * (box[3] - box[1])
  const others = wanted.filter((one) => !isNumber(one) || mayBeWord(one))
  const read = new Map<WantedLine, CropText>()
  if (numbers.length > 0) {
    const texts = await recognise(
      page,
      numbers.map(({ line: { box } }) => ({ box, kind: 'item' })),
    )
    for (const [at, one] of numbers.entries()) read.set(one, texts[at]!)
  }
  if (others.length > 0) {
    const sheet = lineSheet(
      page,
      others.map(({ line }) => line),
    )
    const texts = await recognise(
      sheet.page,
      sheet.boxes.map((box) => ({ box, kind: 'line' })),
    )
    for (const [at, one] of others.entries()) {
      const { text, confidence, places } = texts[at]!
      const line = { text: printTidied(spacesPut(page, one.line.box, text, places)), confidence }
      const bySign = read.get(one)
      if (bySign === undefined) read.set(one, line)
      else read.set(one, one.number === 'either' ? surer(bySign, line) : quantityAgreed(bySign, line))
    }
  }
  return wanted.map((one) => read.get(one)!)
}

/**
 * A quantity read both ways: letters win over digits, and two different numbers are none, for a wrong number of parts on an
 * order is worse than a cell that a person must look at.
 */
function quantityAgreed(bySign: CropText, byLine: CropText): CropText {
  const [sign, line] = [quantityOf(bySign.text).quantity, quantityOf(byLine.text).quantity]
  if (line === null && /\p{L}.*\p{L}|^[xX]$/u.test(byLine.text)) return byLine
  if ((sign !== null && sign === line) || bySign.text === byLine.text)
    return { text: bySign.text, confidence: 1 - (1 - bySign.confidence) * (1 - byLine.confidence) }
  return { text: '', confidence: 0 }
}

/** Of a number that may be an item, something must stand there, or the list is not known for one: the surer reading, in doubt. */
function surer(bySign: CropText, byLine: CropText): CropText {
  const agreed = quantityAgreed(bySign, byLine)
  if (agreed.text !== '') return agreed
  const best = byLine.confidence > bySign.confidence ? byLine : bySign
  return { text: best.text, confidence: Math.min(0.5, best.confidence) }
}
