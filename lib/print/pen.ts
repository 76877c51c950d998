/** Points, 1/72 inch, from the top left corner of the page; y is the base line of a text. */
export interface Pen {
  width(text: string, font: PenFont): number
  text(text: string, x: number, y: number, font: PenFont): void
  line(x1: number, y1: number, x2: number, y2: number, weight: number): void
  /** Begins a page; the first one too. */
  page(): void
}

export interface PenFont {
  size: number
  bold: boolean
}

/** ISO 216, 210 mm x 297 mm. */
export const A4 = { width: 595.28, height: 841.89 }

/** Shown for a sign that the letters of the document do not have. */
export const MISSING_SIGN = '□'

/**
 * A text as the font can show it: composed signs (é as one), no control signs, and the missing sign for what the font lacks.
 */
export function signsShown(text: string, has: (codePoint: number) => boolean): string {
  const plain = text.normalize('NFC').replace(/[\p{Cc}\p{Cf}]+/gu, ' ')
  return [...plain].map((sign) => (has(sign.codePointAt(0)!) ? sign : MISSING_SIGN)).join('')
}

/**
 * Text in lines of at most `width`: broken between words, and inside a word only where it is wider by itself. Words are measured
 * one by one, since the same ones come again all through a book.
 */
export function linesOf(text: string, width: number, measure: (text: string) => number): string[] {
  const space = measure(' ')
  const lines: string[] = []
  let [line, used] = ['', 0]
  const end = () => {
    if (line !== '') lines.push(line)
    ;[line, used] = ['', 0]
  }
  const add = (part: string, partWidth: number, gap: string) => {
    line += `${line === '' ? '' : gap}${part}`
    used += partWidth
  }
  for (const word of text.split(/\s+/).filter((one) => one !== '')) {
    const wordWidth = measure(word)
    if (line !== '' && used + space + wordWidth > width) end()
    if (wordWidth <= width) {
      add(word, wordWidth + (line === '' ? 0 : space), ' ')
      continue
    }
    for (const sign of word) {
      const signWidth = measure(sign)
      if (line !== '' && used + signWidth > width) end()
      add(sign, signWidth, '')
    }
  }
  end()
  return lines.length > 0 ? lines : ['']
}
