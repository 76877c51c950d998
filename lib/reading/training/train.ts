/**
 * Trains the glyph net: `node --import tsx lib/reading/training/train.ts FONT_FOLDER [SAMPLES]`.
 * Reads every font of the folder, draws signs with seeded noise, and writes lib/reading/glyph-weights.bin. Takes minutes.
 */
import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { GlobalFonts } from '@napi-rs/canvas'
import { randomNormal, randomSeeded } from '../../maths/random.ts'
import { FLAT, type GlyphWeights, glyphPass, LAYER_SIZES, NO_GLYPH } from '../glyph-net.ts'
import { weightsPacked } from '../glyph-weights.ts'
import { glyphDrawn } from './draw-glyph.ts'
import { glyphGradient } from './gradient.ts'

/** Fonts whose digits are no digits, or so fanciful that no parts book prints them. */
const NOT_FOR_BOOKS = /Symbols|D050000L|Z003|Emoji|Fallback|OpenSymbol|Dingbats|Math|Chancery/i
const BATCH = 32
const NAMES = Object.keys(LAYER_SIZES) as (keyof typeof LAYER_SIZES)[]

const folder = process.argv[2]
if (!folder) throw new Error('say the folder of the fonts: node --import tsx lib/reading/training/train.ts FONT_FOLDER')
const samples = Number(process.argv[3] ?? 160_000)
GlobalFonts.loadFontsFromDir(folder)
const fonts = GlobalFonts.families.map(({ family }) => family).filter((family) => !NOT_FOR_BOOKS.test(family))
const random = randomSeeded('glyphs')
const weights = Object.fromEntries(
  NAMES.map((name) => {
    const inputs = { first: 9, second: 72, hidden: FLAT, last: 64 }[name as string]
    const deviation = inputs === undefined ? 0 : Math.sqrt(2 / inputs)
    return [name, Float32Array.from({ length: LAYER_SIZES[name] }, () => randomNormal(random, 0, 1) * deviation)]
  }),
) as GlyphWeights
const zeros = (): GlyphWeights =>
  Object.fromEntries(NAMES.map((name) => [name, new Float32Array(LAYER_SIZES[name])])) as GlyphWeights
const mean = zeros()
const square = zeros()

/** Adam (Kingma and Ba 2015) with the customary constants; the step falls off as a cosine. */
function step(gradient: GlyphWeights, time: number, times: number): void {
  const rate = 0.002 * (0.5 + 0.5 * Math.cos((Math.PI * time) / times)) + 1e-5
  for (const name of NAMES)
    for (let at = 0; at < LAYER_SIZES[name]; at++) {
      const slope = gradient[name][at]! / BATCH
      const m = 0.9 * mean[name][at]! + 0.1 * slope
      const v = 0.999 * square[name][at]! + 0.001 * slope * slope
      mean[name][at] = m
      square[name][at] = v
      weights[name][at]! -= (rate * (m / (1 - 0.9 ** time))) / (Math.sqrt(v / (1 - 0.999 ** time)) + 1e-8)
    }
}

const times = Math.floor(samples / BATCH)
for (let time = 1; time <= times; time++) {
  const gradient = zeros()
  for (let n = 0; n < BATCH; n++) {
    const { picture, glyph } = glyphDrawn(random, fonts)
    glyphGradient(weights, glyphPass(weights, picture), glyph, gradient)
  }
  step(gradient, time, times)
  if (time % 500 === 0 || time === times) console.info(`${time}/${times}: ${judged(1000)}`)
}

/** On signs not trained on: share named rightly, among item signs and in all. */
function judged(count: number): string {
  const fresh = randomSeeded('judge')
  let right = 0
  let items = 0
  let itemsRight = 0
  for (let n = 0; n < count; n++) {
    const { picture, glyph } = glyphDrawn(fresh, fonts)
    const { share } = glyphPass(weights, picture)
    const hit = share.indexOf(Math.max(...share)) === glyph ? 1 : 0
    right += hit
    if (glyph < 10 && glyph !== NO_GLYPH) {
      items += 1
      itemsRight += hit
    }
  }
  return `${((100 * right) / count).toFixed(1)} % right, digits ${((100 * itemsRight) / items).toFixed(1)} %`
}

writeFileSync(fileURLToPath(new URL('../glyph-weights.bin', import.meta.url)), weightsPacked(weights))
