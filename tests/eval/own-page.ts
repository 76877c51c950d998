import {
  type Random,
  randomChance,
  randomInteger,
  randomPick,
  randomSeeded,
  randomShuffle,
} from '../../lib/maths/random.ts'
import { PART_DRAWINGS, type PartArt } from './machine-parts.ts'
import { calloutInk, leaderStart, type NumberStyle, numberBox } from './numbers.ts'
import { partRow } from './part-words.ts'
import {
  type Box,
  boxAround,
  boxesMeet,
  type Drawn,
  dimensionInk,
  FAMILIES,
  lineMeetsBox,
  pathInk,
  textInk,
} from './svg-ink.ts'
import { HEADERS, type PrintedRow, type TableStyle, tableInk } from './table.ts'
import { frameInk, titleBlockInk } from './title-block.ts'
import type { Spot, TrueCallout } from './truth.ts'

export interface OwnPageSpec {
  seed: string
  parts: number
  numbers: NumberStyle
  items: 'plain' | 'hundreds' | 'suffixed' | 'dotted'
  /** Share of callouts whose leader has a knee. */
  knees: number
  dimensions: number
  table: {
    columns: TableStyle['columns']
    rules: TableStyle['rules']
    family: TableStyle['family']
    header: TableStyle['header']
  } | null
  /** False draws the same machine without numbers: a drawing that is no parts page. */
  called: boolean
}

/** Sheet of A3 (ISO 216) at 150 to the inch, that is A4 at 212: lettering of 20 units is 3.4 mm on A3. */
const WIDTH = 2480
const HEIGHT = 1754
const FRAME = 60

type Line = readonly [Spot, Spot]

/** What stands on the sheet: lettering keeps off the boxes and off the lines, as a draughtsman would. */
interface Busy {
  boxes: Box[]
  lines: Line[]
}

interface Placed {
  art: PartArt
  at: Spot
  box: Box
}

/** A drawing-office sheet of a machine that nobody builds: frame with zones, title block, parts list, dimensions, callouts. */
export function ownPage(spec: OwnPageSpec): Drawn {
  const random = randomSeeded(`own page ${spec.seed}`)
  const family = FAMILIES[spec.numbers.family]
  const block: Box = {
    left: WIDTH - FRAME - 760,
    top: HEIGHT - FRAME - 190,
    right: WIDTH - FRAME,
    bottom: HEIGHT - FRAME,
  }
  const names = itemNames(spec, random)
  const rows = names.map((item) => partRow(item, random))
  const list = spec.table === null ? null : listSet(rows, spec.table, block)
  const ink: string[] = [frameInk(WIDTH, HEIGHT, FRAME, family), titleBlockInk(block, family, random), list?.ink ?? '']
  const field: Box = { left: FRAME + 110, top: FRAME + 90, right: WIDTH - FRAME - 110, bottom: HEIGHT - FRAME - 100 }
  const taken: Box[] = [block, ...(list ? [list.box] : [])]
  const placed = partsPlaced(spec.parts, field, taken, random)
  const axes = axesOf(placed)
  ink.push(...axes.map((line) => pathInk(line, 1, ' stroke-dasharray="18 5 4 5"')), ...placed.map(({ art }) => art.ink))
  const busy: Busy = { boxes: [...taken, ...placed.map(({ box }) => box)], lines: axes }
  const callouts: TrueCallout[] = []
  if (spec.called) {
    const order = randomShuffle(random, names)
    placed.forEach(({ art, box }, at) => {
      // Where parts outnumber items, some part stands on the sheet twice, with its number at both.
      const set = calloutSet(order[at % order.length]!, art, box, busy, spec, random)
      if (set === null) return
      ink.push(set.ink)
      callouts.push(set.callout)
    })
  }
  for (let k = 0; k < spec.dimensions; k++) ink.push(dimensionSet(placed, busy, family, random))
  const shown = rows.map(({ remarks: _, level: __, ...row }) => ({
    ...row,
    ...(spec.table?.columns.includes('partNumber') ? {} : { partNumber: '' }),
  }))
  return { width: WIDTH, height: HEIGHT, ink, truth: { callouts, rows: list === null ? [] : shown } }
}

function itemNames(spec: OwnPageSpec, random: Random): string[] {
  const count = Math.max(3, spec.parts - randomInteger(random, 0, 2))
  const start = randomInteger(random, 1, 7) * 100
  return Array.from({ length: count }, (_, at) => {
    if (spec.items === 'hundreds') return String(start + at + 1)
    if (spec.items === 'suffixed' && at % 3 === 1) return `${at}A`
    if (spec.items === 'dotted') return at % 3 === 0 ? String(at / 3 + 1) : `${Math.floor(at / 3) + 1}.${at % 3}`
    return String(at + 1)
  })
}

function listSet(rows: PrintedRow[], table: NonNullable<OwnPageSpec['table']>, block: Box): { ink: string; box: Box } {
  const style: TableStyle = {
    ...table,
    size: rows.length > 18 ? 18 : 20,
    blocks: 1,
    points: false,
    words: HEADERS[rows.length % HEADERS.length]!,
  }
  const width = table.columns.length > 3 ? 860 : 620
  const right = WIDTH - FRAME
  if (table.header === 'top') {
    const box = { left: right - width, top: FRAME, right, bottom: block.top }
    const set = tableInk(rows, box, style)
    return { ink: set.ink, box: { ...box, bottom: set.bottom } }
  }
  const measured = tableInk(rows, { left: right - width, top: 0, right, bottom: HEIGHT }, style).bottom
  const box = { left: right - width, top: block.top - measured, right, bottom: block.top }
  return { ink: tableInk(rows, box, style).ink, box }
}

/** Parts on a loose grid, so that each has paper round it for its number. */
function partsPlaced(count: number, field: Box, taken: readonly Box[], random: Random): Placed[] {
  const columns = Math.ceil(Math.sqrt(count * 1.9))
  const lines = Math.ceil((count * 1.5) / columns)
  const [w, h] = [(field.right - field.left) / columns, (field.bottom - field.top) / lines]
  const size = Math.min(w, h) * 0.95
  const cells = Array.from({ length: columns * lines }, (_, at) => ({
    x: field.left + w * ((at % columns) + 0.5 + (random() - 0.5) * 0.25),
    y: field.top + h * (Math.floor(at / columns) + 0.5 + (random() - 0.5) * 0.25),
  }))
  const free = cells.filter((at) => !taken.some((box) => boxesMeet(box, boxAround(at, w * 0.5, h * 0.5))))
  return randomShuffle(random, free)
    .slice(0, count)
    .sort((a, b) => a.x - b.x)
    .map((at) => {
      const art = randomPick(random, PART_DRAWINGS)(at, size, random)
      return { art, at, box: boxAround(at, art.halfWide + 4, art.halfHigh + 4) }
    })
}

/** Chain lines between neighbours, as an exploded view shows what goes into what. */
function axesOf(placed: readonly Placed[]): Line[] {
  return placed.slice(1).flatMap(({ at }, k): Line[] => {
    const before = placed[k]!.at
    return Math.hypot(at.x - before.x, at.y - before.y) > 420 ? [] : [[before, at]]
  })
}

/** A place for the number where it covers nothing and its leader runs through no other number. */
function calloutSet(
  item: string,
  art: PartArt,
  own: Box,
  busy: Busy,
  spec: OwnPageSpec,
  random: Random,
): { ink: string; callout: TrueCallout } | null {
  const style = spec.numbers
  const reach = Math.hypot(own.right - own.left, own.bottom - own.top) / 2
  const middle = { x: (own.left + own.right) / 2, y: (own.top + own.bottom) / 2 }
  const paper: Box = { left: FRAME + 30, top: FRAME + 30, right: WIDTH - FRAME - 30, bottom: HEIGHT - FRAME - 30 }
  for (let tries = 0; tries < 160; tries++) {
    const turn = random() * 2 * Math.PI
    const far = reach + 35 + random() * 40 + tries
    const tips = [randomPick(random, art.on), ...(randomChance(random, 0.08) ? [art.on[0]!] : [])]
    const callout = {
      item,
      x: middle.x + far * Math.cos(turn),
      y: middle.y + far * Math.sin(turn),
      tips: [...new Set(tips)],
    }
    const mine = numberBox(callout, style)
    if (busy.boxes.some((box) => boxesMeet(box, mine, 12))) continue
    if (busy.lines.some(([one, other]) => lineMeetsBox(one, other, mine))) continue
    if (mine.left < paper.left || mine.right > paper.right || mine.top < paper.top || mine.bottom > paper.bottom)
      continue
    const starts = callout.tips.map((tip) => leaderStart(callout, tip, style))
    if (busy.boxes.some((box) => box !== own && callout.tips.some((tip, k) => lineMeetsBox(starts[k]!, tip, box))))
      continue
    const knees = callout.tips.map((tip) => {
      const bent = style.frame !== 'shelf' && randomChance(random, spec.knees) && Math.abs(tip.x - callout.x) > 110
      return bent ? { x: callout.x + Math.sign(tip.x - callout.x) * 60, y: callout.y } : null
    })
    busy.boxes.push(mine)
    callout.tips.forEach((tip, k) => {
      busy.lines.push([knees[k] ?? callout, tip])
    })
    return { ink: calloutInk(callout, style, knees), callout }
  }
  return null
}

function dimensionSet(placed: readonly Placed[], busy: Busy, family: string, random: Random): string {
  const value = randomPick(random, ['120', '45', '86', 'Ø30', 'R12', '12', '240.5', '60°', 'M16', '7'])
  for (const { box } of randomShuffle(random, placed)) {
    const y = box.bottom + 34
    const room = { left: box.left - 14, top: y - 30, right: box.right + 14, bottom: y + 14 }
    if (busy.boxes.some((one) => one !== box && boxesMeet(one, room))) continue
    if (busy.lines.some(([one, other]) => lineMeetsBox(one, other, room))) continue
    busy.boxes.push(room)
    return dimensionInk({ x: box.left + 4, y }, { x: box.right - 4, y }, value, { family, size: 19 })
  }
  return textInk('SECTION A-A', { x: FRAME + 60, y: HEIGHT - FRAME - 40 }, { family, size: 22 })
}
