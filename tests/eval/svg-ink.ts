import sharp from 'sharp'
import type { Picture } from './page-case.ts'
import type { PageTruth, Spot } from './truth.ts'

/** Pieces of SVG for drawn pages. Lengths are units of the page: 200 to the inch. */
export const UNITS_PER_INCH = 200

export interface Box {
  left: number
  top: number
  right: number
  bottom: number
}

export interface Type {
  family: string
  size: number
  weight?: number
  anchor?: 'start' | 'middle' | 'end'
  turn?: number
}

/** Typefaces of parts books and drawing offices, each with stand-ins, so that a machine with other fonts still draws. */
export const FAMILIES = {
  grotesque: 'Liberation Sans, Arial, Helvetica, sans-serif',
  humanist: 'DejaVu Sans, Verdana, sans-serif',
  narrow: 'Liberation Sans Narrow, Nimbus Sans Narrow, Arial Narrow, sans-serif',
  book: 'Liberation Serif, Times New Roman, serif',
  century: 'C059, Century Schoolbook, DejaVu Serif, serif',
  typewriter: 'Liberation Mono, Courier New, monospace',
} as const
export type Family = keyof typeof FAMILIES

/** Mean width of a letter as a share of the size: enough to set columns, no promise to the pixel. */
const LETTER: Record<Family, number> = {
  grotesque: 0.53,
  humanist: 0.6,
  narrow: 0.45,
  book: 0.49,
  century: 0.56,
  typewriter: 0.6,
}
export const textWidth = (text: string, family: Family, size: number): number => text.length * LETTER[family] * size

export const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;')

const n = (value: number): string => String(Math.round(value * 100) / 100)

export function textInk(text: string, at: Spot, type: Type): string {
  const turned = type.turn === undefined ? '' : ` transform="rotate(${n(type.turn)} ${n(at.x)} ${n(at.y)})"`
  return `<text x="${n(at.x)}" y="${n(at.y)}" font-family="${type.family}" font-size="${n(type.size)}" font-weight="${type.weight ?? 400}" text-anchor="${type.anchor ?? 'start'}" fill="#111"${turned}>${escaped(text)}</text>`
}

/** Digits are some 0.72 of the size high: a number is centred on its point. */
export const centredInk = (text: string, at: Spot, type: Type): string =>
  textInk(text, { x: at.x, y: at.y + type.size * 0.36 }, { ...type, anchor: 'middle' })

export const pathInk = (points: readonly Spot[], width: number, extra = ''): string =>
  `<path d="M${points.map(({ x, y }) => `${n(x)} ${n(y)}`).join('L')}" fill="none" stroke="#111" stroke-width="${n(width)}" stroke-linecap="round" stroke-linejoin="round"${extra}/>`

/** Closed and white inside, so that what is drawn later hides what lies behind. */
export const faceInk = (points: readonly Spot[], width: number, fill = '#fff'): string =>
  `<path d="M${points.map(({ x, y }) => `${n(x)} ${n(y)}`).join('L')}Z" fill="${fill}" stroke="#111" stroke-width="${n(width)}" stroke-linejoin="round"/>`

export const ovalInk = (at: Spot, rx: number, ry: number, width: number, fill = '#fff'): string =>
  `<ellipse cx="${n(at.x)}" cy="${n(at.y)}" rx="${n(rx)}" ry="${n(ry)}" fill="${fill}" stroke="#111" stroke-width="${n(width)}"/>`

export const dotInk = (at: Spot, radius: number): string =>
  `<circle cx="${n(at.x)}" cy="${n(at.y)}" r="${n(radius)}" fill="#111"/>`

/** Filled arrowhead whose point lies on `tip`, coming from `from`. */
export function arrowInk(from: Spot, tip: Spot, length: number): string {
  const reach = Math.hypot(tip.x - from.x, tip.y - from.y) || 1
  const [ux, uy] = [(tip.x - from.x) / reach, (tip.y - from.y) / reach]
  const back = { x: tip.x - ux * length, y: tip.y - uy * length }
  const half = length * 0.18
  return `<path d="M${n(tip.x)} ${n(tip.y)}L${n(back.x - uy * half)} ${n(back.y + ux * half)}L${n(back.x + uy * half)} ${n(back.y - ux * half)}Z" fill="#111"/>`
}

export const boxesMeet = (one: Box, other: Box, gap = 0): boolean =>
  one.left < other.right + gap &&
  other.left < one.right + gap &&
  one.top < other.bottom + gap &&
  other.top < one.bottom + gap

export const boxAround = (at: Spot, halfWidth: number, halfHeight: number): Box => ({
  left: at.x - halfWidth,
  top: at.y - halfHeight,
  right: at.x + halfWidth,
  bottom: at.y + halfHeight,
})

/** True when the straight line from one point to the other comes into the box (Liang and Barsky's clipping, 1984). */
export function lineMeetsBox(from: Spot, to: Spot, box: Box): boolean {
  let [enter, leave] = [0, 1]
  const [dx, dy] = [to.x - from.x, to.y - from.y]
  for (const [step, room] of [
    [-dx, from.x - box.left],
    [dx, box.right - from.x],
    [-dy, from.y - box.top],
    [dy, box.bottom - from.y],
  ] as const) {
    if (step === 0) {
      if (room < 0) return false
    } else if (step < 0) enter = Math.max(enter, room / step)
    else leave = Math.min(leave, room / step)
  }
  return enter < leave
}

/** A dimension: value over a line with arrowheads at both ends, between two witness lines. */
export function dimensionInk(from: Spot, to: Spot, value: string, type: Type): string {
  const upright = from.x === to.x
  const witness = (at: Spot) =>
    upright
      ? pathInk(
          [
            { x: at.x - 12, y: at.y },
            { x: at.x + 12, y: at.y },
          ],
          1,
        )
      : pathInk(
          [
            { x: at.x, y: at.y - 12 },
            { x: at.x, y: at.y + 12 },
          ],
          1,
        )
  const middle = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 }
  const label = upright
    ? textInk(value, { x: middle.x - 5, y: middle.y }, { ...type, anchor: 'middle', turn: -90 })
    : textInk(value, { x: middle.x, y: middle.y - 5 }, { ...type, anchor: 'middle' })
  return [
    witness(from),
    witness(to),
    pathInk([from, to], 1),
    arrowInk(to, from, 14),
    arrowInk(from, to, 14),
    label,
  ].join('')
}

/** Drawn pages need a font of the machine: without one every letter is the same empty box, or nothing at all. */
export async function lettersDiffer(): Promise<boolean> {
  const drawn = (text: string) =>
    sharp(
      svgOf(
        { width: 60, height: 60, ink: [textInk(text, { x: 10, y: 45 }, { family: FAMILIES.grotesque, size: 40 })] },
        1,
      ),
    )
      .raw()
      .toBuffer()
  const [one, eight] = await Promise.all([drawn('1'), drawn('8')])
  return !one.equals(eight)
}

export interface Drawn {
  /** Size in units of the page. */
  width: number
  height: number
  ink: string[]
  truth: Omit<PageTruth, 'width' | 'height'>
}

export const svgOf = ({ width, height, ink }: Pick<Drawn, 'width' | 'height' | 'ink'>, scale: number): Buffer =>
  Buffer.from(
    `<svg xmlns="http://www.w3.org/2000/svg" width="${Math.round(width * scale)}" height="${Math.round(height * scale)}" viewBox="0 0 ${width} ${height}"><rect width="${width}" height="${height}" fill="#fff"/>${ink.join('')}</svg>`,
  )

/** The page as a picture of the wished resolution, with what is on it in pixels of that picture. */
export async function pictureOf(drawn: Drawn, dpi: number): Promise<Picture> {
  const scale = dpi / UNITS_PER_INCH
  const { data, info } = await sharp(svgOf(drawn, scale), { limitInputPixels: false })
    .greyscale()
    .png({ compressionLevel: 6 })
    .toBuffer({ resolveWithObject: true })
  const [across, down] = [info.width / drawn.width, info.height / drawn.height]
  const move = ({ x, y }: Spot): Spot => ({ x: x * across, y: y * down })
  return {
    bytes: data,
    extension: 'png',
    dpi,
    truth: {
      width: info.width,
      height: info.height,
      rows: drawn.truth.rows,
      callouts: drawn.truth.callouts.map((callout) => ({ ...callout, ...move(callout), tips: callout.tips.map(move) })),
    },
  }
}
