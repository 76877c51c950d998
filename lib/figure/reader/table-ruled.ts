import { cellLines, linesCut, type TextLine } from './page-text.ts'
import type { GreyPage, PageBox, ReadRow, Recogniser, TextRun } from './schema.ts'
import { type ColumnKind, headKind, headKinds, itemOf, kindsByContent, kindsCompleted } from './table-column.ts'
import type { Grid } from './table-grid.ts'
import { isNumberWide, linesRead, type NumberKind } from './table-lines.ts'
import { type CellText, EMPTY_CELL, itemsCounted, linesJoined, rowOf } from './table-row.ts'

export interface ReadTable {
  box: PageBox
  rows: ReadRow[]
}

interface Cell {
  box: PageBox
  lines: TextLine[]
  /** Known from the page's own text. */
  runs: TextRun[]
}

/** Rows at the ends of a list that may hold the heads: a title may stand beyond them. */
const HEAD_DEPTH = 2

/** A column is read no further where so many printed cells from its top on say nothing. */
const BLANK_MOST = 6

/** Reads cells by the page's own text, else by the recogniser; each cell once. */
class CellReader {
  private readonly known = new Map<Cell, CellText>()
  constructor(
    private readonly page: GreyPage,
    private readonly recognise: Recogniser,
  ) {}

  /** `numbers`: cells that hold item numbers or quantities, which are read sign by sign where they are short. */
  async read(cells: readonly Cell[], numbers: ReadonlyMap<Cell, NumberKind> = new Map()): Promise<void> {
    const wanted = [...new Set(cells)].filter((cell) => !this.known.has(cell))
    const open = wanted.filter((cell) => cell.runs.length === 0 && cell.lines.length > 0)
    const lines = open.flatMap((cell) => cell.lines.map((line) => ({ line, number: numbers.get(cell) ?? null })))
    const texts = await linesRead(this.page, lines, this.recognise)
    for (const cell of wanted) this.known.set(cell, cell.runs.length > 0 ? runsText(cell.runs) : EMPTY_CELL)
    let from = 0
    for (const cell of open) {
      const read = texts.slice(from, from + cell.lines.length)
      from += cell.lines.length
      this.known.set(cell, {
        text: linesJoined(read.map(({ text }) => text)),
        confidence: Math.min(...read.map(({ confidence }) => confidence)),
      })
    }
  }

  /**
   * Reads columns down to the end, but one that says nothing in its first printed cells holds dirt or hatching, and what
   * stands below is left.
   */
  async readColumns(columns: readonly (readonly Cell[])[], numbers: ReadonlyMap<Cell, NumberKind>): Promise<void> {
    const printed = columns.map((column) => column.filter(({ runs, lines }) => runs.length > 0 || lines.length > 0))
    await this.read(
      printed.flatMap((column) => column.slice(0, BLANK_MOST)),
      numbers,
    )
    const says = (first: readonly Cell[]) => first.some((cell) => this.text(cell).text !== '')
    const going = printed.filter((column) => says(column.slice(0, BLANK_MOST)))
    await this.read(going.flat(), numbers)
  }

  text(cell: Cell): CellText {
    return this.known.get(cell) ?? EMPTY_CELL
  }
}

/** Runs of a cell, line by line from the top, each line from the left. */
function runsText(runs: readonly TextRun[]): CellText {
  const sorted = [...runs].sort((a, b) => a.box[1] - b.box[1])
  const lines: TextRun[][] = []
  for (const run of sorted) {
    const line = lines.at(-1)
    const first = line?.[0]
    if (line && first && run.box[1] < (first.box[1] + first.box[3]) / 2) line.push(run)
    else lines.push([run])
  }
  const texts = lines.map((line) =>
    line
      .sort((a, b) => a.box[0] - b.box[0])
      .map((run) => run.text)
      .join(' '),
  )
  return { text: linesJoined(texts), confidence: 1 }
}

/**
 * Reads a ruled list: heads in the first or last row (or none), columns that are needed, wrapped cells joined, rows in
 * printed order. Null when it is no parts list: neither heads nor a column of items.
 */
export async function ruledTableRead(
  page: GreyPage,
  runs: readonly TextRun[],
  grid: Grid,
  recognise: Recogniser,
): Promise<ReadTable | null> {
  // Under heads alone stands no list, and a single row without heads tells of no column what it holds.
  if (grid.shelves.length < 3) return null
  const cells = cellsOf(page, runs, grid)
  const reader = new CellReader(page, recognise)
  const head = await headOf(cells, reader)
  let kinds = head?.kinds ?? null
  const body = cells.filter((_, at) => head === null || !head.beyond.has(at))
  if (kinds === null || !kinds.includes('item')) {
    const numbers = numberCells(body)
    const columns = grid.walls.slice(1).map((_, column) => body.map((row) => row[column]!))
    const texts = (of: readonly Cell[][]) => of.map((column) => column.map((cell) => reader.text(cell).text))
    // A title block is not read to the end where no column of it can be one of items.
    const short = columns.filter((column) => column.filter(mayBeItem).length >= 2)
    await reader.read(short.flat(), numbers)
    if (!kindsByContent(texts(short)).includes('item')) return null
    await reader.readColumns(columns, numbers)
    const told = kindsByContent(texts(columns))
    if (!told.includes('item')) return null
    kinds = kinds === null ? told : kinds.map((kind, at) => (told[at] === 'item' ? 'item' : kind))
  }
  const heads = head?.heads ?? []
  const needed = kinds.flatMap((kind, at) => (kind === 'other' && headKind(heads[at] ?? '#') !== null ? [] : [at]))
  const numbers = new Map<Cell, NumberKind>()
  for (const row of body)
    for (const [at, cell] of row.entries()) {
      const kind = kinds[at]
      if (kind === 'item' || kind === 'quantity') numbers.set(cell, kind)
    }
  const asked = needed.map((at) => body.map((row) => row[at]!))
  await reader.readColumns(asked, numbers)
  const printed = grid.walls.slice(1).map((_, column) => body.map((row) => reader.text(row[column]!).text))
  const said = head === null ? kinds : kindsCompleted(kinds, heads, printed)
  const rows = body.flatMap((row): ReadRow[] => {
    const [first, last] = [row[0]!.box, row.at(-1)!.box]
    const read = rowOf(
      row.map((cell) => reader.text(cell)),
      said,
      [first[0], first[1], last[2], last[3]],
    )
    return read === null ? [] : [read]
  })
  if (rows.length === 0 || rows.every((row) => row.item === '')) return null
  const box: PageBox = [grid.walls[0]!, grid.shelves[0]!, grid.walls.at(-1)!, grid.shelves.at(-1)!]
  return { box, rows: itemsCounted(rows) }
}

/** An item of eight signs, the longest there are, is at most so wide, as a share of its height. */
const ITEM_WIDE = 8

function mayBeItem({ runs, lines }: Cell): boolean {
  const [left, top, right, bottom] = lines[0]?.box ?? [0, 0, 0, 0]
  return runs.length > 0 || (lines.length === 1 && right - left <= ITEM_WIDE * (bottom - top))
}

/** From so large a share of short cells a column without a head is taken to hold numbers. */
const SHORT_SHARE = 0.8

/** Cells of columns that hold nothing but what is as short as a number: items or quantities. */
function numberCells(body: readonly Cell[][]): Map<Cell, NumberKind> {
  const found = new Map<Cell, NumberKind>()
  for (const at of body[0]?.keys() ?? []) {
    const printed = body.map((row) => row[at]!).filter(({ lines }) => lines.length > 0)
    const short = printed.filter(({ lines }) => lines.length === 1 && isNumberWide(lines[0]!))
    if (short.length >= 2 && short.length >= SHORT_SHARE * printed.length)
      for (const cell of printed) found.set(cell, 'either')
  }
  return found
}

/** Cells of the grid with their lines of text; a row with several items between its rules is cut at the items. */
function cellsOf(page: GreyPage, runs: readonly TextRun[], { walls, shelves }: Grid): Cell[][] {
  const inset = Math.max(2, Math.round(Math.max(page.width, page.height) / 1200))
  const cells = shelves.slice(1).map((bottom, row) =>
    walls.slice(1).map((right, column): Cell => {
      const box: PageBox = [walls[column]!, shelves[row]!, right, bottom]
      const inside: PageBox = [box[0] + inset, box[1] + inset, box[2] - inset + 1, box[3] - inset + 1]
      const own = runs.filter((run) => holds(box, run.box))
      return { box, runs: own, lines: own.length > 0 ? [] : cellLines(page, inside) }
    }),
  )
  const heights = cells
    .flat()
    .flatMap((cell) => cell.lines.map(({ box }) => box[3] - box[1]))
    .sort((a, b) => a - b)
  const usual = heights[heights.length >> 1]
  if (usual !== undefined) for (const cell of cells.flat()) cell.lines = linesCut(page, cell.lines, usual)
  return cells
}

function holds(box: PageBox, inner: PageBox): boolean {
  const x = (inner[0] + inner[2]) / 2
  const y = (inner[1] + inner[3]) / 2
  return x >= box[0] && x <= box[2] && y >= box[1] && y <= box[3]
}

interface Head {
  heads: string[]
  kinds: ColumnKind[]
  /** Rows that hold the heads, or a title beyond them. */
  beyond: ReadonlySet<number>
}

async function headOf(cells: readonly Cell[][], reader: CellReader): Promise<Head | null> {
  const tried: number[] = []
  for (let depth = 0; depth < Math.min(HEAD_DEPTH, cells.length); depth++) tried.push(depth, cells.length - 1 - depth)
  let best: { row: number; heads: string[]; kinds: ColumnKind[]; score: number } | null = null
  for (const row of new Set(tried)) {
    // Broad print takes long to read: where none of what stands beside it is a head, it is none either.
    const short = cells[row]!.filter(mayBeItem)
    await reader.read(short)
    const said = short.map((cell) => reader.text(cell).text)
    // A row of the list may say "Bolt" and "Pin" too, but no row has a number where the head says item.
    if (said.some((text) => /^\d+$/.test(text.trim()) && itemOf(text) !== '')) continue
    if (short.length >= 2 && headKinds(said).every((kind) => kind === 'other')) continue
    await reader.read(cells[row]!)
    const heads = cells[row]!.map((cell) => reader.text(cell).text)
    const kinds = headKinds(heads)
    const score = kinds.filter((kind) => kind !== 'other').length
    if (score >= 2 && (best === null || score > best.score)) best = { row, heads, kinds, score }
    if (score >= 3) break
  }
  if (best === null) return null
  const { row, heads, kinds } = best
  const isTop = row < cells.length / 2
  const beyond = new Set(cells.flatMap((_, at) => (at === row || (isTop ? at < row : at > row) ? [at] : [])))
  return { heads, kinds, beyond }
}
