import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import type { PDFDocumentProxy, PDFPageProxy } from 'pdfjs-dist'
import type { GreyPage } from '../figure/reader/schema.ts'
import { counted } from '../measure/counted.ts'
import { Refusal } from '../refusal.ts'
import { complaint, type MadePage, READ_SIDE_MAX, sizeWithin } from './page-made.ts'
import { pdfRuns } from './pdf-runs.ts'

/** A parts book of this many pages is read page by page like any other. */
export const PDF_PAGES_MAX = 2000
const DPI = 200
const POINTS_PER_INCH = 72
/** A slide or label is enlarged to this, or its digits would be a few pixels high. */
const SIDE_MIN = 1600
/** Pixels of one picture inside the PDF; a larger one is left out by the renderer, and the page then refused. */
const INSIDE_PIXELS_MAX = 120e6

async function renderer() {
  const pdfjs = await import('pdfjs-dist/legacy/build/pdf.mjs')
  const folder = dirname(createRequire(import.meta.url).resolve('pdfjs-dist/package.json'))
  return { pdfjs, folder }
}

/**
 * Opens a PDF for reading: no scripts, no forms of XFA, nothing fetched; fonts and character maps come from the package.
 * Refuses with 'page/locked', 'page/broken' and 'page/too-heavy'.
 */
export async function pdfOpen(bytes: Uint8Array, file: string): Promise<PDFDocumentProxy> {
  const { pdfjs, folder } = await renderer()
  const task = pdfjs.getDocument({
    data: bytes,
    isEvalSupported: false,
    enableXfa: false,
    useWorkerFetch: false,
    useSystemFonts: false,
    disableFontFace: true,
    maxImageSize: INSIDE_PIXELS_MAX,
    standardFontDataUrl: `${join(folder, 'standard_fonts')}/`,
    cMapUrl: `${join(folder, 'cmaps')}/`,
    cMapPacked: true,
    wasmUrl: `${join(folder, 'wasm')}/`,
    iccUrl: `${join(folder, 'iccs')}/`,
    verbosity: 0,
  })
  let opened: PDFDocumentProxy
  try {
    opened = await task.promise
  } catch (error) {
    await task.destroy()
    if (error instanceof Error && error.name === 'PasswordException') throw new Refusal('page/locked', { file })
    throw new Refusal('page/broken', { file, where: 'its head', why: complaint(error) })
  }
  if (opened.numPages > PDF_PAGES_MAX) {
    const what = counted(opened.numPages, 'page')
    await task.destroy()
    throw new Refusal('page/too-heavy', { file, what, limit: `${PDF_PAGES_MAX} pages` })
  }
  return opened
}

/** One page drawn in pixels, with the text it carries itself. Refuses with 'page/broken'. */
export async function pdfPage(pdf: PDFDocumentProxy, file: string, number: number): Promise<MadePage> {
  let page: PDFPageProxy | null = null
  try {
    page = await pdf.getPage(number)
    return await drawn(page)
  } catch (error) {
    throw new Refusal('page/broken', { file, where: `page ${number}`, why: complaint(error) })
  } finally {
    page?.cleanup()
  }
}

async function drawn(page: PDFPageProxy): Promise<MadePage> {
  const { createCanvas } = await import('@napi-rs/canvas')
  const points = page.getViewport({ scale: 1 })
  const longest = Math.max(points.width, points.height)
  const scale = Math.min(Math.max(DPI / POINTS_PER_INCH, SIDE_MIN / longest), READ_SIDE_MAX / longest)
  const viewport = page.getViewport({ scale })
  const width = Math.max(1, Math.round(viewport.width))
  const height = Math.max(1, Math.round(viewport.height))
  const canvas = createCanvas(width, height)
  const context = canvas.getContext('2d')
  context.fillStyle = '#ffffff'
  context.fillRect(0, 0, width, height)
  // The renderer asks for a canvas of a browser; this one answers to the same calls.
  await page.render({
    canvas: canvas as unknown as HTMLCanvasElement,
    canvasContext: context as unknown as CanvasRenderingContext2D,
    viewport,
    background: '#ffffff',
  }).promise
  const runs = await pdfRuns(page, viewport, width, height)
  const grey = greyOf(context.getImageData(0, 0, width, height).data, width, height)
  return {
    width,
    height,
    grey,
    runs,
    picture: async (longestSide) => {
      if (longestSide === null || longestSide >= Math.max(width, height)) return canvas.encode('png')
      const small = sizeWithin(width, height, longestSide)
      const { default: sharp } = await import('sharp')
      return sharp(await canvas.encode('png'))
        .resize({ ...small, fit: 'fill' })
        .png({ compressionLevel: 6 })
        .toBuffer()
    },
  }
}

/** Luma of Rec. ITU-R BT.601, in whole numbers. */
function greyOf(rgba: Uint8ClampedArray, width: number, height: number): GreyPage {
  const data = new Uint8Array(width * height)
  for (let at = 0, from = 0; at < data.length; at++, from += 4)
    data[at] = (rgba[from]! * 77 + rgba[from + 1]! * 150 + rgba[from + 2]! * 29) >> 8
  return { width, height, data }
}
