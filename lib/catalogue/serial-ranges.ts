import { type SerialBreak, serialCompare, serialRuns } from './serial-break.ts'

/**
 * Reads what a parts list prints in its serial number column, several ranges on a line too: "A100-A250, B001-", "up to 1499",
 * "1500 on", "T-100 to T-250", "A100-250" (the letters are printed once). A number alone is that machine alone.
 *
 * Returns the ranges, both ends belonging to them, or in words what cannot be read. Notation: common practice of parts lists,
 * no source.
 */
export function serialRangesParse(text: string): SerialBreak[] | string {
  const pieces = text
    .normalize('NFKC')
    .split(/[,;]|\s+and\s+(?!on\b|up\b)|\s*&\s*/i)
    .map((piece) => piece.trim())
    .filter((piece) => piece !== '')
  if (pieces.length === 0) return 'no serial number is named'
  const ranges: SerialBreak[] = []
  for (const piece of pieces) {
    const range = rangeRead(piece.replace(/^(?:s\/?n|serial(?:\s+(?:no\.?|number))?)[\s.:]*/i, ''))
    if (typeof range === 'string') return range
    ranges.push(range)
  }
  return ranges
}

/**
 * Ranges as a parts list prints them, so that they are read as the same ranges: "A100-A250, B001-". Where a hyphen between two
 * numbers would be read as part of one, a dash stands in its place.
 */
export function serialRangesPrint(ranges: readonly SerialBreak[]): string {
  return ranges.map(rangePrint).join(', ')
}

function rangePrint(range: SerialBreak): string {
  const ways = rangeWays(range)
  const isRead = (text: string) => JSON.stringify(serialRangesParse(text)) === JSON.stringify([range])
  return ways.find(isRead) ?? ways[0]!
}

function rangeWays({ from, to }: SerialBreak): string[] {
  if (from === null) return [`up to ${to}`, `–${to}`]
  if (to === null) return [`${from}-`, `from ${from}`]
  return from === to ? [from, `${from}–${to}`] : [`${from}-${to}`, `${from}–${to}`, `${from} to ${to}`]
}

/** Dashes that stand between two numbers and, unlike the hyphen, never inside one; and the words for them. */
const BETWEEN = /\s*(?:[–—→]|\.\.+|\bto\b|\s-\s)\s*/i

function rangeRead(piece: string): SerialBreak | string {
  const from = /^(?:from|after and including|starting with)\s+(.+)$/i.exec(piece)?.[1]
  const upTo = /^(?:up\s*to|until|to|before and including)\s+(.+)$/i.exec(piece)?.[1]
  const onward = /^(.+?)(?:\s+(?:and\s+)?(?:on|onwards?|up|later)|\s*[-–—→+]|\s*\.\.+)$/i.exec(piece)?.[1]
  if (upTo !== undefined) return open(null, upTo)
  if (from !== undefined && !BETWEEN.test(from)) return open(from, null)
  if (onward !== undefined) return open(onward, null)
  if (/^[-–—→]/.test(piece)) return open(null, piece.replace(/^[-–—→]\s*/, ''))
  const [left, right, ...rest] = (from ?? piece).split(BETWEEN)
  if (rest.length > 0) return `“${piece}” names more than two ends`
  if (left !== undefined && right !== undefined) return between(left, right, piece)
  return hyphenated(piece)
}

function open(from: string | null, to: string | null): SerialBreak | string {
  const end = (from ?? to ?? '').trim()
  if (!/\d/.test(end)) return `“${end}” has no digit, so nothing lies before or after it`
  return from === null ? { from: null, to: end } : { from: end, to: null }
}

function between(left: string, right: string, piece: string): SerialBreak | string {
  const from = left.trim()
  const to = withPrefix(from, right.trim())
  const order = serialCompare(from, to)
  if (order === null) return `“${piece}”: ${from} and ${to} are not of one kind`
  if (order > 0) return `“${piece}” runs backwards`
  return { from, to }
}

/** "A100-250": the letters before the first number hold for the second. */
function withPrefix(from: string, to: string): string {
  const prefix = /^(\D+)\d+$/.exec(from)?.[1]
  return prefix !== undefined && /^\d+$/.test(to) ? `${prefix}${to}` : to
}

/** A hyphen stands between two serial numbers or inside one: it divides where both halves are serial numbers of one kind. */
function hyphenated(piece: string): SerialBreak | string {
  for (const { index } of piece.matchAll(/-/g)) {
    const left = piece.slice(0, index).trim()
    const right = piece.slice(index + 1).trim()
    if (!/\d/.test(left) || !/\d/.test(right)) continue
    if (serialCompare(left, withPrefix(left, right)) !== null) return between(left, right, piece)
  }
  if (serialRuns(piece).every((run) => !/\d/.test(run))) return `“${piece}” is no serial number`
  return { from: piece, to: piece }
}
