import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { createCanvas, GlobalFonts, PDFDocument } from '@napi-rs/canvas'
import type { BookSheet } from '../job/book-sheet.ts'
import { type BookHead, bookLayout } from '../print/book-layout.ts'
import { fontSigns } from '../print/font-signs.ts'
import { A4, type Pen, type PenFont, signsShown } from '../print/pen.ts'

/** Names of our own, so that a font of the same name on the machine never takes the place of the one that is embedded. */
const FAMILY = { plain: 'Cotterbook Paper', bold: 'Cotterbook Paper Bold' }

let shown: ((text: string) => string) | null = null

/**
 * The letters of the documents: Liberation Sans (SIL Open Font License), as pdfjs-dist brings it. A server often has no font
 * of its own, and what is embedded looks the same everywhere.
 */
function lettersReady(): (text: string) => string {
  if (shown) return shown
  const folder = join(
    dirname(createRequire(join(process.cwd(), 'package.json')).resolve('pdfjs-dist/package.json')),
    'standard_fonts',
  )
  const plain = readFileSync(join(folder, 'LiberationSans-Regular.ttf'))
  const bold = readFileSync(join(folder, 'LiberationSans-Bold.ttf'))
  GlobalFonts.register(plain, FAMILY.plain)
  GlobalFonts.register(bold, FAMILY.bold)
  const [inPlain, inBold] = [fontSigns(plain), fontSigns(bold)]
  const has = (sign: number) => inPlain(sign) && inBold(sign)
  // Nearly all there is to write: no sign of it needs a look of its own.
  shown = (text) => (/^[ -~]*$/.test(text) ? text : signsShown(text, has))
  return shown
}

function fontOf({ size, bold }: PenFont): string {
  return `${size}px "${bold ? FAMILY.bold : FAMILY.plain}"`
}

/** Widths are the same on every page: a canvas of one dot measures for all, and remembers what it measured. */
function ruler(letters: (text: string) => string): Pen['width'] {
  const context = createCanvas(1, 1).getContext('2d')
  const known = new Map<string, number>()
  return (text, font) => {
    const key = `${font.bold ? 'b' : ''}${font.size} ${text}`
    const before = known.get(key)
    if (before !== undefined) return before
    context.font = fontOf(font)
    const width = context.measureText(letters(text)).width
    known.set(key, width)
    return width
  }
}

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
