import type { PageViewport, PDFPageProxy } from 'pdfjs-dist'
import type { TextRun } from '../figure/reader/schema.ts'

const RUNS_MAX = 20_000
/** A picture that covers so much of the page is a scan; the text behind it is an earlier reading, not the page's own. */
const SCAN_SHARE = 0.6
/** Share of the height of the letters above and below the baseline. */
const ASCENT = 0.75
const DESCENT = 0.2

/**
 * Upright text that the page carries itself, in pixels of its rendering, words of one line joined. Empty for a scanned
 * page, whose hidden text is only as good as the program that read it. Turned text is left out: it is a dimension or a
 * note, never an item of a list.
 */
export async function pdfRuns(
  page: PDFPageProxy,
  viewport: PageViewport,
  width: number,
  height: number,
): Promise<TextRun[]> {
  if (await scanned(page, viewport, width * height)) return []
  const { items } = await page.getTextContent()
  const runs: TextRun[] = []
  for (const item of items) {
    if (!('str' in item) || item.str.trim() === '' || runs.length >= RUNS_MAX) continue
    // Private-use and control characters are glyph numbers of a font without a map: they say nothing.
    if (/[\p{Co}\p{Cc}\uFFFD]/u.test(item.str)) return []
    const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0] = times(viewport.transform, item.transform as number[])
    const tall = Math.hypot(c, d)
    if (tall < 2 || Math.abs(b) > 0.09 * Math.abs(a) || a <= 0) continue
    const wide = item.width * viewport.scale
    const box: TextRun['box'] = [e, f - ASCENT * tall, e + wide, f + DESCENT * tall]
    if (box[2] < 0 || box[3] < 0 || box[0] > width || box[1] > height) continue
    joinOrAdd(runs, item.str, box, tall)
  }
  return runs.map((run) => ({ ...run, text: run.text.trim() }))
}

/** Letters set one by one, or words set with a space between, are one run again. */
function joinOrAdd(runs: TextRun[], text: string, box: TextRun['box'], tall: number): void {
  const last = runs.at(-1)
  const gap = last ? box[0] - last.box[2] : Number.POSITIVE_INFINITY
  const level = last ? Math.abs(last.box[3] - box[3]) : Number.POSITIVE_INFINITY
  if (!last || level > 0.15 * tall || gap < -0.3 * tall || gap > 0.45 * tall) {
    runs.push({ text, box })
    return
  }
  last.text += (gap > 0.15 * tall && !last.text.endsWith(' ') ? ' ' : '') + text
  last.box = [last.box[0], Math.min(last.box[1], box[1]), Math.max(last.box[2], box[2]), Math.max(last.box[3], box[3])]
}

type Matrix = readonly number[]

/** Product of two affine matrices [a b c d e f] of PDF (ISO 32000-1, 8.3.4): `inner` is applied first. */
function times(outer: Matrix, inner: Matrix): number[] {
  const [a = 1, b = 0, c = 0, d = 1, e = 0, f = 0] = outer
  const [g = 1, h = 0, i = 0, j = 1, k = 0, l = 0] = inner
  return [a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j, a * k + c * l + e, b * k + d * l + f]
}

async function scanned(page: PDFPageProxy, viewport: PageViewport, area: number): Promise<boolean> {
  const { OPS } = await import('pdfjs-dist/legacy/build/pdf.mjs')
  const { fnArray, argsArray } = await page.getOperatorList()
  const pictures = new Set([OPS.paintImageXObject, OPS.paintInlineImageXObject, OPS.paintImageMaskXObject])
  let now: number[] = [...viewport.transform]
  const kept: number[][] = []
  let covered = 0
  for (const [at, name] of fnArray.entries()) {
    if (name === OPS.save) kept.push(now)
    else if (name === OPS.restore) now = kept.pop() ?? now
    else if (name === OPS.transform) now = times(now, argsArray[at] as number[])
    else if (name === OPS.paintFormXObjectBegin) {
      kept.push(now)
      const matrix: unknown = (argsArray[at] as unknown[] | null)?.[0]
      if (Array.isArray(matrix) || ArrayBuffer.isView(matrix)) now = times(now, Array.from(matrix as ArrayLike<number>))
    } else if (name === OPS.paintFormXObjectEnd) now = kept.pop() ?? now
    else if (pictures.has(name)) covered += Math.abs(now[0]! * now[3]! - now[1]! * now[2]!)
  }
  return covered > SCAN_SHARE * area
}
