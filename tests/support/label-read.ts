import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { type Canvas, createCanvas } from '@napi-rs/canvas'
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs'
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader'

// Printed labels as somebody else sees them: drawn by pdfjs-dist, read by zxing-wasm; neither knows how they were made.

export interface PaperPage {
  canvas: Canvas
  widthMm: number
  heightMm: number
  /** Pixels. */
  perMm: number
  words: string[]
}

/** Every page of a PDF as a picture. */
export async function paperPages(bytes: Uint8Array, perMm: number): Promise<PaperPage[]> {
  const task = getDocument({ data: Uint8Array.from(bytes), verbosity: 0 })
  const pdf = await task.promise
  const pages: PaperPage[] = []
  for (let number = 1; number <= pdf.numPages; number++) {
    const page = await pdf.getPage(number)
    const viewport = page.getViewport({ scale: (perMm * 25.4) / 72 })
    const canvas = createCanvas(Math.round(viewport.width), Math.round(viewport.height))
    const context = canvas.getContext('2d')
    context.fillStyle = '#fff'
    context.fillRect(0, 0, canvas.width, canvas.height)
    await page.render({ canvas: null, canvasContext: context as never, viewport }).promise
    const { items } = await page.getTextContent()
    const [, , width, height] = page.view
    pages.push({
      canvas,
      widthMm: (width! / 72) * 25.4,
      heightMm: (height! / 72) * 25.4,
      perMm,
      words: items.map((item) => ('str' in item ? item.str : '')).filter((text) => text !== ''),
    })
  }
  await task.destroy()
  return pages
}

let ready = false

/** What a reader of symbols finds in the picture: format and text, from left to right and top to bottom. */
export async function symbolsRead(canvas: Canvas): Promise<{ format: string; text: string }[]> {
  if (!ready) {
    const wasm = readFileSync(createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm'))
    prepareZXingModule({
      overrides: { wasmBinary: wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.length) as ArrayBuffer },
    })
    ready = true
  }
  const { data, width, height } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height)
  const found = await readBarcodes({ data, width, height, colorSpace: 'srgb' } as ImageData, {
    maxNumberOfSymbols: 255,
  })
  const row = ({ position }: (typeof found)[number]) => Math.round(position.topLeft.y / 40)
  return found
    .filter((one) => one.isValid)
    .sort((a, b) => row(a) - row(b) || a.position.topLeft.x - b.position.topLeft.x)
    .map(({ format, text }) => ({ format, text }))
}

/** Runs of dark pixels along a row or column of the picture, millimetres from its left or top edge. */
export function darkRuns(page: PaperPage, along: 'x' | 'y', atMm: number): { from: number; to: number }[] {
  const { canvas, perMm } = page
  const at = Math.round(atMm * perMm)
  const context = canvas.getContext('2d')
  const { data } =
    along === 'x' ? context.getImageData(0, at, canvas.width, 1) : context.getImageData(at, 0, 1, canvas.height)
  const runs: { from: number; to: number }[] = []
  for (let place = 0; place * 4 < data.length; place++) {
    if (data[place * 4]! > 127) continue
    const last = runs.at(-1)
    if (last && Math.abs(last.to * perMm - place) < 0.5) last.to = (place + 1) / perMm
    else runs.push({ from: place / perMm, to: (place + 1) / perMm })
  }
  return runs
}
