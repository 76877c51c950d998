import { PDFDocument } from '@napi-rs/canvas'
import { type LabelSymbol, type LabelText, labelLayout } from '../label/label-layout.ts'
import { type LabelPlace, type LabelSheet, labelPlaces, labelsAPage } from '../label/label-sheet.ts'
import type { Pen } from '../print/pen.ts'
import { fontOf, lettersReady, ruler } from './pdf-letters.ts'

const POINTS_A_MM = 72 / 25.4
/** Widths are measured at this size and scaled: small letters would be rounded. */
const MEASURED_AT = 100

/** Widths of the letters that are embedded, in the unit of the font's size. */
export function labelRuler(): Pen['width'] {
  const width = ruler(lettersReady())
  return (text, { size, bold }) => (width(text, { size: MEASURED_AT, bold }) * size) / MEASURED_AT
}

type Context = ReturnType<PDFDocument['beginPage']>

/** Pages whose unit is the millimetre. */
function pages(title: string, sheet: LabelSheet) {
  const document = new PDFDocument({ title, creator: 'Cotterbook', producer: 'Cotterbook' })
  let context: Context | null = null
  return {
    page(): Context {
      if (context) document.endPage()
      context = document.beginPage(sheet.pageWidth * POINTS_A_MM, sheet.pageHeight * POINTS_A_MM)
      context.scale(POINTS_A_MM, POINTS_A_MM)
      context.fillStyle = '#000'
      context.strokeStyle = '#000'
      return context
    },
    bytes(): Uint8Array<ArrayBuffer> {
      document.endPage()
      return new Uint8Array(document.close())
    },
  }
}

export interface LabelPrint {
  sheet: LabelSheet
  symbol: LabelSymbol
  /** First label of the first sheet that is still there, counted from 1. */
  from: number
  copies: number
  /** What the printer prints too far to the left and too high, millimetres. */
  right: number
  down: number
}

/** Every label as often as it is wanted, the copies beside each other. */
export function labelsCopied<T>(labels: readonly T[], copies: number): T[] {
  return labels.flatMap((label) => Array.from({ length: copies }, () => label))
}

/** Others are served between two labels. */
const breath = () => new Promise((resolve) => setImmediate(resolve))

/** Labels on their sheets, in millimetres: symbols are boxes and words are letters, so no printer blurs them. */
export async function labelPdf(labels: readonly LabelText[], print: LabelPrint): Promise<Uint8Array<ArrayBuffer>> {
  const { sheet, symbol, copies, right, down } = print
  const letters = lettersReady()
  const measure = labelRuler()
  const places = labelPlaces(sheet, labels.length * copies, print.from)
  const document = pages('Labels', sheet)
  let context: Context = document.page()
  let page = 0
  for (const [at, label] of labels.entries()) {
    if (at % 10 === 9) await breath()
    const drawing = labelLayout(label, sheet, symbol, measure)
    for (const place of places.slice(at * copies, (at + 1) * copies)) {
      if (place.page !== page) {
        context = document.page()
        page = place.page
      }
      const [x, y] = [place.x + right, place.y + down]
      // One path for the whole symbol: boxes that touch are filled without a seam.
      context.beginPath()
      for (const box of drawing.boxes) context.rect(x + box.x, y + box.y, box.width, box.height)
      context.fill()
      for (const word of drawing.words) {
        context.font = fontOf(word)
        context.fillText(letters(word.text), x + word.x, y + word.y)
      }
    }
  }
  return document.bytes()
}

/** A whole number of centimetres that fits on the page beside its ends. */
function rulerLength(sheet: LabelSheet): number {
  return Math.min(150, Math.floor((sheet.pageWidth - 12) / 10) * 10)
}

/**
 * A page that shows whether a printer keeps to size and place: the edge of every label, and a ruler to lay a steel rule against.
 */
export function labelTestPdf(sheet: LabelSheet, shift: { right: number; down: number }): Uint8Array<ArrayBuffer> {
  const document = pages('Test page for labels', sheet)
  const context = document.page()
  context.lineWidth = 0.2
  const places: LabelPlace[] = labelPlaces(sheet, labelsAPage(sheet))
  for (const place of places) {
    context.beginPath()
    context.rect(place.x + shift.right, place.y + shift.down, sheet.width, sheet.height)
    context.stroke()
  }
  const length = rulerLength(sheet)
  const x = (sheet.pageWidth - length) / 2 + shift.right
  const y = sheet.pageHeight / 2 + shift.down
  for (let mm = 0; mm <= length; mm++) {
    const tick = mm % 10 === 0 ? 5 : mm % 5 === 0 ? 3.5 : 2
    context.beginPath()
    context.moveTo(x + mm, y)
    context.lineTo(x + mm, y - tick)
    context.stroke()
  }
  context.beginPath()
  context.moveTo(x, y)
  context.lineTo(x + length, y)
  context.stroke()
  context.font = fontOf({ size: 2.5, bold: false })
  const says = `${length} mm`
  context.fillText(says, x + length - labelRuler()(says, { size: 2.5, bold: false }), y + 3)
  return document.bytes()
}
