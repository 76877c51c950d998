import { boxAround } from './layout.ts'
import type { TextPiece } from './page-pieces.ts'
import type { GreyPage, PageBox, ReadRow, Recogniser } from './schema.ts'
import { type ColumnKind, headKind, headKinds, itemOf, kindsByContent, kindsCompleted } from './table-column.ts'
import {
  itemColumns,
  leftOf,
  listOf,
  listsKept,
  looksCounted,
  middleOf,
  type PlainItem,
  sameLine,
  sampleOf,
  sideBySide,
  standsBesideSure,
  tallOf,
} from './table-items.ts'
import { linesRead } from './table-lines.ts'
import { type CellText, EMPTY_CELL, itemsCounted, linesJoined, rowOf } from './table-row.ts'
import type { ReadTable } from './table-ruled.ts'

/**
 * Reads lists without rules: legends and tables set with white between. A list is a column of item numbers below each other,
 * rising or falling, each with print to its right. Columns are told by the white between them, wrapped lines belong to the
 * row they begin under, and heads may stand above or below. Several lists may stand side by side.
 */
export async function plainTablesRead(
  page: GreyPage,
  pieces: readonly TextPiece[],
  recognise: Recogniser,
): Promise<ReadTable[]> {
  const found: PlainItem[][] = []
  const asItem = new Map<TextPiece, string>()
  const columnRead = async (column: readonly TextPiece[]): Promise<PlainItem[]> => {
    const fresh = column.filter((piece) => !asItem.has(piece))
    const read = await piecesRead(fresh, (open) =>
      recognise(
        page,
        open.map(({ box }) => ({ box, kind: 'item' })),
      ),
    )
    for (const [at, piece] of fresh.entries()) asItem.set(piece, itemOf(read[at]!.text))
    return column.map((piece) => ({ piece, item: asItem.get(piece)! }))
  }
  for (const column of itemColumns(page, pieces)) {
    const isName = standsBesideSure(found, column) && !looksCounted(await columnRead(sampleOf(column)))
    const items = isName ? null : listOf(await columnRead(column))
    if (items !== null) found.push(items)
  }
  const lists = listsKept(found)
  const known = new Map<TextPiece, CellText>()
  const reader: Reader = async (wanted, numbers = false) => {
    const fresh = wanted.filter((piece) => !known.has(piece))
    const read = await piecesRead(fresh, (open) =>
      linesRead(
        page,
        open.map(({ box }) => ({ line: { box, inverse: false }, number: numbers ? 'quantity' : null })),
        recognise,
      ),
    )
    for (const [at, piece] of fresh.entries()) known.set(piece, read[at]!)
    return wanted.map((piece) => known.get(piece)!)
  }
  const tables: ReadTable[] = []
  for (const items of lists) {
    const right = Math.min(
      page.width,
      ...lists.filter((other) => other !== items && sideBySide(items, other)).map((other) => leftOf(other) - 2),
    )
    const table = await listRead(page, items, pieces, right, reader)
    if (table) tables.push(table)
  }
  return tables
}

/** Text of pieces: their own where the page carries it, else by `read`, in order. */
async function piecesRead(
  pieces: readonly TextPiece[],
  read: (open: readonly TextPiece[]) => Promise<CellText[]>,
): Promise<CellText[]> {
  const open = pieces.filter((piece) => piece.text === null)
  const texts = open.length > 0 ? await read(open) : []
  return pieces.map((piece) =>
    piece.text === null ? texts[open.indexOf(piece)]! : { text: piece.text, confidence: 1 },
  )
}

/** `numbers`: the pieces stand in a column of quantities. */
type Reader = (pieces: readonly TextPiece[], numbers?: boolean) => Promise<CellText[]>

/** Where the next column begins further to the right of the last, as a share of the page, it must line up. */
const COLUMN_GAP = 0.25
/** Most of a column line up at their left edge, their right edge or their middle, within a share of the letters' height. */
const LINED_UP = 0.8
const LINED_UP_WITHIN = 0.5

interface Column {
  from: number
  to: number
}

async function listRead(
  page: GreyPage,
  items: readonly PlainItem[],
  pieces: readonly TextPiece[],
  right: number,
  read: Reader,
): Promise<ReadTable | null> {
  const tall = Math.max(...items.map(({ piece }) => tallOf(piece)))
  const left = leftOf(items)
  const bands = bandsOf(items, tall)
  const member = (piece: TextPiece) =>
    piece.box[0] >= left - tall && piece.box[2] <= right && tallOf(piece) <= 2 * tall && tallOf(piece) >= 0.3 * tall
  const rows = bands.map(([from, to]) =>
    pieces.filter((piece) => member(piece) && middleOf(piece) >= from && middleOf(piece) < to),
  )
  const columns = columnsOf(items, rows, tall, page.width)
  if (columns.length < 2) return null
  const within = ({ from, to }: Column, piece: TextPiece) => piece.box[0] < to && piece.box[2] > from
  const cells = rows.map((row) => columns.map((column) => linesOf(row.filter((piece) => within(column, piece)))))
  const head = await headOf(pieces, columns, bands, tall, read)
  const needed =
    head === null
      ? columns.map((_, at) => at)
      : head.kinds.flatMap((kind, at) => (kind === 'other' && headKind(head.heads[at]!) !== null ? [] : [at]))
  const column = (wanted: (at: number) => boolean) =>
    cells.flatMap((row) => needed.filter((at) => at > 0 && wanted(at)).flatMap((at) => row[at]!))
  const isQuantity = (at: number) => head?.kinds[at] === 'quantity'
  await read(column(isQuantity), true)
  await read(column((at) => !isQuantity(at)))
  const texts: CellText[][] = []
  for (const [n, row] of cells.entries()) {
    const said: CellText[] = []
    for (const [at, cell] of row.entries())
      said.push(at === 0 ? itemCell(items[n]!) : needed.includes(at) ? await cellText(cell, read) : EMPTY_CELL)
    texts.push(said)
  }
  const printed = columns.map((_, at) => texts.map((row) => row[at]!.text))
  const kinds = head === null ? kindsByContent(printed) : kindsCompleted(head.kinds, head.heads, printed)
  kinds[0] = 'item'
  const names = texts.filter((row) => row.some((cell, at) => at > 0 && /\p{L}{2}/u.test(cell.text)))
  if (names.length < 0.6 * texts.length) return null
  const boxes = cells.map((row) =>
    row
      .flat()
      .map(({ box }) => box)
      .reduce(boxAround, items[0]!.piece.box),
  )
  const made = texts.flatMap((row, n): ReadRow[] => {
    const own = cells[n]!.flat()
      .map(({ box }) => box)
      .reduce(boxAround, items[n]!.piece.box)
    const one = rowOf(row, kinds, own)
    return one === null ? [] : [one]
  })
  const box = [...boxes, ...(head?.boxes ?? [])].reduce(boxAround)
  return { box, rows: itemsCounted(made) }
}

function itemCell({ item }: PlainItem): CellText {
  return { text: item, confidence: item === '' ? 0 : 1 }
}

/** From a little above each item to a little above the next; the last row ends where its wrapped lines can end. */
function bandsOf(items: readonly PlainItem[], tall: number): [number, number][] {
  return items.map(({ piece }, at) => {
    const next = items[at + 1]
    const end = piece.box[3] + 3.2 * tall
    return [
      piece.box[1] - 0.45 * tall,
      next ? Math.min(next.piece.box[1] - 0.45 * tall, end) : Math.min(end, piece.box[3] + 1.4 * tall),
    ]
  })
}

/** Intervals of x that hold print in most rows, with white between them in every row. */
function columnsOf(items: readonly PlainItem[], rows: readonly TextPiece[][], tall: number, width: number): Column[] {
  const itemColumn = { from: leftOf(items), to: Math.max(...items.map(({ piece }) => piece.box[2])) }
  const firstLines = rows.map((row, at) =>
    row.filter((piece) => sameLine(piece, items[at]!.piece) && piece.box[0] > itemColumn.to),
  )
  const spans = firstLines
    .flat()
    .map(({ box }): Column => ({ from: box[0], to: box[2] }))
    .sort((a, b) => a.from - b.from)
  const merged: Column[] = []
  for (const span of spans) {
    const last = merged.at(-1)
    if (last && span.from <= last.to + 0.3 * tall) last.to = Math.max(last.to, span.to)
    else merged.push({ ...span })
  }
  const columns: Column[] = [itemColumn]
  for (const column of merged) {
    const filled = firstLines.flatMap((row) => {
      const own = row.filter(({ box }) => box[0] >= column.from - 1 && box[2] <= column.to + 1)
      return own.length > 0 ? [own.map(({ box }) => box).reduce(boxAround)] : []
    })
    if (filled.length < 0.5 * rows.length) continue
    // A book sets few columns across its whole width, with much white behind the names; what stands so far off may also be the
    // drawing beside the list.
    if (column.from - columns.at(-1)!.to > COLUMN_GAP * width && !linesUp(filled, tall)) break
    columns.push(column)
  }
  return columns
}

/** Whether boxes below each other stand at one edge, or on one middle, as the cells of a column do. */
function linesUp(boxes: readonly PageBox[], tall: number): boolean {
  const edges = [(box: PageBox) => box[0], (box: PageBox) => box[2], (box: PageBox) => (box[0] + box[2]) / 2]
  return edges.some((edge) => {
    const places = boxes.map(edge).sort((a, b) => a - b)
    const middle = places[places.length >> 1]!
    return places.filter((at) => Math.abs(at - middle) <= LINED_UP_WITHIN * tall).length >= LINED_UP * places.length
  })
}

/**
 * Pieces of a cell as its lines, from top to bottom. Those of one line are read in one go: what parts them is the white between
 * words, or the wide white round the points of 42.519.6 in the print of a typewriter.
 */
function linesOf(cell: readonly TextPiece[]): TextPiece[] {
  const lines: TextPiece[][] = []
  for (const piece of [...cell].sort((a, b) => middleOf(a) - middleOf(b))) {
    const line = lines.at(-1)
    if (line && sameLine(line[0]!, piece)) line.push(piece)
    else lines.push([piece])
  }
  return lines.map((line): TextPiece => {
    if (line.length === 1) return line[0]!
    const sorted = line.sort((a, b) => a.box[0] - b.box[0])
    const told = sorted.every(({ text }) => text !== null)
    return {
      box: sorted.map(({ box }) => box).reduce(boxAround),
      marks: sorted.reduce((sum, { marks }) => sum + marks, 0),
      text: told ? sorted.map(({ text }) => text!.trim()).join(' ') : null,
    }
  })
}

async function cellText(cell: readonly TextPiece[], read: Reader): Promise<CellText> {
  if (cell.length === 0) return EMPTY_CELL
  const said = await read(cell)
  return {
    text: linesJoined(said.map(({ text }) => text.trim())),
    confidence: Math.min(...said.map((one) => one.confidence)),
  }
}

interface PlainHead {
  heads: string[]
  kinds: ColumnKind[]
  boxes: PageBox[]
}

/** Heads in the line above the first row, or below the last. */
async function headOf(
  pieces: readonly TextPiece[],
  columns: readonly Column[],
  bands: readonly [number, number][],
  tall: number,
  read: Reader,
): Promise<PlainHead | null> {
  const [left, right] = [columns[0]!.from - 3 * tall, columns.at(-1)!.to + 3 * tall]
  const near = (from: number, to: number) =>
    pieces.filter(
      (piece) =>
        middleOf(piece) > from &&
        middleOf(piece) < to &&
        piece.box[0] >= left &&
        piece.box[2] <= right &&
        tallOf(piece) <= 2 * tall,
    )
  const top = bands[0]![0]
  const bottom = bands.at(-1)![1]
  for (const found of [near(top - 3.5 * tall, top), near(bottom - 0.6 * tall, bottom + 3.5 * tall)]) {
    if (found.length < 2 || found.length > 24) continue
    const texts = await read(found)
    const middle = (top + bottom) / 2
    const next = found.reduce((best, one) =>
      Math.abs(middleOf(one) - middle) < Math.abs(middleOf(best) - middle) ? one : best,
    )
    // Beyond the heads may stand a title; heads of two lines are only whole with both.
    const known = [found, found.filter((piece) => sameLine(piece, next))].map((line) => {
      const heads = headsOver(
        columns,
        line.flatMap((piece) => headWords(piece.box, texts[found.indexOf(piece)]!.text, columns)),
        [left, right],
      )
      const kinds = headKinds(heads)
      const count = kinds.filter((kind) => kind !== 'other').length
      return { heads, kinds, count, boxes: line.map(({ box }) => box) }
    })
    const best = known[1]!.count > known[0]!.count ? known[1]! : known[0]!
    if (best.count >= 2) return best
  }
  return null
}

/** The words that stand over each column, or in the white beside it. */
function headsOver(
  columns: readonly Column[],
  words: readonly { box: PageBox; text: string }[],
  [left, right]: readonly [number, number],
): string[] {
  return columns.map(({ from, to }, at) => {
    const [low, high] = [columns[at - 1]?.to ?? left, columns[at + 1]?.from ?? right]
    return words
      .filter(({ box }) => {
        const middle = (box[0] + box[2]) / 2
        return (box[0] < to && box[2] > from) || (middle > low && middle < high)
      })
      .sort((a, b) => a.box[1] - b.box[1] || a.box[0] - b.box[0])
      .map(({ text }) => text)
      .join(' ')
  })
}

/**
 * Heads set so close that they hang together are parted again: each word stands over the column its middle lies nearest to.
 * Signs are taken to be equally wide.
 */
function headWords(box: PageBox, text: string, columns: readonly Column[]): { box: PageBox; text: string }[] {
  const over = columns.filter(({ from, to }) => box[0] < to && box[2] > from)
  if (over.length < 2) return [{ box, text }]
  const step = (box[2] - box[0]) / Math.max(1, text.length)
  return [...text.matchAll(/\S+/g)].map((word) => {
    const middle = box[0] + (word.index + word[0].length / 2) * step
    const away = ({ from, to }: Column) => Math.max(from - middle, middle - to)
    const own = over.reduce((best, one) => (away(one) < away(best) ? one : best))
    return { box: [own.from, box[1], own.to, box[3]], text: word[0] }
  })
}
