import type { PartHistory } from './method.ts'

/** One row of a file of past demand as its cells stand there; `row` counts from 1 and the header is row 1. */
export interface SeriesRecord {
  row: number
  cells: Readonly<Record<string, string>>
}

export interface SeriesFault {
  row: number
  column: string
  reason: string
}

/** A history with what else the file says of the part. */
export interface SeriesPart extends PartHistory {
  quantities: number[]
  /** Price of a piece; null where it is not said. */
  price: number | null
}

/** Columns that a file of past demand must have, and those it may have. */
export const SERIES_COLUMNS = {
  must: ['id', 'period', 'quantity'],
  may: ['class', 'exposure', 'price'],
} as const

/** Name of a column as a header spells it: capitals and spaces do not matter, and what one piece costs is its price. */
export function columnNamed(text: string): string {
  const name = text.trim().toLowerCase().replaceAll(/[ -]/g, '_')
  return name === 'cost' ? 'price' : name
}

/** What is wrong with a header: a column that must be there is not, or one is there twice (price and cost are one). */
export function headerFaults(names: readonly string[], must: readonly string[]): SeriesFault[] {
  const missing = must.filter((name) => !names.includes(name))
  const twice = names.filter((name, at) => name !== '' && names.indexOf(name) !== at)
  return [
    ...missing.map((column) => ({ row: 1, column, reason: 'is not in the header' })),
    ...twice.map((column) => ({ row: 1, column, reason: 'is in the header twice' })),
  ]
}

const NUMBER = /^\d{1,12}(\.\d{1,9})?$/

/** Why a text is no number of such a file (from 0, with a decimal point); null where it is one. */
export function numberFault(text: string): string | null {
  if (NUMBER.test(text)) return null
  const shown = `"${text.slice(0, 40)}"`
  if (/^[\d.,]*\d,[\d.,]*$|^,\d+$/.test(text))
    return `${shown} has a comma: write decimals with a point, as 1.5, and thousands without a sign`
  if (/^(\.\d+|\d+\.)$/.test(text)) return `${shown} lacks a digit before or after its decimal point: write 0.5, or 5`
  const digits = /^(\d+)(?:\.(\d+))?$/.exec(text)
  if (!digits) return `${shown} is no number from 0`
  return digits[1]!.length > 12
    ? `${shown} has more than 12 digits before the decimal point`
    : `${shown} has more than 9 digits after the decimal point`
}
const MONTH = /^(\d{4})-(0[1-9]|1[0-2])$/
/** More periods than this between the first and the last row are a slip of the pen, not a history. */
const PERIODS_MOST = 1200

/** 2026-03 as months since year 0, a whole number as itself; null when it is neither. */
function periodIndex(text: string): { kind: 'month' | 'number'; at: number } | null {
  const month = MONTH.exec(text)
  if (month) return { kind: 'month', at: Number(month[1]) * 12 + Number(month[2]) - 1 }
  return /^\d{1,7}$/.test(text) ? { kind: 'number', at: Number(text) } : null
}

/** What the rows of one part say. */
export interface SeriesRows {
  row: number
  quantities: Map<number, number>
  exposures: Map<number, number>
  /** Rows that say no exposure; one of them beside rows that do is a fault. */
  bare: number | null
  /** Of each column that says the same of the part in every row: the first text and its row. */
  said: Map<string, { text: string; row: number }>
}

/** Walks through a file of past demand: what each part says by period, and of itself in the columns `facts`. */
export function seriesWalk(
  records: Iterable<SeriesRecord>,
  facts: readonly string[],
): { gathered: Map<string, SeriesRows>; last: number; faults: SeriesFault[] } {
  const faults: SeriesFault[] = []
  const gathered = new Map<string, SeriesRows>()
  let periodKind: 'month' | 'number' | null = null
  let last = 0

  for (const { row, cells } of records) {
    const cell = (column: string) => (cells[column] ?? '').trim()
    const fault = (column: string, reason: string) => faults.push({ row, column, reason })
    const id = cell('id')
    if (id === '') {
      fault('id', 'is empty')
      continue
    }
    const known = gathered.get(id)
    const part: SeriesRows = known ?? { row, quantities: new Map(), exposures: new Map(), bare: null, said: new Map() }
    if (!known) gathered.set(id, part)
    const period = periodIndex(cell('period'))
    const quantity = cell('quantity')
    if (cell('period') === '') fault('period', 'is empty')
    else if (!period) fault('period', `"${cell('period')}" is neither a month such as 2026-03 nor a whole number`)
    else if (periodKind !== null && period.kind !== periodKind)
      fault('period', 'months and numbers are mixed in this file')
    else if (part.quantities.has(period.at)) fault('period', `${id} has this period twice`)
    const wrong = quantity === '' ? 'is empty' : numberFault(quantity)
    if (wrong !== null) fault('quantity', wrong)
    if (period && wrong === null && !part.quantities.has(period.at) && (periodKind ?? period.kind) === period.kind) {
      periodKind = period.kind
      last = Math.max(last, period.at)
      part.quantities.set(period.at, Number(quantity))
      const exposure = cell('exposure')
      const wrongRan = exposure === '' ? null : numberFault(exposure)
      if (exposure === '') part.bare ??= row
      else if (wrongRan !== null) fault('exposure', wrongRan)
      else part.exposures.set(period.at, Number(exposure))
    }
    for (const column of facts) {
      const text = cell(column)
      if (text === '') continue
      const before = part.said.get(column)
      if (!before) part.said.set(column, { text, row })
      else if (before.text !== text) fault(column, `${id} has ${before.text} in row ${before.row} and ${text} here`)
    }
  }
  return { gathered, last, faults }
}

/** Quantities from the first row of the part to the last period of the file; null, with a fault, where they are far too many. */
function seriesQuantities(
  id: string,
  { row, quantities }: SeriesRows,
  last: number,
  faults: SeriesFault[],
): { first: number; quantities: number[] } | null {
  if (quantities.size === 0) return null
  const first = Math.min(...quantities.keys())
  const count = last - first + 1
  if (count > PERIODS_MOST) {
    faults.push({ row, column: 'period', reason: `${id} would have ${count} periods` })
    return null
  }
  return { first, quantities: Array.from({ length: count }, (_, at) => quantities.get(first + at) ?? 0) }
}

/**
 * Histories of a file, a period without a row counting 0 from the first row of the part to the last period of the file. Where
 * exposure is given it stands in every row of the part; a period without a row ran as much as the one before.
 */
export function seriesRead(records: Iterable<SeriesRecord>): { parts: SeriesPart[]; faults: SeriesFault[] } {
  const { gathered, last, faults } = seriesWalk(records, ['class', 'price'])
  const parts = [...gathered].flatMap(([id, part]) => partOf(id, part, last, faults))
  return { parts, faults: faults.sort((a, b) => a.row - b.row) }
}

function partOf(id: string, part: SeriesRows, last: number, faults: SeriesFault[]): SeriesPart[] {
  const price = part.said.get('price')
  const wrong = price ? numberFault(price.text) : null
  if (price && (wrong !== null || Number(price.text) === 0))
    faults.push({ row: price.row, column: 'price', reason: wrong ?? `"${price.text}" is no price above 0` })
  const history = seriesHistory(id, part, last, faults)
  return history ? [{ ...history, price: price ? Number(price.text) : null }] : []
}

/** What a part was asked for, with its class and what it ran where the file says so; null, with a fault, where it cannot be. */
export function seriesHistory(
  id: string,
  part: SeriesRows,
  last: number,
  faults: SeriesFault[],
): (PartHistory & { quantities: number[] }) | null {
  const history = seriesQuantities(id, part, last, faults)
  if (!history) return null
  if (part.exposures.size > 0 && part.bare !== null)
    faults.push({ row: part.bare, column: 'exposure', reason: `is empty here, and given in other rows of ${id}` })
  const partClass = part.said.get('class')?.text
  let ran = 0
  const exposure = history.quantities.map((_, at) => {
    ran = part.exposures.get(history.first + at) ?? ran
    return ran
  })
  return {
    id,
    quantities: history.quantities,
    ...(partClass === undefined ? {} : { partClass }),
    ...(part.exposures.size > 0 ? { exposure } : {}),
  }
}
