import { type Random, randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { FIGURES } from '../../seed/figures/index.ts'
import type { FigurePage } from '../../seed/figures/page.ts'
import { freeSpaceOf } from './free-space.ts'
import { calloutInk, type NumberStyle, numberBox, numbersApart } from './numbers.ts'
import { type Box, type Drawn, dimensionInk, FAMILIES, type Family, pathInk, textInk } from './svg-ink.ts'
import { HEADERS, type PrintedRow, type TableStyle, tableInk } from './table.ts'
import type { TrueCallout } from './truth.ts'

export interface DemoPageSpec {
  /** Drawings on the page, from seed/figures; the numbers of a second one run on from the first. */
  slugs: readonly string[]
  seed: string
  /** Table below the drawing on an upright page, or beside it on a wide one. */
  table: 'below' | 'right'
  numbers: NumberStyle
  /** 1, 2, 3 ...; 101, 102 ...; or 1, 1A, 2, 2A ... */
  items: 'plain' | 'hundreds' | 'suffixed'
  list: Omit<TableStyle, 'words' | 'header'> & { words: number }
  /** Dimensions and notes among the drawing, which are no callouts. */
  extras: number
}

const figures = new Map<string, FigurePage>()
function figureOf(slug: string): FigurePage {
  const made = figures.get(slug) ?? FIGURES.find((one) => one.slug === slug)?.figure()
  if (made === undefined) throw new Error(`there is no figure ${slug} in seed/figures`)
  figures.set(slug, made)
  return made
}

/** The drawing alone, without its own numbers, leaders and plate. */
function lineArt(svg: string): string {
  const from = svg.indexOf('<g fill="none"')
  const to = svg.indexOf('<path id="leaders"')
  if (from < 0 || to < from) throw new Error('the drawing kernel writes its sheets in another order now')
  return svg.slice(from, to)
}

const A4 = { short: 1654, long: 2339 }
const MARGIN = 90

/** A page of the demo's parts book as a printer would set it, in units of 1/200 inch. */
export async function demoPage(spec: DemoPageSpec): Promise<Drawn> {
  const random = randomSeeded(`demo page ${spec.seed}`)
  const [width, height] = spec.table === 'below' ? [A4.short, A4.long] : [A4.long, A4.short]
  const pages = spec.slugs.map(figureOf)
  const ink: string[] = [headInk(pages[0]!, width, height, spec.numbers.family, random)]
  const callouts: TrueCallout[] = []
  const rows: PrintedRow[] = []
  const field: Box = {
    left: MARGIN,
    top: 170,
    right: spec.table === 'below' ? width - MARGIN : width * 0.6,
    bottom: height - MARGIN - 40,
  }
  const share = spec.table === 'below' ? (pages.length > 1 ? 0.58 : 0.47) : 1
  const high = ((field.bottom - field.top) * share) / pages.length
  let floor = field.top
  pages.forEach((page, at) => {
    const number = itemNames(page, spec.items, at)
    const box = { ...field, top: field.top + at * high, bottom: field.top + (at + 1) * high - 50 }
    const set = figureInk(page, number, box, spec.numbers)
    ink.push(set.ink)
    callouts.push(...set.callouts)
    rows.push(...rowsOf(page, number))
    floor = Math.max(floor, set.bottom)
    const caption = `Fig. ${page.file.number}   ${page.file.title}`
    ink.push(
      textInk(
        caption,
        { x: box.left, y: set.bottom + 34 },
        { family: FAMILIES[spec.list.family], size: 22, weight: 700 },
      ),
    )
  })
  const list = { ...spec.list, words: HEADERS[spec.list.words % HEADERS.length]!, header: 'top' as const }
  const box =
    spec.table === 'below'
      ? { left: MARGIN, top: floor + 70, right: width - MARGIN, bottom: height - MARGIN }
      : { left: width * 0.62, top: 170, right: width - MARGIN, bottom: height - MARGIN }
  ink.push(tableFitted(rows, box, list))
  const space = await freeSpaceOf({ width, height, ink }, random)
  const room = { ...field, bottom: floor }
  for (let extra = 0; extra < spec.extras; extra++) {
    const free = extra % 2 === 0 ? space.take(260, 70, room) : space.take(300, 50, room)
    if (free !== null) ink.push(extraInk(free, extra % 2 === 0, FAMILIES[spec.numbers.family], random))
  }
  return { width, height, ink, truth: { callouts, rows: rows.map(({ remarks: _, level: __, ...row }) => row) } }
}

/** The list in the largest type that fits; a book keeps one page one page. */
function tableFitted(rows: readonly PrintedRow[], box: Box, style: TableStyle): string {
  for (let size = style.size; size > 12; size--) {
    const set = tableInk(rows, box, { ...style, size })
    if (set.bottom <= box.bottom) return set.ink
  }
  throw new Error(`${rows.length} rows do not fit on the page in any type a person could read`)
}

function headInk(page: FigurePage, width: number, height: number, family: Family, random: Random): string {
  const { maker, name } = page.file.model
  const type = { family: FAMILIES[family], size: 26 }
  return [
    textInk(`${maker} ${name}`, { x: MARGIN, y: 110 }, { ...type, size: 34, weight: 700 }),
    textInk('PARTS BOOK', { x: width - MARGIN, y: 110 }, { ...type, anchor: 'end' }),
    pathInk(
      [
        { x: MARGIN, y: 128 },
        { x: width - MARGIN, y: 128 },
      ],
      2,
    ),
    textInk(String(randomInteger(random, 12, 148)), { x: width / 2, y: height - 60 }, { ...type, anchor: 'middle' }),
    textInk(
      `${randomInteger(random, 2, 12)}/2024`,
      { x: width - MARGIN, y: height - 60 },
      { ...type, size: 20, anchor: 'end' },
    ),
  ].join('')
}

/** Numbers as the page prints them; those of a second figure run on. */
function itemNames(page: FigurePage, style: DemoPageSpec['items'], at: number): (item: string) => string {
  const items = [...new Set(page.file.lines.map(({ item }) => item))]
  const offset = at * 30
  return (item) => {
    const place = items.indexOf(item)
    if (style === 'hundreds') return String(101 + offset + place)
    if (style === 'suffixed') return `${Math.floor(place / 2) + 1 + offset}${place % 2 === 1 ? 'A' : ''}`
    return String(Number(item) + offset)
  }
}

function figureInk(
  page: FigurePage,
  name: (item: string) => string,
  box: Box,
  style: NumberStyle,
): { ink: string; callouts: TrueCallout[]; bottom: number } {
  const { width, height } = page.sheet
  const scale = Math.min((box.right - box.left) / width, (box.bottom - box.top) / height)
  const left = box.left + (box.right - box.left - width * scale) / 2
  const move = ([x, y]: readonly [number, number]) => ({ x: left + x * scale, y: box.top + y * scale })
  const placed = page.sheet.callouts.map(({ item, at, tips }) => ({
    item: name(item),
    ...move(at),
    tips: tips.map(move),
  }))
  const bottom = box.top + height * scale
  const callouts = numbersApart(placed, style, { ...box, bottom })
  // Paper is kept clear round each number, as a draughtsman breaks a line that would run through one.
  const clear = callouts.map((callout) => {
    const around = numberBox(callout, style)
    return `<rect x="${around.left - 2}" y="${around.top - 2}" width="${around.right - around.left + 4}" height="${around.bottom - around.top + 4}" fill="#fff"/>`
  })
  const art = `<g transform="translate(${left} ${box.top}) scale(${scale})">${lineArt(page.svg)}</g>`
  return { ink: [art, ...clear, ...callouts.map((callout) => calloutInk(callout, style))].join(''), callouts, bottom }
}

function rowsOf(page: FigurePage, name: (item: string) => string): PrintedRow[] {
  return page.file.lines.map((line) => ({
    item: name(line.item),
    partNumber: line.partNumber ?? '',
    description: line.description,
    quantity: line.quantityNote ? null : (line.quantity ?? 1),
    quantityNote: line.quantityNote ?? '',
    remarks: line.serialFrom ? `from ${line.serialFrom}` : line.serialTo ? `up to ${line.serialTo}` : '',
    level: line.indenture ?? 1,
  }))
}

const NOTES = [
  'See Fig. 5-04',
  'LH shown, RH opposite',
  'Note 2',
  'Torque 85 Nm',
  'Serial no. 2250 and up',
  'TO PUMP',
  '2 x 45°',
]
const VALUES = ['184', 'Ø 90', '36.5', 'M24 x 2', 'R12', '120', '45', '8 x 50']

function extraInk(free: Box, dimension: boolean, family: string, random: Random): string {
  if (!dimension)
    return textInk(randomPick(random, NOTES), { x: free.left + 8, y: free.bottom - 16 }, { family, size: 20 })
  const y = free.bottom - 20
  return dimensionInk({ x: free.left + 10, y }, { x: free.right - 10, y }, randomPick(random, VALUES), {
    family,
    size: 20,
  })
}
