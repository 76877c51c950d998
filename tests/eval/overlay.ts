import sharp from 'sharp'
import type { Picture } from './page-case.ts'
import { inPixelsOf, type PageScore, type ReadPage } from './score.ts'

const FOUND = '#0a7d2c'
const MISSED = '#d00000'
const INVENTED = '#c46a00'
const SIDE_MAX = 2000

const escaped = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;')

/**
 * The page with what was read drawn over it: found numbers in green with their read tips, missed ones in red, numbers that
 * are not there in orange with a cross; a true leader end is a small square, green when found.
 */
export async function overlayDrawn(picture: Picture, score: PageScore, reading: ReadPage | null): Promise<Buffer> {
  const { truth } = picture
  const scale = Math.min(1, SIDE_MAX / Math.max(truth.width, truth.height))
  const [wide, high] = [Math.round(truth.width * scale), Math.round(truth.height * scale)]
  const read = reading === null ? null : inPixelsOf(truth, reading)
  const ring = 0.011 * Math.hypot(wide, high)
  const at = (value: number) => (value * scale).toFixed(1)
  const line = (from: { x: number; y: number }, to: { x: number; y: number }, colour: string) =>
    `<line x1="${at(from.x)}" y1="${at(from.y)}" x2="${at(to.x)}" y2="${at(to.y)}" stroke="${colour}" stroke-width="1.5" opacity="0.8"/><circle cx="${at(to.x)}" cy="${at(to.y)}" r="3.5" fill="${colour}"/>`
  const label = (spot: { x: number; y: number }, text: string, colour: string) =>
    `<text x="${(spot.x * scale + ring).toFixed(1)}" y="${(spot.y * scale - ring * 0.7).toFixed(1)}" fill="${colour}" font-size="${(ring * 0.9).toFixed(1)}" font-family="DejaVu Sans" font-weight="bold">${escaped(text)}</text>`
  const circle = (spot: { x: number; y: number }, colour: string) =>
    `<circle cx="${at(spot.x)}" cy="${at(spot.y)}" r="${ring.toFixed(1)}" fill="none" stroke="${colour}" stroke-width="2.5"/>`
  const marks: string[] = []
  truth.callouts.forEach((callout, index) => {
    const match = score.matchOf[index]!
    const colour = match >= 0 ? FOUND : MISSED
    marks.push(circle(callout, colour), label(callout, callout.item, colour))
    callout.tips.forEach((tip, k) => {
      const tone = score.tipFound[index]![k] ? FOUND : MISSED
      marks.push(
        `<rect x="${(tip.x * scale - 5).toFixed(1)}" y="${(tip.y * scale - 5).toFixed(1)}" width="10" height="10" fill="none" stroke="${tone}" stroke-width="2"/>`,
      )
    })
    const mine = read?.callouts[match]
    if (mine) for (const tip of mine.tips) marks.push(line(mine, tip, FOUND))
  })
  const matched = new Set(score.matchOf)
  read?.callouts.forEach((callout, index) => {
    if (matched.has(index)) return
    const [x, y] = [callout.x * scale, callout.y * scale]
    const arm = ring * 0.7
    marks.push(
      `<path d="M${x - arm} ${y - arm}L${x + arm} ${y + arm}M${x - arm} ${y + arm}L${x + arm} ${y - arm}" stroke="${INVENTED}" stroke-width="2.5"/>`,
      label({ x: callout.x, y: callout.y + (ring * 1.8) / scale }, `${callout.item}?`, INVENTED),
    )
    for (const tip of callout.tips) marks.push(line(callout, tip, INVENTED))
  })
  const base = await sharp(picture.bytes, { limitInputPixels: false })
    .flatten({ background: '#fff' })
    .toColourspace('srgb')
    .resize(wide, high, { fit: 'fill' })
    .linear(0.6, 102)
    .png({ compressionLevel: 1 })
    .toBuffer()
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${wide}" height="${high}">${marks.join('')}</svg>`
  return sharp(base)
    .composite([{ input: Buffer.from(svg) }])
    .png({ palette: true })
    .toBuffer()
}

/** What a person would want to read beside the picture: numbers missed, numbers invented, rows that are not right. */
export function findings(picture: Picture, score: PageScore, reading: ReadPage | null): string[] {
  const { truth } = picture
  const read = reading === null ? null : inPixelsOf(truth, reading)
  const spot = ({ x, y }: { x: number; y: number }) => `(${Math.round(x)}, ${Math.round(y)})`
  const text = (row: { item: string; partNumber: string; description: string; quantity: number | null }) =>
    `${row.item} | ${row.partNumber} | ${row.description} | ${row.quantity ?? '-'}`
  const matched = new Set(score.matchOf)
  return [
    ...truth.callouts.flatMap((callout, at) =>
      score.matchOf[at]! < 0 ? [`missed ${callout.item} at ${spot(callout)}`] : [],
    ),
    ...(read?.callouts ?? []).flatMap((callout, at) =>
      matched.has(at) ? [] : [`invented ${callout.item} at ${spot(callout)}`],
    ),
    ...truth.callouts.flatMap((callout, at) => {
      const lost = callout.tips.filter((_, k) => !score.tipFound[at]![k])
      const mine = read?.callouts[score.matchOf[at]!]
      return mine === undefined || lost.length === 0
        ? []
        : [
            `leader of ${callout.item} ends at ${lost.map(spot).join(' ')}, read ${mine.tips.map(spot).join(' ') || 'none'}`,
          ]
    }),
    ...truth.rows.flatMap((row, at) => {
      const { read: match, grade } = score.rowOf[at]!
      if (grade === 'cells' || grade === 'right') return []
      const other = read?.rows[match]
      return [`row ${grade}: ${text(row)}   read: ${other ? text(other) : 'nothing'}`]
    }),
    ...(score.kindRight ? [] : [`kind: read ${reading?.kind ?? 'nothing'}`]),
  ]
}
