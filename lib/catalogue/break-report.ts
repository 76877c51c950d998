import { type SerialBreak, serialBreaksSay, serialCompare, serialRuns } from './serial-break.ts'

/** A line of a parts list, as far as its serial break goes. No ranges: every machine. */
export interface BreakLine {
  item: string
  partNumber: string
  side?: 'LH' | 'RH' | undefined
  breaks: readonly SerialBreak[]
}

/** Serial numbers for which an item has no line though it has one before and one after; both ends belong to the gap. */
export interface BreakGap {
  item: string
  side: 'LH' | 'RH' | null
  from: string
  to: string
  /** Part numbers of the lines before and after. */
  between: [string, string]
}

/** Serial numbers for which two lines of an item both apply; null is an open end. */
export interface BreakOverlap {
  item: string
  side: 'LH' | 'RH' | null
  from: string | null
  to: string | null
  lines: [string, string]
}

export interface BreakReport {
  gaps: BreakGap[]
  overlaps: BreakOverlap[]
}

interface Placed extends SerialBreak {
  line: BreakLine
}

/**
 * Where the serial breaks of a parts list do not fit together: between the lines of one item, serial numbers that no line
 * covers and serial numbers that two lines cover. Lines of one side are looked at with those of both sides. An item of a
 * single line is never reported, nor is what lies before its first or after its last break: a part may come in late and be
 * dropped early. Ranges of different series (other prefix letters) are never compared.
 *
 * What it reports is for a person to look at; books do list two parts for one place on purpose.
 */
export function breakReport(lines: readonly BreakLine[]): BreakReport {
  const report: BreakReport = { gaps: [], overlaps: [] }
  const items = new Map<string, BreakLine[]>()
  for (const line of lines) items.set(line.item, [...(items.get(line.item) ?? []), line])
  for (const all of items.values()) {
    const handed = all.some((line) => line.side !== undefined)
    for (const side of handed ? (['LH', 'RH'] as const) : [null]) {
      const own = all.filter((line) => line.side === undefined || line.side === side)
      if (own.length < 2 || own.every((line) => line.breaks.length === 0)) continue
      overlapsFind(own, side, report)
      gapsFind(own, side, report)
    }
  }
  return { gaps: onceEach(report.gaps), overlaps: onceEach(report.overlaps) }
}

/** A fault of lines for both sides is found once for each side; it is one fault. */
function onceEach<T extends { side: 'LH' | 'RH' | null }>(faults: readonly T[]): T[] {
  const told = new Map<string, T>()
  for (const fault of faults) {
    const key = JSON.stringify({ ...fault, side: null })
    told.set(key, told.has(key) ? { ...fault, side: null } : fault)
  }
  return [...told.values()]
}

function rangesOf(line: BreakLine): Placed[] {
  const breaks = line.breaks.length === 0 ? [{ from: null, to: null }] : line.breaks
  return breaks.map(({ from, to }) => ({ from, to, line }))
}

function overlapsFind(lines: readonly BreakLine[], side: BreakGap['side'], report: BreakReport): void {
  for (const [at, one] of lines.entries())
    for (const other of lines.slice(at + 1))
      for (const a of rangesOf(one))
        for (const b of rangesOf(other)) {
          const both = rangesMeet(a, b)
          if (both) report.overlaps.push({ item: one.item, side, ...both, lines: [one.partNumber, other.partNumber] })
        }
}

/** What two ranges have in common; null when nothing, or when they are of different series. */
export function rangesMeet(a: SerialBreak, b: SerialBreak): SerialBreak | null {
  const from = laterOf(a.from, b.from)
  const to = earlierOf(a.to, b.to)
  if (from === undefined || to === undefined) return null
  if (from === null || to === null) return { from, to }
  const order = serialCompare(from, to)
  return order !== null && order <= 0 ? { from, to } : null
}

/** Undefined when the two cannot be compared; null is open, and any end is tighter than none. */
function laterOf(a: string | null, b: string | null): string | null | undefined {
  if (a === null || b === null) return a ?? b
  const order = serialCompare(a, b)
  return order === null ? undefined : order >= 0 ? a : b
}

function earlierOf(a: string | null, b: string | null): string | null | undefined {
  if (a === null || b === null) return a ?? b
  const order = serialCompare(a, b)
  return order === null ? undefined : order <= 0 ? a : b
}

function gapsFind(lines: readonly BreakLine[], side: BreakGap['side'], report: BreakReport): void {
  const series = new Map<string, Placed[]>()
  const ranges = lines.flatMap(rangesOf)
  // A line for every machine leaves no gap in any series.
  if (ranges.some((range) => range.from === null && range.to === null)) return
  for (const range of ranges) {
    const kind = seriesOf((range.from ?? range.to)!)
    series.set(kind, [...(series.get(kind) ?? []), range])
  }
  for (const of of series.values()) {
    const ordered = of.toSorted((a, b) =>
      a.from === null ? -1 : b.from === null ? 1 : (serialCompare(a.from, b.from) ?? 0),
    )
    let reached: Placed | undefined
    for (const range of ordered) {
      const gap = reached && gapBetween(reached.to, range.from)
      if (gap && reached)
        report.gaps.push({
          item: range.line.item,
          side,
          ...gap,
          between: [reached.line.partNumber, range.line.partNumber],
        })
      if (!reached || range.to === null || (reached.to !== null && (serialCompare(range.to, reached.to) ?? 0) > 0))
        reached = range
    }
  }
}

/** TB0950 and TB12 are of one series, TB#; QB12 is of another. */
function seriesOf(serial: string): string {
  return serialRuns(serial)
    .map((run) => (/^\d/.test(run) ? '#' : run))
    .join(' ')
}

/** The serial numbers between the end of one range and the beginning of the next; null when there are none or none is known. */
function gapBetween(to: string | null, from: string | null): { from: string; to: string } | null {
  if (to === null || from === null) return null
  const first = serialMoved(to, 1n)
  const last = serialMoved(from, -1n)
  if (first === null || last === null || headOf(to) !== headOf(from)) return null
  const order = serialCompare(first, last)
  return order !== null && order <= 0 ? { from: first, to: last } : null
}

/** All that counts but the last number: of 12-345 the 12. Where it differs, nobody knows how many lie between. */
function headOf(serial: string): string {
  const runs = serialRuns(serial)
  const last = runs.findLastIndex((run) => /^\d/.test(run))
  return runs.map((run, at) => (at === last ? '' : /^\d/.test(run) ? String(BigInt(run)) : run)).join(' ')
}

/** The next serial number, or the one before: TB0999 moved by one is TB1000. Letters and width stay. */
function serialMoved(serial: string, by: bigint): string | null {
  const match = /^(.*?)(\d+)(\D*)$/s.exec(serial)
  if (!match) return null
  const number = BigInt(match[2]!) + by
  return number < 0n ? null : `${match[1]}${String(number).padStart(match[2]!.length, '0')}${match[3]}`
}

/** The report as sentences: "item 10: no line for S/N 1500 to 1549, between AB-1 and AB-2". */
export function breakReportSays(report: BreakReport): string[] {
  const at = ({ item, side }: { item: string; side: string | null }) =>
    `item ${item}${side === null ? '' : `, ${side}`}`
  return [
    ...report.gaps.map(
      (gap) => `${at(gap)}: no line for ${serialBreaksSay([gap])}, between ${gap.between[0]} and ${gap.between[1]}`,
    ),
    ...report.overlaps.map((both) => {
      const where = serialBreaksSay([both])
      return `${at(both)}: ${both.lines[0]} and ${both.lines[1]} both apply to ${where === '' ? 'every machine' : where}`
    }),
  ]
}
