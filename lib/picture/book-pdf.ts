import { PDFDocument } from '@napi-rs/canvas'
import type { BookSheet } from '../job/book-sheet.ts'
import { type BookHead, bookLayout } from '../print/book-layout.ts'
import { A4, type Pen } from '../print/pen.ts'
import { fontOf, lettersReady, ruler } from './pdf-letters.ts'

/** Others are served between two entries. */
const breath = () => new Promise((resolve) => setImmediate(resolve))

async function laidOut(pen: Pen, head: BookHead, sheets: readonly BookSheet[]): Promise<number> {
  const layout = bookLayout(pen, head)
  for (const [at, sheet] of sheets.entries()) {
    layout.entry(sheet)
    if (at % 10 === 9) await breath()
  }
  return layout.pages()
}

/** A service book on pages of A4. */
export function bookPdf(head: Omit<BookHead, 'pages'>, sheets: readonly BookSheet[]): Promise<Uint8Array<ArrayBuffer>> {
  return pagesPdf(head.title, (pen, pages) => laidOut(pen, { ...head, pages }, sheets))
}

/**
 * What `laid` sets, as a PDF of A4 pages: text that can be searched and copied, its letters embedded, pages counted. `laid`
 * answers how many pages it made and is called twice: once to count them, since each of them says of how many.
 */
export async function pagesPdf(
  title: string,
  laid: (pen: Pen, pages: number) => Promise<number>,
): Promise<Uint8Array<ArrayBuffer>> {
  const letters = lettersReady()
  const width = ruler(letters)
  const nothing = () => undefined
  const pages = await laid({ width, text: nothing, line: nothing, page: nothing }, 0)
  const document = new PDFDocument({ title: letters(title), creator: 'Cotterbook', producer: 'Cotterbook' })
  let context: ReturnType<PDFDocument['beginPage']> | null = null
  const pen: Pen = {
    width,
    page() {
      if (context) document.endPage()
      context = document.beginPage(A4.width, A4.height)
      context.fillStyle = '#000'
      context.strokeStyle = '#000'
    },
    text(text, x, y, font) {
      context!.font = fontOf(font)
      context!.fillText(letters(text), x, y)
    },
    line(x1, y1, x2, y2, weight) {
      context!.lineWidth = weight
      context!.beginPath()
      context!.moveTo(x1, y1)
      context!.lineTo(x2, y2)
      context!.stroke()
    },
  }
  await laid(pen, pages)
  document.endPage()
  return new Uint8Array(document.close())
}
