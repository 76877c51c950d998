import { numberHalfWidth, type PlacedCallout, type Point } from './callout-layout.ts'
import type { Stroke, Weight } from './ink.ts'

const INK = '#111'
const WIDTHS: Record<Weight, number> = { outline: 2.3, contour: 1.5, edge: 1.05, fine: 0.7, axis: 0.85 }
const NUMBER_SIZE = 19

interface Drawing {
  width: number
  height: number
  plate: string
  title: string
  items: readonly (string | undefined)[]
  strokes: readonly Stroke[]
  callouts: readonly PlacedCallout[]
  sizes: readonly number[]
}

export function svgOf(drawing: Drawing): string {
  const groups = new Map<string, { weight: number; path: string }[]>()
  const names: string[] = []
  const add = (name: string, weight: number, path: string) => {
    const group = groups.get(name)
    const last = group?.find((one) => one.weight === weight)
    if (!group) {
      names.push(name)
      groups.set(name, [{ weight, path }])
    } else if (last) last.path += path
    else group.push({ weight, path })
  }
  for (const stroke of drawing.strokes) {
    const item =
      stroke.part < 0
        ? 'axes'
        : drawing.items[stroke.part] === undefined
          ? 'context'
          : `item-${drawing.items[stroke.part]}`
    add(item, weightOf(stroke.weight, stroke.part < 0 ? 99 : drawing.sizes[stroke.part]!), pathOf(stroke.points))
  }
  names.sort(
    (a, b) =>
      Number(a.startsWith('item')) - Number(b.startsWith('item')) || a.localeCompare(b, 'en', { numeric: true }),
  )
  const body = names.map((name) => {
    const dash = name === 'axes' ? ' stroke-dasharray="16 3.5 3 3.5"' : ''
    const paths = groups
      .get(name)!
      .sort((a, b) => a.weight - b.weight)
      .map(({ weight, path }) => `<path stroke-width="${weight}" d="${path}"/>`)
    return `<g id="${name}"${dash}>${paths.join('')}</g>`
  })
  const { width, height } = drawing
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}">`,
    `<title>${drawing.title}</title>`,
    `<rect width="${width}" height="${height}" fill="#fff"/>`,
    `<g fill="none" stroke="${INK}" stroke-linecap="round" stroke-linejoin="round">`,
    ...body,
    '</g>',
    ...calloutInk(drawing.callouts),
    `<text x="${width - 16}" y="${height - 12}" font-family="Arial, Helvetica, sans-serif" font-size="12" fill="${INK}" text-anchor="end">${drawing.plate}</text>`,
    '</svg>',
    '',
  ].join('\n')
}

function weightOf(weight: Weight, size: number): number {
  const heavy = weight === 'outline' || weight === 'contour'
  const factor = heavy ? (size < 16 ? 0.62 : size < 40 ? 0.74 : size < 90 ? 0.88 : 1) : size < 40 ? 0.8 : 1
  return Math.round(WIDTHS[weight] * factor * 100) / 100
}

function calloutInk(callouts: readonly PlacedCallout[]): string[] {
  const leaders = callouts.flatMap(({ item, at, tips }) =>
    tips.map((tip) => {
      const start = leaderStart(item, at, tip)
      return `M${number(start[0])} ${number(start[1])}L${number(tip[0])} ${number(tip[1])}`
    }),
  )
  const dots = callouts.flatMap(({ tips }) =>
    tips.map((tip) => `<circle cx="${number(tip[0])}" cy="${number(tip[1])}" r="2.5"/>`),
  )
  const numbers = callouts.map(
    // Digits are as tall as 0.72 of the size: half of that below the centre puts the number's middle on its point.
    ({ item, at }) => `<text x="${number(at[0])}" y="${number(at[1] + NUMBER_SIZE * 0.36)}">${item}</text>`,
  )
  return [
    `<path id="leaders" fill="none" stroke="${INK}" stroke-width="0.95" d="${leaders.join('')}"/>`,
    `<g id="tips" fill="${INK}">${dots.join('')}</g>`,
    `<g id="callouts" font-family="Arial, Helvetica, sans-serif" font-size="${NUMBER_SIZE}" font-weight="600" fill="${INK}" text-anchor="middle">`,
    ...numbers,
    '</g>',
  ]
}

/** Leader lines stop short of the number, on an oval round it. */
export function leaderStart(item: string, at: Point, tip: Point): Point {
  const [dx, dy] = [tip[0] - at[0], tip[1] - at[1]]
  const k = 1 / Math.hypot(dx / (numberHalfWidth(item) + 6), dy / 13)
  return [at[0] + dx * k, at[1] + dy * k]
}

const number = (value: number): string => String(Math.round(value * 10) / 10)

/** Relative coordinates in tenths: a third of the size of absolute ones. */
export function pathOf(points: readonly (readonly [number, number])[]): string {
  const rounded = points.map(([x, y]) => [Math.round(x * 10), Math.round(y * 10)] as const)
  let out = `M${text(rounded[0]![0])} ${text(rounded[0]![1])}l`
  let first = true
  for (let k = 1; k < rounded.length; k++) {
    const dx = rounded[k]![0] - rounded[k - 1]![0]
    const dy = rounded[k]![1] - rounded[k - 1]![1]
    if (dx === 0 && dy === 0) continue
    out += `${first || dx < 0 ? '' : ' '}${text(dx)}${dy < 0 ? '' : ' '}${text(dy)}`
    first = false
  }
  return first ? '' : out
}
const text = (tenths: number): string => String(tenths / 10).replace(/^(-?)0\./, '$1.')
