import type { TextPiece } from './page-pieces.ts'
import type { GreyPage } from './schema.ts'

/** A column of items has so many, of which most read as items that rise or fall. */
const ITEMS_MIN = 3
const ITEMS_SHARE = 0.7
const ORDERED_SHARE = 0.75
const ITEM_MARKS_MAX = 6
/** Signs of an item may touch or be broken in two, so their number may differ from that of the marks. */
const MARKS_APART = 1
/** The name stands at most so far to the right of its item, as a share of the page. */
const NAME_GAP = 0.25
/** Width of the shortest names, such as Key, as a share of their height. */
const NAME_WIDE = 1.5

export interface PlainItem {
  piece: TextPiece
  item: string
}

export const tallOf = ({ box }: TextPiece) => box[3] - box[1]
export const middleOf = ({ box }: TextPiece) => (box[1] + box[3]) / 2
export const sameLine = (a: TextPiece, b: TextPiece) =>
  Math.min(a.box[3], b.box[3]) - Math.max(a.box[1], b.box[1]) > 0.5 * Math.min(tallOf(a), tallOf(b))

export const leftOf = (items: readonly PlainItem[]) => Math.min(...items.map(({ piece }) => piece.box[0]))

export function sideBySide(list: readonly PlainItem[], other: readonly PlainItem[]): boolean {
  const span = (items: readonly PlainItem[]) => [middleOf(items[0]!.piece), middleOf(items.at(-1)!.piece)] as const
  const [top, bottom] = span(list)
  const [otherTop, otherBottom] = span(other)
  return leftOf(other) > leftOf(list) && top <= otherBottom && otherTop <= bottom
}

/** Short pieces that line up below each other at one edge, with other print to the right of each. */
export function itemColumns(page: GreyPage, pieces: readonly TextPiece[]): TextPiece[][] {
  const short = pieces.filter(
    (piece) =>
      piece.marks <= ITEM_MARKS_MAX &&
      piece.box[2] - piece.box[0] <= 4.5 * tallOf(piece) &&
      pieces.some(
        (other) =>
          other !== piece &&
          other.box[0] > piece.box[2] &&
          other.box[0] - piece.box[2] <= NAME_GAP * page.width &&
          other.box[2] - other.box[0] >= NAME_WIDE * tallOf(other) &&
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
export function listOf(column: readonly PlainItem[]): PlainItem[] | null {
  // A head such as "ITEM" may be read as digits, but not as many as it has letters.
  const isRead = ({ item, piece }: PlainItem) =>
    item !== '' && Math.abs(item.length - Math.max(1, piece.marks)) <= MARKS_APART
  const items = inOrder(ofOneManner(column.filter(isRead)))
  if (items.length < ITEMS_MIN || items.length < ITEMS_SHARE * column.length) return null
  if (new Set(items.map(({ item }) => item)).size < 0.8 * items.length) return null
  const { rising, falling } = stepsOf(items)
  if (Math.max(rising, falling) < ORDERED_SHARE * (items.length - 1)) return null
  // What could not be read between two items is one too: its row must not be taken for the rest of the row above.
  return column
    .slice(column.indexOf(items[0]!), column.indexOf(items.at(-1)!) + 1)
    .map((one) => (isRead(one) ? one : { ...one, item: '' }))
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

/** Without a first or last piece that begins with a letter where most do not: a head such as "No." reads as N0. */
function ofOneManner(items: readonly PlainItem[]): PlainItem[] {
  const lettered = ({ item }: PlainItem) => /^[A-Z]/.test(item)
  if (items.filter(lettered).length >= items.length / 2) return [...items]
  return items.filter((one, at) => !lettered(one) || (at > 0 && at < items.length - 1))
}

/** From so large a share of steps by which the items truly rise (or fall), all of them different, a column counts. */
const COUNTS_SHARE = 0.85
/** A list beside a longer one is a second list when it has so many rows of it at least. */
const BESIDE_SHARE = 0.4

/** How surely a column is one of items: the steps by which it truly rises, or falls, none of them repeated. */
function countingShare(list: readonly PlainItem[]): number {
  const items = list.filter(({ item }) => item !== '')
  const steps = items.slice(1).map((one, at) => Math.sign(numberOf(one) - numberOf(items[at]!)))
  const most = Math.max(...[1, -1].map((way) => steps.filter((step) => step === way || step === 0).length))
  const different = new Set(items.map(({ item }) => item)).size
  return (most / steps.length) * (different / items.length)
}

/**
 * The lists of the page among columns that look like one. A column of quantities, of part numbers or of names that look like
 * digits stands on the lines of a list and is none itself: of columns side by side only the surest stays, and others that
 * count as surely.
 */
export function listsKept(lists: readonly PlainItem[][]): PlainItem[][] {
  const sure = (items: readonly PlainItem[]) => countingShare(items)
  const weight = (items: readonly PlainItem[]) => sure(items) ** 2 * items.length
  const kept: PlainItem[][] = []
  for (const items of [...lists].sort((a, b) => weight(b) - weight(a) || leftOf(a) - leftOf(b))) {
    const beside = kept.filter((other) => sideBySide(items, other) || sideBySide(other, items))
    const second = (other: readonly PlainItem[]) =>
      sure(items) >= COUNTS_SHARE && items.length >= BESIDE_SHARE * other.length
    if (beside.every(second)) kept.push(items)
  }
  return lists.filter((items) => kept.includes(items))
}

/** Pieces of a column beside a sure list that are read to see whether the others are worth it. */
const SAMPLE = 5
const SAMPLE_ITEMS = 0.6

/** Whether a column stands to the right of a list that is plainly one: then it mostly holds its names. */
export function standsBesideSure(lists: readonly PlainItem[][], column: readonly TextPiece[]): boolean {
  const pieces = column.map((piece) => ({ piece, item: '' }))
  return lists.some((list) => countingShare(list) >= COUNTS_SHARE && sideBySide(list, pieces))
}

/** A few pieces of a column, spread over it; all of a short one. */
export function sampleOf(column: readonly TextPiece[]): TextPiece[] {
  if (column.length <= SAMPLE) return [...column]
  return Array.from({ length: SAMPLE }, (_, at) => column[Math.floor(((at + 0.5) * column.length) / SAMPLE)]!)
}

/** Whether most of a sample are numbers; fragments of names read as letters, or begin with one. */
export function looksCounted(sample: readonly PlainItem[]): boolean {
  return sample.filter(({ item }) => /^\d/.test(item)).length >= SAMPLE_ITEMS * sample.length
}
