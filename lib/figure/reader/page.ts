import { calloutsRead } from './callouts.ts'
import { coarseScale, pageEnlarged, runsEnlarged } from './coarse.ts'
import { crossChecked } from './crosscheck.ts'
import { pageStraight, type Straight, skewDegrees } from './deskew.ts'
import { headingRead } from './heading.ts'
import { boxesMeet, boxHolds, drawnTiles, figuresOf, pageWithout, sheetInside, titleBlocks } from './layout.ts'
import { pageInk } from './page-ink.ts'
import { pageRules } from './page-lines.ts'
import { isNumbering, isPaper } from './paper.ts'
import type { GreyPage, PageBox, PageReading, Recogniser, TextRun } from './schema.ts'
import { pageDusted, pageSpecksTaken } from './speckle.ts'
import { tablesRead } from './table.ts'
import { ruledCells } from './table-grid.ts'

/** A page of a parts book has so many callouts, or rows, at least. */
const CALLOUTS_MIN = 2
const ROWS_MIN = 2
/** What is no sheet of paper has so many rows of a list, or numbers that are plainly a numbering. */
const ROWS_OFF_PAPER = 3

/**
 * Reads one page of a parts book: takes out the skew, reads the parts lists, reads the callouts of the drawing with the
 * items of the list as a help, and lets both check each other. Coordinates are pixels of `page` as it was given. `onStep`
 * hears the share of the work done (0 to 1) and what comes next.
 */
export async function pageRead(
  page: GreyPage,
  runs: readonly TextRun[],
  recognise: Recogniser,
  onStep: (share: number, step: string) => void = () => {},
): Promise<PageReading> {
  onStep(0, 'Setting the page straight')
  // Specks are known by their size in pixels as given, so they go first; letters and rules by theirs at the scale of reading.
  const scale = coarseScale(page)
  const cleaned = pageSpecksTaken(page)
  const clean = pageEnlarged(cleaned, scale)
  const own = runsEnlarged(runs, scale)
  const printed = pageInk(clean)
  const degrees = skewDegrees(printed)
  const straight = pageStraight(clean, own, degrees)
  // The point of 1.1 on a drawing stands as free as a speck: there the page is read as it is.
  const drawn =
    cleaned === page && scale === 1
      ? straight
      : pageStraight(pageEnlarged(scale === 1 ? page : pageDusted(page), scale), own, degrees)
  onStep(0.15, 'Looking for parts lists')
  const ink = degrees === 0 ? printed : pageInk(straight.page)
  const rules = pageRules(straight.page)
  const tolerance = Math.max(4, Math.round(Math.max(clean.width, clean.height) / 600))
  const cells = ruledCells(rules, tolerance)
  const tables = await tablesRead({ ...straight, ink, rules, cells, tolerance }, recognise)
  onStep(0.55, 'Reading the drawing')
  const boxes = tables.map((table) => table.box)
  const inside = sheetInside(rules, straight.page)
  const blocks = titleBlocks(cells, inside, boxes, straight.page, tolerance)
  const covered = [...boxes, ...blocks]
  const items = tables.flatMap((table) => table.rows.map((row) => row.item)).filter((item) => item !== '')
  const drawing = pageWithout(drawn.page, covered, tolerance)
  const free = straight.runs.filter(({ box }) => !covered.some((one) => boxesMeet(one, box)))
  const read = await calloutsRead(drawing, free, [inside], recognise, { items: [...new Set(items)] })
  onStep(0.95, 'Checking drawing and list against each other')
  const checked = crossChecked(
    read.callouts.filter((one) => boxHolds(inside, one.x, one.y)),
    tables.flatMap((table) => table.rows),
  )
  const figures = figuresOf(checked.callouts, drawnTiles(ink, inside, covered, tolerance), inside, straight.page)
  const heading = await headingRead(
    { ...straight, ink, rules, tables: boxes, blocks, callouts: checked.callouts },
    recognise,
  )
  const photo = checked.rows.length < ROWS_OFF_PAPER && !isNumbering(checked.callouts) && !isPaper(page)
  const said = photo ? PHOTO : kindOf(checked.callouts.length, checked.rows.length)
  const found = photo ? NOTHING : { ...checked, figures, heading }
  onStep(1, 'Done')
  const back = (x: number, y: number) => {
    const at = straight.back(x, y)
    return { x: at.x / scale, y: at.y / scale }
  }
  const reading = { ...said, width: page.width, height: page.height, skewDegrees: degrees, ...found }
  return asGiven(reading, { ...straight, back })
}

const PHOTO = {
  kind: 'no-parts-page',
  why: 'The picture looks like a photo of things, not like a drawing on paper, and shows no parts list.',
} as const
const NOTHING = { callouts: [], rows: [], figures: [], heading: { number: '', title: '' } }

function kindOf(callouts: number, rows: number): Pick<PageReading, 'kind' | 'why'> {
  if (callouts >= CALLOUTS_MIN || rows >= ROWS_MIN) return { kind: 'parts-page', why: '' }
  const seen = callouts === 0 ? 'no item numbers' : 'a single item number'
  const listed = rows === 0 ? 'no parts list' : 'a single row of a list'
  return { kind: 'no-parts-page', why: `The page shows ${seen} on a drawing and ${listed}.` }
}

/** The reading of a page set straight, in pixels of the page as it was. */
function asGiven(reading: PageReading, { back, page }: Straight): PageReading {
  const inPage = (x: number, y: number) => {
    const point = back(x, y)
    return { x: tenth(point.x, reading.width), y: tenth(point.y, reading.height) }
  }
  const box = ([left, top, right, bottom]: PageBox): PageBox => {
    const corners = [inPage(left, top), inPage(right, top), inPage(left, bottom), inPage(right, bottom)]
    const xs = corners.map((corner) => corner.x)
    const ys = corners.map((corner) => corner.y)
    return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)]
  }
  if (page.width === reading.width && reading.skewDegrees === 0) return reading
  return {
    ...reading,
    callouts: reading.callouts.map((one) => {
      const middle = inPage(one.x, one.y)
      const tip = inPage(one.tipX, one.tipY)
      return { ...one, ...middle, tipX: tip.x, tipY: tip.y, tips: one.tips.map(({ x, y }) => inPage(x, y)) }
    }),
    rows: reading.rows.map((row) => ({ ...row, box: row.box === null ? null : box(row.box) })),
    figures: reading.figures.map((figure) => ({ ...figure, box: box(figure.box) })),
  }
}

/** A tenth of a pixel, on the page. */
function tenth(value: number, most: number): number {
  return Math.round(Math.min(most, Math.max(0, value)) * 10) / 10
}
