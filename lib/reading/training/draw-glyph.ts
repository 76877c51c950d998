import { createCanvas, type SKRSContext2D } from '@napi-rs/canvas'
import type { GreyPage, PageBox } from '../../figure/reader/schema.ts'
import { type Random, randomChance, randomInteger, randomPick } from '../../maths/random.ts'
import { GLYPHS, NO_GLYPH } from '../glyph-net.ts'
import { glyphPicture } from '../glyph-picture.ts'

const SIDE = 96
const canvas = createCanvas(SIDE, SIDE)
const context = canvas.getContext('2d')
const NOT_ITEMS = [...'abdefghmnqrt#%&@?+=/()<>*[]{}', 'Ø', '11', '10', '21', '44', '00', 'al', 'rn', '1/', '12']

export interface DrawnGlyph {
  picture: Float32Array
  glyph: number
}

/** One sign as a page might print it: any of the fonts, small or large, thin or bold, blurred, grainy, broken or bitten. */
export function glyphDrawn(random: Random, fonts: readonly string[]): DrawnGlyph {
  for (;;) {
    const other = randomChance(random, 0.2)
    const digit = randomChance(random, 0.7)
    const glyph = other ? NO_GLYPH : digit ? randomInteger(random, 0, 9) : randomInteger(random, 10, NO_GLYPH - 1)
    context.setTransform(1, 0, 0, 1, 0, 0)
    context.fillStyle = '#fff'
    context.fillRect(0, 0, SIDE, SIDE)
    context.translate(SIDE / 2 + random(), SIDE / 2 + random())
    context.rotate((random() - 0.5) * 0.14)
    context.transform(0.8 + 0.4 * random(), 0, (random() - 0.5) * 0.3, 0.9 + 0.2 * random(), 0, 0)
    context.fillStyle = context.strokeStyle = '#000'
    const size = 11 + 37 * random() ** 2
    if (other && randomChance(random, 0.4)) scrap(context, random, size)
    else sign(context, random, fonts, size, other ? randomPick(random, NOT_ITEMS) : GLYPHS[glyph]!)
    const page = printed(random)
    const box = inkBox(page)
    if (!box) continue
    const loose = (by: number) => by * Math.floor(random() * 1.6)
    const [left, top, right, bottom] = box
    return {
      glyph,
      picture: glyphPicture(page, [left - loose(1), top - loose(1), right + loose(1), bottom + loose(1)]),
    }
  }
}

function sign(context: SKRSContext2D, random: Random, fonts: readonly string[], size: number, text: string): void {
  context.font = `${size.toFixed(1)}px "${randomPick(random, fonts)}"`
  context.textAlign = 'center'
  context.textBaseline = 'middle'
  context.fillText(text, 0, 0)
  if (randomChance(random, 0.3)) {
    context.lineWidth = 0.04 * size * random()
    context.strokeText(text, 0, 0)
  }
}

/** What else a drawing leaves between its lines: strokes, arcs, arrow heads, dots, corners. */
function scrap(context: SKRSContext2D, random: Random, size: number): void {
  const at = (): number => (random() - 0.5) * size
  context.lineWidth = Math.max(1, size * 0.14 * random())
  context.beginPath()
  const kind = randomInteger(random, 0, 4)
  if (kind === 0) context.arc(0, 0, size / 2, at(), at())
  else if (kind === 1) context.ellipse(0, 0, size / 2, (size / 2) * random(), at(), 0, 7)
  else {
    context.moveTo(at(), at())
    for (let corner = randomInteger(random, 1, 4); corner > 0; corner--) context.lineTo(at(), at())
  }
  if (kind === 4) context.fill()
  else context.stroke()
}

/** The canvas through a poor press and a poorer scanner. */
function printed(random: Random): GreyPage {
  const pixels = context.getImageData(0, 0, SIDE, SIDE).data
  let grey = Float32Array.from({ length: SIDE * SIDE }, (_, at) => pixels[at * 4]! / 255)
  for (let times = randomInteger(random, 0, 2); times > 0; times--) grey = smoothed(grey)
  const paper = 150 + 105 * random()
  const ink = 90 * random()
  const grain = randomChance(random, 0.5) ? 30 * random() : 0
  const pepper = randomChance(random, 0.25) ? 0.03 * random() : 0
  const cut = randomChance(random, 0.3) ? 0.35 + 0.45 * random() : null
  const data = new Uint8Array(SIDE * SIDE)
  for (let at = 0; at < data.length; at++) {
    let value = cut === null ? grey[at]! : grey[at]! > cut ? 1 : 0
    if (pepper > 0 && randomChance(random, pepper)) value = randomChance(random, 0.5) ? 1 : 0
    data[at] = Math.min(255, Math.max(0, ink + (paper - ink) * value + (random() - 0.5) * grain))
  }
  return { width: SIDE, height: SIDE, data }
}

function smoothed(grey: Float32Array): Float32Array<ArrayBuffer> {
  const out = new Float32Array(grey)
  for (let y = 1; y < SIDE - 1; y++)
    for (let x = 1; x < SIDE - 1; x++) {
      let sum = 0
      for (let dy = -1; dy <= 1; dy++) for (let dx = -1; dx <= 1; dx++) sum += grey[(y + dy) * SIDE + x + dx]!
      out[y * SIDE + x] = sum / 9
    }
  return out
}

/** Box of what is darker than the middle, as long as it is more than a few specks. */
function inkBox(page: GreyPage): PageBox | null {
  const rows = new Int32Array(SIDE)
  const columns = new Int32Array(SIDE)
  let darkest = 255
  let lightest = 0
  for (const value of page.data) {
    darkest = Math.min(darkest, value)
    lightest = Math.max(lightest, value)
  }
  const middle = darkest + (lightest - darkest) * 0.6
  for (let at = 0; at < page.data.length; at++)
    if (page.data[at]! < middle && !lonely(page, at, middle)) {
      rows[Math.floor(at / SIDE)]! += 1
      columns[at % SIDE]! += 1
    }
  const ends = (counts: Int32Array): [number, number] => [counts.findIndex(Boolean), counts.findLastIndex(Boolean) + 1]
  const [left, right] = ends(columns)
  const [top, bottom] = ends(rows)
  return bottom - top < 6 || left < 0 ? null : [left, top, right, bottom]
}

function lonely(page: GreyPage, at: number, middle: number): boolean {
  let dark = 0
  for (const by of [-SIDE - 1, -SIDE, -SIDE + 1, -1, 1, SIDE - 1, SIDE, SIDE + 1])
    if ((page.data[at + by] ?? 255) < middle) dark += 1
  return dark < 2
}
