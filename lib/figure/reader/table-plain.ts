import { boxAround } from './layout.ts'
import type { TextPiece } from './page-pieces.ts'
import type { GreyPage, PageBox, ReadRow, Recogniser } from './schema.ts'
import { type ColumnKind, headKind, headKinds, itemOf, kindsByContent, kindsCompleted } from './table-column.ts'
import { linesRead } from './table-lines.ts'
import { type CellText, EMPTY_CELL, itemsCounted, linesJoined, rowOf } from './table-row.ts'
import type { ReadTable } from './table-ruled.ts'

/** A column of items has so many, of which most read as items that rise or fall. */
const ITEMS_MIN = 3
const ITEMS_SHARE = 0.7
const ORDERED_SHARE = 0.75
const ITEM_MARKS_MAX = 6
/** Signs of an item may touch or be broken in two, so their number may differ from that of the marks. */
const MARKS_APART = 1
/** The name stands at most so far to the right of its item, as a share of the page. */
const NAME_GAP = 0.25

interface PlainItem {
  piece: TextPiece
  item: string
}

const tallOf = ({ box }: TextPiece) => box[3] - box[1]
const middleOf = ({ box }: TextPiece) => (box[1] + box[3]) / 2
const sameLine = (a: TextPiece, b: TextPiece) =>
  Math.min(a.box[3], b.box[3]) - Math.max(a.box[1], b.box[1]) > 0.5 * Math.min(tallOf(a), tallOf(b))

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
  const lists: PlainItem[][] = []
  for (const column of itemColumns(page, pieces)) {
    const read = await piecesRead(column, (open) =>
      recognise(
        page,
        open.map(({ box }) => ({ box, kind: 'item' })),
      ),
    )
    const items = listOf(column.map((piece, at) => ({ piece, item: itemOf(read[at]!.text) })))
    if (items !== null) lists.push(items)
  }
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

const leftOf = (items: readonly PlainItem[]) => Math.min(...items.map(({ piece }) => piece.box[0]))

function sideBySide(list: readonly PlainItem[], other: readonly PlainItem[]): boolean {
  const span = (items: readonly PlainItem[]) => [middleOf(items[0]!.piece), middleOf(items.at(-1)!.piece)] as const
  const [top, bottom] = span(list)
  const [otherTop, otherBottom] = span(other)
  return leftOf(other) > leftOf(list) && top <= otherBottom && otherTop <= bottom
}

/** Short pieces that line up below each other at one edge, with other print to the right of each. */
function itemColumns(page: GreyPage, pieces: readonly TextPiece[]): TextPiece[][] {
  const short = pieces.filter(
    (piece) =>
      piece.marks <= ITEM_MARKS_MAX &&
      piece.box[2] - piece.box[0] <= 4.5 * tallOf(piece) &&
      pieces.some(
        (other) =>
          other !== piece &&
          other.box[0] > piece.box[2] &&
          other.box[0] - piece.box[2] <= NAME_GAP * page.width &&
          other.box[2] - other.box[0] >= 2 * tallOf(other) &&
          sameLine(piece, other),
      ),
  )
  const columns: TextPiece[][] = []
  const used = new Set<TextPiece>()
  const edges = [
    (piece: TextPiece) => piece.box[0],
    (piece: TextPiece) => piece.box[2],
    (piece: TextPiece) => (piece.box[0] + piece.box[2]) / 2,
  ]
  const candidates = short
    .flatMap((seed) =>
      edges.map((edge) =>
        short.filter(
          (piece) =>
            Math.abs(edge(piece) - edge(seed)) <= 0.5 * tallOf(seed) &&
            Math.max(tallOf(piece), tallOf(seed)) <= 1.6 * Math.min(tallOf(piece), tallOf(seed)),
        ),
      ),
    )
    .filter((column) => column.length >= ITEMS_MIN)
    .sort((a, b) => b.length - a.length)
  for (const column of candidates) {
    const free = column.filter((piece) => !used.has(piece))
    if (free.length < ITEMS_MIN) continue
    for (const piece of free) used.add(piece)
    columns.push(free.sort((a, b) => middleOf(a) - middleOf(b)))
  }
  return columns.sort((a, b) => a[0]!.box[0] - b[0]!.box[0])
}

/** The pieces that are items, when they are a list at all. */
function listOf(column: readonly PlainItem[]): PlainItem[] | null {
  // A head such as "ITEM" may be read as digits, but not as many as it has letters.
  const named = column.filter(
    ({ item, piece }) => item !== '' && Math.abs(item.length - Math.max(1, piece.marks)) <= MARKS_APART,
  )
  const items = inOrder(named)
  if (items.length < ITEMS_MIN || items.length < ITEMS_SHARE * column.length) return null
  if (new Set(items.map(({ item }) => item)).size < 0.8 * items.length) return null
  const { rising, falling } = stepsOf(items)
  return Math.max(rising, falling) >= ORDERED_SHARE * (items.length - 1) ? items : null
}

const numberOf = ({ item }: PlainItem) => Number(/\d+(?:\.\d+)?/.exec(item)?.[0] ?? 0)

function stepsOf(items: readonly PlainItem[]): { rising: number; falling: number } {
  const steps = items.slice(1).map((one, at) => Math.sign(numberOf(one) - numberOf(items[at]!)))
  return { rising: steps.filter((step) => step >= 0).length, falling: steps.filter((step) => step <= 0).length }
}

/** Without a first or last piece that breaks the order of all others: it is a head or a line below the list. */
function inOrder(items: readonly PlainItem[]): PlainItem[] {
  if (items.length <= ITEMS_MIN) return [...items]
  const { rising, falling } = stepsOf(items)
  const sign = rising >= falling ? 1 : -1
  const breaks = (a: PlainItem, b: PlainItem) => sign * (numberOf(b) - numberOf(a)) < 0
  const from = breaks(items[0]!, items[1]!) ? 1 : 0
  const to = breaks(items.at(-2)!, items.at(-1)!) ? items.length - 1 : items.length
  return items.slice(from, to)
}

/** `numbers`: the pieces stand in a column of quantities. */
type Reader = (pieces: readonly TextPiece[], numbers?: boolean) => Promise<CellText[]>

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
  const cells = rows.map((row) => columns.map((column) => row.filter((piece) => within(column, piece))))
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
  return { text: item, confidence: 1 }
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
    const filled = firstLines.filter((row) =>
      row.some(({ box }) => box[0] >= column.from - 1 && box[2] <= column.to + 1),
    ).length
    if (column.from - columns.at(-1)!.to > NAME_GAP * width) break
    if (filled >= 0.5 * rows.length) columns.push(column)
  }
  return columns
}

async function cellText(cell: readonly TextPiece[], read: Reader): Promise<CellText> {
  if (cell.length === 0) return EMPTY_CELL
  const lines: TextPiece[][] = []
  for (const piece of [...cell].sort((a, b) => middleOf(a) - middleOf(b))) {
    const line = lines.at(-1)
    if (line && sameLine(line[0]!, piece)) line.push(piece)
    else lines.push([piece])
  }
  const texts: string[] = []
  let confidence = 1
  for (const line of lines) {
    const said = await read(line.sort((a, b) => a.box[0] - b.box[0]))
    texts.push(said.map(({ text }) => text.trim()).join(' '))
    confidence = Math.min(confidence, ...said.map((one) => one.confidence))
  }
  return { text: linesJoined(texts), confidence }
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
    const words = found.flatMap((piece, n) => headWords(piece.box, texts[n]!.text, columns))
    const heads = columns.map(({ from, to }, at) => {
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
    const kinds = headKinds(heads)
    if (kinds.filter((kind) => kind !== 'other').length >= 2)
      return { heads, kinds, boxes: found.map(({ box }) => box) }
  }
  return null
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
