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
/** 202403, or what may be meant for it: a year and two digits. */
const YEAR_AND_TWO = /^(?:19|20|21)\d{4}$/
const YEAR_MONTH = /^(\d{4})(0[1-9]|1[0-2])$/
/** More periods than this between the first and the last row are a slip of the pen, not a history. */
const PERIODS_MOST = 1200

/** How the periods of a file are written: 2026-03, 202603, or whole numbers that count up. */
export type PeriodKind = 'month' | 'yyyymm' | 'number'

type PeriodRead = { kind: PeriodKind; at: number } | { reason: string }

/** Months since year 0, or a whole number as itself; why not, where it is neither. */
function periodRead(text: string): PeriodRead {
  const yearMonth = YEAR_AND_TWO.test(text)
  const month = (yearMonth ? YEAR_MONTH : MONTH).exec(text)
  if (month) return { kind: yearMonth ? 'yyyymm' : 'month', at: Number(month[1]) * 12 + Number(month[2]) - 1 }
  // Taken for a number, the last week of a year would be half a hundred periods before the first of the next.
  if (yearMonth)
    return {
      reason: `"${text}" looks like a year with a month or a week, and is no month: write months as 2026-03, other periods as 1, 2, 3`,
    }
  return /^\d{1,7}$/.test(text)
    ? { kind: 'number', at: Number(text) }
    : { reason: `"${text}" is neither a month such as 2026-03 nor a whole number of at most 7 digits` }
}

/** How a period of a file is said: 24299 of a file of months is 2024-12. */
export function periodSays(kind: PeriodKind, at: number): string {
  if (kind === 'number') return String(at)
  return `${String(Math.floor(at / 12)).padStart(4, '0')}-${String((at % 12) + 1).padStart(2, '0')}`
}

/** What was taken for the periods of a file, so that whoever wrote it can see a misreading. */
export interface PeriodsRead {
  kind: PeriodKind
  /** As 2024-11, or the number. */
  first: string
  last: string
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
): { gathered: Map<string, SeriesRows>; last: number; periods: PeriodsRead | null; faults: SeriesFault[] } {
  const faults: SeriesFault[] = []
  const gathered = new Map<string, SeriesRows>()
  let periodKind: PeriodKind | null = null
  let first = Number.POSITIVE_INFINITY
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
    const read = periodRead(cell('period'))
    const period = 'reason' in read ? null : read
    const quantity = cell('quantity')
    if (cell('period') === '') fault('period', 'is empty')
    else if ('reason' in read) fault('period', read.reason)
    else if (periodKind !== null && read.kind !== periodKind) fault('period', mixedSays(periodKind, read.kind))
    else if (part.quantities.has(read.at)) fault('period', `${id} has this period twice`)
    const wrong = quantity === '' ? 'is empty' : numberFault(quantity)
    if (wrong !== null) fault('quantity', wrong)
    if (period && wrong === null && !part.quantities.has(period.at) && (periodKind ?? period.kind) === period.kind) {
      periodKind = period.kind
      first = Math.min(first, period.at)
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
  const periods = periodKind && {
    kind: periodKind,
    first: periodSays(periodKind, first),
    last: periodSays(periodKind, last),
  }
  return { gathered, last, periods, faults }
}

function mixedSays(a: PeriodKind, b: PeriodKind): string {
  return a === 'number' || b === 'number'
    ? 'months and numbers are mixed in this file'
    : 'months are written in two ways in this file: write all of them as 2026-03'
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
export function seriesRead(records: Iterable<SeriesRecord>): {
  parts: SeriesPart[]
  periods: PeriodsRead | null
  faults: SeriesFault[]
} {
  const { gathered, last, periods, faults } = seriesWalk(records, ['class', 'price'])
  const parts = [...gathered].flatMap(([id, part]) => partOf(id, part, last, faults))
  return { parts, periods, faults: faults.sort((a, b) => a.row - b.row) }
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
