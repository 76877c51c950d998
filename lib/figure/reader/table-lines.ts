import type { TextLine } from './page-text.ts'
import type { CropText, GreyPage, Recogniser } from './schema.ts'
import { printTidied, spacesPut } from './table-print.ts'
import { lineSheet } from './table-sheet.ts'

/** Widest number of three signs, as a share of its height. */
const NUMBER_WIDE = 2.4

interface WantedLine {
  line: TextLine
  /** It holds an item number or a quantity. */
  number: boolean
}

/** Reads lines of a table, in order: short numbers sign by sign on the page itself, all others from one sheet. */
export async function linesRead(
  page: GreyPage,
  wanted: readonly WantedLine[],
  recognise: Recogniser,
): Promise<CropText[]> {
  const isNumber = ({ line: { box, inverse }, number }: WantedLine) =>
    number && !inverse && box[2] - box[0] <= NUMBER_WIDE * (box[3] - box[1])
  const numbers = wanted.filter(isNumber)
  const others = wanted.filter((one) => !isNumber(one))
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
      const { text, confidence } = texts[at]!
      read.set(one, { text: printTidied(spacesPut(page, one.line.box, text.normalize('NFKC'))), confidence })
    }
  }
  return wanted.map((one) => read.get(one)!)
}
