export const VALUE_METHODS = {
  'moving-average': 'Moving average',
  fifo: 'First in, first out',
} as const
export type ValueMethod = keyof typeof VALUE_METHODS

export function methodIs(text: string): text is ValueMethod {
  return Object.hasOwn(VALUE_METHODS, text)
}

/** What the parts of one class are worth in one store. */
export interface ValueCell {
  store: string
  partClass: string
  valueMinor: number
}

export interface ValueLine {
  name: string
  valueMinor: number
  /** On the day it is compared with; null where it is compared with none. */
  beforeMinor: number | null
}

/** Adds cells up by store or by class, dearest first, each beside what it was worth on the other day. */
export function valueLines(
  by: 'store' | 'partClass',
  cells: readonly ValueCell[],
  before: readonly ValueCell[] | null,
): ValueLine[] {
  const lines = new Map<string, ValueLine>()
  const add = (cell: ValueCell, now: number, then: number) => {
    const line = lines.get(cell[by]) ?? { name: cell[by], valueMinor: 0, beforeMinor: before && 0 }
    line.valueMinor += now
    if (line.beforeMinor !== null) line.beforeMinor += then
    lines.set(cell[by], line)
  }
  for (const cell of cells) add(cell, cell.valueMinor, 0)
  for (const cell of before ?? []) add(cell, 0, cell.valueMinor)
  return [...lines.values()].sort((a, b) => b.valueMinor - a.valueMinor || (a.name < b.name ? -1 : 1))
}

/** The columns of a month, by the kind of movement; a reversal counts with what it puts right. */
const COLUMN_OF: Record<string, 'received' | 'taken' | 'counted' | 'scrapped'> = {
  receive: 'received',
  issue: 'taken',
  return: 'taken',
  'count-difference': 'counted',
  scrap: 'scrapped',
}

export interface MonthValue {
  /** 2026-11 */
  month: string
  openingMinor: number
  received: number
  /** Taken less put back, below zero. */
  taken: number
  counted: number
  scrapped: number
  closingMinor: number
}

/** What came, went and was found each month, from what was there before the first; closing is opening and all of it, exactly. */
export function monthValues(
  openingMinor: number,
  months: readonly string[],
  sums: readonly { month: string; kind: string; valueMinor: number }[],
): MonthValue[] {
  let opening = openingMinor
  return months.map((month) => {
    const row: MonthValue = {
      month,
      openingMinor: opening,
      received: 0,
      taken: 0,
      counted: 0,
      scrapped: 0,
      closingMinor: opening,
    }
    for (const sum of sums) {
      if (sum.month !== month) continue
      const column = COLUMN_OF[sum.kind]
      if (column) row[column] += sum.valueMinor
      row.closingMinor += sum.valueMinor
    }
    opening = row.closingMinor
    return row
  })
}

/** The months up to the one of a day, oldest first. Example: monthsTo('2026-02-10', 3) is 2025-12, 2026-01, 2026-02. */
export function monthsTo(day: string, count: number): string[] {
  const [year = 0, month = 0] = day.split('-').map(Number)
  return Array.from({ length: count }, (_, at) => {
    const index = year * 12 + month - 1 - (count - 1 - at)
    return `${String(Math.floor(index / 12)).padStart(4, '0')}-${String((index % 12) + 1).padStart(2, '0')}`
  })
}
