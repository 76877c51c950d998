import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { createCanvas, GlobalFonts } from '@napi-rs/canvas'
import { fontSigns } from '../print/font-signs.ts'
import { type Pen, type PenFont, signsShown } from '../print/pen.ts'

/** Names of our own, so that a font of the same name on the machine never takes the place of the one that is embedded. */
const FAMILY = { plain: 'Cotterbook Paper', bold: 'Cotterbook Paper Bold' }

let shown: ((text: string) => string) | null = null

/**
 * The letters of the documents: Liberation Sans (SIL Open Font License), as pdfjs-dist brings it. A server often has no font
 * of its own, and what is embedded looks the same everywhere.
 */
export function lettersReady(): (text: string) => string {
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

export function fontOf({ size, bold }: PenFont): string {
  return `${size}px "${bold ? FAMILY.bold : FAMILY.plain}"`
}

/** Widths are the same on every page: a canvas of one dot measures for all, and remembers what it measured. */
export function ruler(letters: (text: string) => string): Pen['width'] {
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
