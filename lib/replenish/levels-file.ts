import type { TargetKind } from '../demand/target-level.ts'

/** One record of a file of levels, as its cells stand there; `row` counts from 1 and the header is row 1. */
export interface LevelsRecord {
  row: number
  cells: Readonly<Record<string, string>>
}

export interface LevelsFault {
  row: number
  column: string
  reason: string
}

/** What the rows of a part say of it. Times are periods, money is in any one unit. */
export interface LevelsPart {
  id: string
  /** Pieces of each period from its first row to the last period of the file, those without a row 0. */
  quantities: number[]
  leadTime: number
  leadTimeSd: number
  review: number
  target: number
  targetKind: TargetKind
  /** Price of a piece; null where it is not said. */
  cost: number | null
  pack: number
  minimum: number
  oneJob: number
}

export interface LevelsDefaults {
  leadTime: number | null
  review: number
  target: number
  targetKind: TargetKind
}

/** Columns that a file must have, and those it may have. */
export const LEVELS_COLUMNS = {
  must: ['id', 'period', 'quantity'],
  may: ['lead_time', 'lead_time_sd', 'review', 'target', 'target_kind', 'cost', 'pack', 'minimum', 'job'],
} as const

type Facts = Omit<LevelsPart, 'id' | 'quantities'>
type NumberColumn = Exclude<(typeof LEVELS_COLUMNS.may)[number], 'target_kind'>

/** What a number may be, and how it is said when it is not. */
const NUMBERS: Record<NumberColumn, { fits: (value: number) => boolean; says: string }> = {
  lead_time: { fits: () => true, says: 'a number of periods from 0' },
  lead_time_sd: { fits: () => true, says: 'a number of periods from 0' },
  review: { fits: () => true, says: 'a number of periods from 0' },
  target: { fits: (value) => value > 0 && value < 1, says: 'a share between 0 and 1, such as 0.95' },
  cost: { fits: (value) => value > 0, says: 'a price above 0' },
  pack: { fits: (value) => Number.isInteger(value) && value >= 1, says: 'a whole number from 1' },
  minimum: { fits: Number.isInteger, says: 'a whole number from 0' },
  job: { fits: Number.isInteger, says: 'a whole number from 0' },
}

const NUMBER = /^\d{1,12}(\.\d{1,9})?$/
const MONTH = /^(\d{4})-(0[1-9]|1[0-2])$/

/** 2026-03 as months since year 0, a whole number as itself; null when it is neither. */
function periodIndex(text: string): { kind: 'month' | 'number'; at: number } | null {
  const month = MONTH.exec(text)
  if (month) return { kind: 'month', at: Number(month[1]) * 12 + Number(month[2]) - 1 }
  return /^\d{1,7}$/.test(text) ? { kind: 'number', at: Number(text) } : null
}

/** More periods than this between first and last row are a slip of the pen, not a history. */
const PERIODS_MOST = 1200

interface Gathered {
  row: number
  byPeriod: Map<number, number>
  said: Map<string, { text: string; row: number }>
}

/** Reads the records of a file; a fault names row, column and reason, and all of them are found in one go. */
export function levelsRead(
  records: Iterable<LevelsRecord>,
  defaults: LevelsDefaults,
): { parts: LevelsPart[]; faults: LevelsFault[] } {
  const faults: LevelsFault[] = []
  const gathered = new Map<string, Gathered>()
  let periodKind: 'month' | 'number' | null = null
  let last = 0
  for (const { row, cells } of records) {
    const fault = (column: string, reason: string) => faults.push({ row, column, reason })
    const id = (cells.id ?? '').trim()
    if (id === '') {
      fault('id', 'is empty')
      continue
    }
    const part: Gathered = gathered.get(id) ?? { row, byPeriod: new Map(), said: new Map() }
    gathered.set(id, part)
    const period = periodIndex((cells.period ?? '').trim())
    const quantity = (cells.quantity ?? '').trim()
    if (!period) fault('period', `"${cells.period ?? ''}" is neither a month such as 2026-03 nor a whole number`)
    else if (periodKind !== null && period.kind !== periodKind)
      fault('period', 'months and numbers are mixed in this file')
    else if (part.byPeriod.has(period.at)) fault('period', `${id} has this period twice`)
    else if (!NUMBER.test(quantity)) fault('quantity', `"${quantity}" is no number from 0`)
    else {
      periodKind = period.kind
      last = Math.max(last, period.at)
      part.byPeriod.set(period.at, Number(quantity))
    }
    for (const column of LEVELS_COLUMNS.may) {
      const text = (cells[column] ?? '').trim()
      if (text === '') continue
      const before = part.said.get(column)
      if (before === undefined) part.said.set(column, { text, row })
      else if (before.text !== text) fault(column, `${id} has ${before.text} in row ${before.row} and ${text} here`)
    }
  }
  const parts = [...gathered].flatMap(([id, part]) => {
    const facts = factsRead(part, defaults, faults)
    const first = Math.min(...part.byPeriod.keys())
    if (last - first >= PERIODS_MOST) {
      faults.push({ row: part.row, column: 'period', reason: `${id} would have ${last - first + 1} periods` })
      return []
    }
    if (part.byPeriod.size === 0) return []
    const quantities = Array.from({ length: last - first + 1 }, (_, at) => part.byPeriod.get(first + at) ?? 0)
    return [{ id, quantities, ...facts }]
  })
  return { parts, faults: faults.sort((a, b) => a.row - b.row) }
}

function factsRead(part: Gathered, defaults: LevelsDefaults, faults: LevelsFault[]): Facts {
  const number = <T>(column: NumberColumn, otherwise: T): number | T => {
    const said = part.said.get(column)
    if (said === undefined) return otherwise
    const { fits, says } = NUMBERS[column]
    const value = Number(said.text)
    if (NUMBER.test(said.text) && fits(value)) return value
    faults.push({ row: said.row, column, reason: `"${said.text}" is not ${says}` })
    return otherwise
  }
  const kind = part.said.get('target_kind')
  if (kind && kind.text !== 'fill' && kind.text !== 'cycle')
    faults.push({ row: kind.row, column: 'target_kind', reason: `"${kind.text}" is neither fill nor cycle` })
  const leadTime = number('lead_time', defaults.leadTime)
  if (leadTime === null && !part.said.has('lead_time'))
    faults.push({ row: part.row, column: 'lead_time', reason: 'is empty, and no --lead was given' })
  return {
    leadTime: leadTime ?? 0,
    leadTimeSd: number('lead_time_sd', 0),
    review: number('review', defaults.review),
    target: number('target', defaults.target),
    targetKind: kind?.text === 'cycle' || kind?.text === 'fill' ? kind.text : defaults.targetKind,
    cost: number('cost', null),
    pack: number('pack', 1),
    minimum: number('minimum', 1),
    oneJob: number('job', 1),
  }
}
