import { partNumberKey } from '../catalogue/part-number.ts'
import { itemCompare, itemKey, type StripEdge } from './strip-order.ts'

/** A line of the edition in the book. Quantities are minor units of the part's stock unit. */
export interface EditionLine {
  lineId: number
  item: string
  partNumber: string
  description: string
  quantity: number
}

/** A line of the newer page; it may print no part number. */
export interface EditionRow {
  item: string
  partNumber?: string
  description: string
  quantity: number
}

export interface EditionCallout {
  item: string
  x: number
  y: number
}

/** The same place in both editions: `row` is the row's place in the newer list. */
export interface EditionPair {
  lineId: number
  row: number
}

export interface EditionDiff {
  /** The same part. Its item, quantity or words may have changed. */
  kept: EditionPair[]
  /** The same item of the drawing, another part number: the old one may be superseded. */
  numberChanged: (EditionPair & { item: string; from: string; to: string })[]
  added: number[]
  removed: number[]
  quantityChanged: (EditionPair & { item: string; from: number; to: number })[]
  renumbered: (EditionPair & { from: string; to: string })[]
}

/**
 * What a newer page of the same figure changes. Lines are matched by item and part number first; then a part that stands
 * under another item was renumbered (a row put in shifts all below it); then an item with another part number was changed.
 * What is left was removed or added. Several lines of one item (serial breaks) are matched in list order. A row that prints
 * no number keeps the part its item had.
 */
export function editionDiff(before: readonly EditionLine[], after: readonly EditionRow[]): EditionDiff {
  const lines = new Set(before)
  const rows = new Set(after.keys())
  const kept: EditionPair[] = []
  const numberChanged: EditionDiff['numberChanged'] = []
  const match = (
    says: (line: EditionLine, row: EditionRow) => boolean,
    take: (line: EditionLine, row: number) => void,
  ) => {
    for (const line of [...lines]) {
      const row = [...rows].find((at) => says(line, after[at]!))
      if (row === undefined) continue
      lines.delete(line)
      rows.delete(row)
      take(line, row)
    }
  }
  const keep = (line: EditionLine, row: number) => kept.push({ lineId: line.lineId, row })
  match((line, row) => sameItem(line, row) && sameNumber(line, row), keep)
  match((line, row) => sameNumber(line, row), keep)
  match((line, row) => sameItem(line, row) && row.partNumber === undefined, keep)
  match(sameItem, (line, row) => {
    const { item, partNumber = '' } = after[row]!
    numberChanged.push({ lineId: line.lineId, row, item, from: line.partNumber, to: partNumber })
  })
  const lineOf = new Map(before.map((line) => [line.lineId, line]))
  const pairs = [...kept, ...numberChanged].map(({ lineId, row }) => ({ lineId, row }))
  return {
    kept: kept.sort((a, b) => a.row - b.row),
    numberChanged: numberChanged.sort((a, b) => a.row - b.row),
    added: [...rows].sort((a, b) => a - b),
    removed: [...lines].map((line) => line.lineId),
    quantityChanged: pairs.flatMap((pair) => {
      const [from, { quantity: to, item }] = [lineOf.get(pair.lineId)!.quantity, after[pair.row]!]
      return from === to ? [] : [{ ...pair, item, from, to }]
    }),
    renumbered: kept.flatMap((pair) => {
      const [from, to] = [lineOf.get(pair.lineId)!.item, after[pair.row]!.item]
      return itemKey(from) === itemKey(to) ? [] : [{ ...pair, from, to }]
    }),
  }
}

function sameItem(line: EditionLine, row: EditionRow): boolean {
  return itemKey(line.item) === itemKey(row.item)
}

function sameNumber(line: EditionLine, row: EditionRow): boolean {
  return row.partNumber !== undefined && partNumberKey(line.partNumber) === partNumberKey(row.partNumber)
}

/** What each item of the edition before is called now, by item key; items that are gone are not in it. */
export function editionItems(
  diff: EditionDiff,
  before: readonly EditionLine[],
  after: readonly EditionRow[],
): Map<string, string> {
  const lineOf = new Map(before.map((line) => [line.lineId, line]))
  const now = new Map<string, string>()
  for (const { lineId, row } of [...diff.kept, ...diff.numberChanged]) {
    const old = lineOf.get(lineId)!.item
    const item = after[row]!.item
    // Lines of one item may part ways; the one that stayed says where the item is.
    if (!now.has(itemKey(old)) || itemKey(old) === itemKey(item)) now.set(itemKey(old), item)
  }
  return now
}

/**
 * The strip order as the newer edition has it: steps between items that are still there, and across those that are gone, so
 * that a cap still comes off before the nut when the washer between them is no longer printed. Steps that name a gone item, or
 * items that are one now, are named.
 */
export function editionStripOrder(
  edges: readonly StripEdge[],
  items: ReadonlyMap<string, string>,
): { kept: StripEdge[]; dropped: StripEdge[] } {
  const after = new Map<string, StripEdge[]>()
  for (const edge of edges) after.set(itemKey(edge.first), [...(after.get(itemKey(edge.first)) ?? []), edge])
  const kept = new Map<string, StripEdge>()
  const dropped: StripEdge[] = []
  for (const edge of edges) {
    const first = items.get(itemKey(edge.first))
    const then = items.get(itemKey(edge.then))
    if (first === undefined || then === undefined || itemKey(first) === itemKey(then)) dropped.push(edge)
    if (first === undefined) continue
    const passed = new Set<string>()
    const open = [edge]
    for (let at = open.pop(); at; at = open.pop()) {
      const next = items.get(itemKey(at.then))
      if (next !== undefined) {
        if (itemKey(next) !== itemKey(first)) kept.set(`${itemKey(first)} ${itemKey(next)}`, { first, then: next })
      } else if (!passed.has(itemKey(at.then))) {
        passed.add(itemKey(at.then))
        open.push(...(after.get(itemKey(at.then)) ?? []))
      }
    }
  }
  return { kept: [...kept.values()], dropped }
}

/** Notes and minutes go along with their part; two items that are one now keep the first. */
export function editionStripSteps<S extends { item: string }>(
  steps: readonly S[],
  items: ReadonlyMap<string, string>,
): S[] {
  const kept = new Map<string, S>()
  for (const step of steps) {
    const item = items.get(itemKey(step.item))
    if (item !== undefined && !kept.has(itemKey(item))) kept.set(itemKey(item), { ...step, item })
  }
  return [...kept.values()]
}

/** Numbers fewer than this say nothing of how the whole drawing was shifted. */
const COMMON_MIN = 4
/** A number that lies this share of the drawing's diagonal away from where the others went was moved. */
const MOVED_SHARE = 0.06

/**
 * Items whose number stands elsewhere on the drawing. A newer scan is cut and scaled in its own way, so what all numbers did
 * together (median shift and scale) is taken out first. Empty when fewer than four items stand once on both.
 */
export function editionMoved(before: readonly EditionCallout[], after: readonly EditionCallout[]): string[] {
  const [was, is] = [once(before), once(after)]
  const items = [...was.keys()].filter((item) => is.has(item))
  if (items.length < COMMON_MIN) return []
  const pairs = items.map((item) => ({ item, from: was.get(item)!, to: is.get(item)! }))
  const centre = (pick: 'from' | 'to') => ({
    x: median(pairs.map((pair) => pair[pick].x)),
    y: median(pairs.map((pair) => pair[pick].y)),
  })
  const [a, b] = [centre('from'), centre('to')]
  const scale = common(pairs)
  const shifted = pairs.map(({ item, from, to }) => ({
    item,
    dx: to.x - (b.x + (from.x - a.x) * scale),
    dy: to.y - (b.y + (from.y - a.y) * scale),
  }))
  const [midX, midY] = [median(shifted.map((one) => one.dx)), median(shifted.map((one) => one.dy))]
  const xs = pairs.map((pair) => pair.to.x)
  const ys = pairs.map((pair) => pair.to.y)
  const diagonal = Math.hypot(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys))
  return shifted
    .filter(({ dx, dy }) => Math.hypot(dx - midX, dy - midY) > MOVED_SHARE * diagonal)
    .map(({ item }) => is.get(item)!.item)
    .sort(itemCompare)
}

interface Pair {
  from: EditionCallout
  to: EditionCallout
}

/** Distances between numbers grow all alike when a page is scanned larger; a number that was moved spoils only its own. */
function common(pairs: readonly Pair[]): number {
  const some = pairs.slice(0, 120)
  const ratios = some.flatMap((a, at) =>
    some.slice(at + 1).flatMap((b) => {
      const [was, is] = [distance(a.from, b.from), distance(a.to, b.to)]
      return was > 0 ? [is / was] : []
    }),
  )
  return ratios.length === 0 ? 1 : median(ratios)
}

function distance(a: EditionCallout, b: EditionCallout): number {
  return Math.hypot(a.x - b.x, a.y - b.y)
}

function once(callouts: readonly EditionCallout[]): Map<string, EditionCallout> {
  const found = new Map<string, EditionCallout>()
  const twice = new Set<string>()
  for (const callout of callouts) {
    const key = itemKey(callout.item)
    if (found.has(key)) twice.add(key)
    found.set(key, callout)
  }
  for (const key of twice) found.delete(key)
  return found
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b)
  return sorted[Math.floor(sorted.length / 2)] ?? 0
}
