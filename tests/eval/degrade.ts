import sharp from 'sharp'
import { type Random, randomNormal, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import type { PageCase, Picture } from './page-case.ts'
import type { PageTruth, Spot } from './truth.ts'

/**
 * How bad a copy is. All of it comes at once, as on a real scan or photocopy; within a severity the seed draws the values.
 *
 * | severity | resampled to dpi | skew, degrees | blur, sigma px | JPEG quality | paper (lightest, darkest corner) | grain | specks a million |
 * |---|---|---|---|---|---|---|---|
 * | light (office scanner)  | 200, 300 | -1 to 1 | 0 to 0.4   | 85 | 250, 245 | 2 | 50    |
 * | medium (worn copy)      | 150, 200 | -2 to 2 | 0.4 to 0.8 | 70 | 240, 222 | 5 | 300   |
 * | heavy (poor old copy)   | 100, 150 | -3 to 3 | 0.5 to 1.0 | 50 | 228, 190 | 9 | 1000  |
 */
export const SEVERITIES = {
  light: { dpi: [200, 300], skew: 1, blur: [0, 0.4], quality: 85, paper: [250, 245], grain: 2, specks: 50 },
  medium: { dpi: [150, 200], skew: 2, blur: [0.4, 0.8], quality: 70, paper: [240, 222], grain: 5, specks: 300 },
  heavy: { dpi: [100, 150], skew: 3, blur: [0.5, 1], quality: 50, paper: [228, 190], grain: 9, specks: 1000 },
} as const
export type Severity = keyof typeof SEVERITIES

/** An A3 page at 300 dpi; larger copies are made at what this allows. */
const PIXELS_MAX = 17.5e6

export interface Wear {
  dpi: number
  /** Clockwise. */
  skewDegrees: number
  blurSigma: number
  quality: number
  paper: readonly [number, number]
  grain: number
  specksPerMillion: number
}

export function wearDrawn(severity: Severity, random: Random): Wear {
  const { dpi, skew, blur, quality, paper, grain, specks } = SEVERITIES[severity]
  return {
    dpi: randomPick(random, dpi),
    skewDegrees: Math.round((random() * 2 - 1) * skew * 100) / 100,
    blurSigma: blur[0] + random() * (blur[1] - blur[0]),
    quality,
    paper,
    grain,
    specksPerMillion: specks,
  }
}

/** Worn copy of a page; the same seed gives the same copy. */
export function caseDegraded(page: PageCase, severity: Severity, group: PageCase['group']): PageCase {
  const name = `${page.name}~${severity}`
  return {
    name,
    group,
    base: page.base,
    about: `${severity}; ${page.about}`,
    make: async () => {
      const random = randomSeeded(`wear of ${name}`)
      return pictureWorn(await page.make(), wearDrawn(severity, random), random)
    },
  }
}

export async function pictureWorn(picture: Picture, wear: Wear, random: Random): Promise<Picture> {
  const { width, height } = picture.truth
  const scale = Math.min(wear.dpi / picture.dpi, Math.sqrt(PIXELS_MAX / (width * height)))
  const [wide, high] = [Math.round(width * scale), Math.round(height * scale)]
  const resized = await sharp(picture.bytes, { limitInputPixels: false })
    .flatten({ background: '#fff' })
    .toColourspace('srgb')
    .resize(wide, high, { fit: 'fill' })
    .png({ compressionLevel: 1 })
    .toBuffer()
  const { data, info } = await sharp(resized)
    .rotate(wear.skewDegrees, { background: '#fff' })
    .blur(Math.max(wear.blurSigma, 0.3))
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true })
  if (info.channels !== 1) throw new Error(`a grey page has one channel, not ${info.channels}`)
  soil(data, info.width, info.height, wear, random)
  const bytes = await sharp(data, { raw: { width: info.width, height: info.height, channels: 1 } })
    .jpeg({ quality: wear.quality })
    .toBuffer()
  return {
    bytes,
    extension: 'jpg',
    truth: truthTurned(picture.truth, { wide, high }, wear.skewDegrees, info),
    dpi: picture.dpi * scale,
  }
}

/** Grey paper that darkens towards one corner, grain, and black and white specks of up to 2 x 2 pixels. */
function soil(data: Buffer, width: number, height: number, wear: Wear, random: Random): void {
  const [light, dark] = wear.paper
  const corner = random() * 4
  const grain = Array.from({ length: 4096 }, () => randomNormal(random, 0, wear.grain))
  let dice = Math.floor(random() * 0x7fffffff) | 1
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const [u, v] = [x / width, y / height]
      const way =
        corner < 1 ? (u + v) / 2 : corner < 2 ? (1 - u + v) / 2 : corner < 3 ? (u + 1 - v) / 2 : 1 - (u + v) / 2
      dice = (Math.imul(dice, 1664525) + 1013904223) >>> 0
      const at = y * width + x
      // Ink never prints quite black on a worn copy: 30 is its floor.
      const tone = 30 + (data[at]! / 255) * (light + (dark - light) * way - 30)
      data[at] = Math.max(0, Math.min(255, Math.round(tone + grain[dice >>> 20]!)))
    }
  const specks = Math.round((width * height * wear.specksPerMillion) / 1e6)
  for (let speck = 0; speck < specks; speck++) {
    const [x, y] = [Math.floor(random() * (width - 1)), Math.floor(random() * (height - 1))]
    const tone = random() < 0.7 ? 20 : 250
    const size = random() < 0.3 ? 2 : 1
    for (let dy = 0; dy < size; dy++) for (let dx = 0; dx < size; dx++) data[(y + dy) * width + x + dx] = tone
  }
}

/** Points follow the paper: scaled, then turned clockwise about the middle onto a larger sheet. */
export function truthTurned(
  truth: PageTruth,
  scaled: { wide: number; high: number },
  skewDegrees: number,
  onto: { width: number; height: number },
): PageTruth {
  const turn = (skewDegrees * Math.PI) / 180
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)]
  const move = ({ x, y }: Spot): Spot => {
    const across = (x * scaled.wide) / truth.width - scaled.wide / 2
    const down = (y * scaled.high) / truth.height - scaled.high / 2
    return {
      x: onto.width / 2 + across * cos - down * sin,
      y: onto.height / 2 + across * sin + down * cos,
    }
  }
  return {
    ...truth,
    width: onto.width,
    height: onto.height,
    callouts: truth.callouts.map((callout) => ({ ...callout, ...move(callout), tips: callout.tips.map(move) })),
  }
}
