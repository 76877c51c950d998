import type { PartHistory } from '../demand/method.ts'
import {
  numberFault,
  type PeriodsRead,
  periodSays,
  type SeriesFault,
  type SeriesRecord,
  type SeriesRows,
  seriesHistory,
  seriesWalk,
} from '../demand/series-file.ts'
import type { TargetKind } from '../demand/target-level.ts'
import { counted } from '../measure/counted.ts'

/** What the rows of a part say of it. Times are periods, money is in any one unit. */
export interface LevelsPart extends PartHistory {
  /** Pieces of each period from its first row to the last period of the file, those without a row 0. */
  quantities: number[]
  leadTime: number
  leadTimeSd: number
  review: number
  target: number
  targetKind: TargetKind
  /** Price of a piece; null where it is not said. */
  price: number | null
  pack: number
  minimum: number
  oneJob: number
  /** Taken in sets of so many: 2 for what is renewed in pairs. */
  set: number
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
  may: [
    'class',
    'exposure',
    'lead_time',
    'lead_time_sd',
    'review',
    'target',
    'target_kind',
    'price',
    'pack',
    'minimum',
    'job',
    'set',
  ],
} as const

type Facts = Omit<LevelsPart, keyof PartHistory>
type NumberColumn = Exclude<(typeof LEVELS_COLUMNS.may)[number], 'class' | 'exposure' | 'target_kind'>

/** What a number may be, and how it is said when it is not. */
const NUMBERS: Record<NumberColumn, { fits: (value: number) => boolean; says: string }> = {
  lead_time: { fits: () => true, says: 'a number of periods from 0' },
  lead_time_sd: { fits: () => true, says: 'a number of periods from 0' },
  review: { fits: () => true, says: 'a number of periods from 0' },
  target: { fits: (value) => value > 0 && value < 1, says: 'a share between 0 and 1, such as 0.95' },
  price: { fits: (value) => value > 0, says: 'a price above 0' },
  pack: { fits: (value) => Number.isInteger(value) && value >= 1, says: 'a whole number from 1' },
  minimum: { fits: Number.isInteger, says: 'a whole number from 0' },
  job: { fits: Number.isInteger, says: 'a whole number from 0' },
  set: { fits: (value) => Number.isInteger(value) && value >= 1, says: 'a whole number from 1' },
}

/** Reads the records of a file; a fault names row, column and reason, and all of them are found in one go. */
export function levelsRead(
  records: Iterable<SeriesRecord>,
  defaults: LevelsDefaults,
): { parts: LevelsPart[]; periods: PeriodsRead | null; faults: SeriesFault[] } {
  const { gathered, last, periods, faults } = seriesWalk(
    records,
    LEVELS_COLUMNS.may.filter((column) => column !== 'exposure'),
  )
  if (defaults.leadTime === null) faults.push(...leadsMissing(gathered))
  const parts = [...gathered].flatMap(([id, part]) => {
    const facts = factsRead(part, defaults, faults)
    const misfit = setFault(part, facts, (at) => periodSays(periods?.kind ?? 'number', at))
    if (misfit) faults.push(misfit)
    const history = seriesHistory(id, part, last, faults)
    return history ? [{ ...history, ...facts }] : []
  })
  return { parts, periods, faults: faults.sort((a, b) => a.row - b.row) }
}

/** Parts without a lead time where none was given for all: said once, for one option puts all of them right. */
function leadsMissing(gathered: ReadonlyMap<string, SeriesRows>): SeriesFault[] {
  const without = [...gathered].filter(([, part]) => !part.said.has('lead_time'))
  const first = without[0]
  if (!first) return []
  const [id, { row }] = first
  const who = without.length === 1 ? id : `${id} and ${counted(without.length - 1, 'other part')}`
  return [{ row, column: 'lead_time', reason: `is empty for ${who}; give it in the file, or for all with --lead` }]
}

/** What was taken, or what a job takes, and is no whole number of sets: then single pieces are taken too, and there is no set. */
function setFault(part: SeriesRows, { set, oneJob }: Facts, says: (period: number) => string): SeriesFault | null {
  const said = part.said.get('set')
  if (!said || set === 1) return null
  const fault = (what: string) => ({
    row: said.row,
    column: 'set',
    reason: `${what}, which is no whole number of sets of ${set}; leave set empty where single ones are taken too`,
  })
  if (oneJob % set !== 0) return fault(`a job takes ${oneJob}`)
  const odd = [...part.quantities].find(([, quantity]) => quantity % set !== 0)
  return odd ? fault(`${odd[1]} stand in period ${says(odd[0])}`) : null
}

function factsRead(part: SeriesRows, defaults: LevelsDefaults, faults: SeriesFault[]): Facts {
  const number = <T>(column: NumberColumn, otherwise: T): number | T => {
    const said = part.said.get(column)
    if (said === undefined) return otherwise
    const { fits, says } = NUMBERS[column]
    const value = Number(said.text)
    const wrong = numberFault(said.text)
    if (wrong === null && fits(value)) return value
    // What is no number at all is told best by what it should be.
    const isDigits = /^[\d.,]+$/.test(said.text)
    faults.push({
      row: said.row,
      column,
      reason: wrong !== null && isDigits ? wrong : `"${said.text}" is not ${says}`,
    })
    return otherwise
  }
  const kind = part.said.get('target_kind')
  if (kind && kind.text !== 'fill' && kind.text !== 'cycle')
    faults.push({ row: kind.row, column: 'target_kind', reason: `"${kind.text}" is neither fill nor cycle` })
  const set = number('set', 1)
  return {
    leadTime: number('lead_time', defaults.leadTime) ?? 0,
    leadTimeSd: number('lead_time_sd', 0),
    review: number('review', defaults.review),
    target: number('target', defaults.target),
    targetKind: kind?.text === 'cycle' || kind?.text === 'fill' ? kind.text : defaults.targetKind,
    price: number('price', null),
    pack: number('pack', 1),
    minimum: number('minimum', 1),
    // Where nothing says what a job takes, it is a set.
    oneJob: number('job', set),
    set,
  }
}
