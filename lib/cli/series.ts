import { basename } from 'node:path'
import {
  columnNamed,
  headerFaults,
  type PeriodsRead,
  SERIES_COLUMNS,
  type SeriesFault,
  type SeriesPart,
  type SeriesRecord,
  seriesRead,
} from '../demand/series-file.ts'
import { csvRows } from '../exchange/read-csv.ts'
import { commaHint, type TableRow } from '../exchange/table.ts'
import { counted } from '../measure/counted.ts'
import { isRefusal, type Refusal } from '../refusal.ts'
import { fileRead } from './file-read.ts'

export interface SeriesSaid {
  json: boolean | undefined
  say: (line: string) => void
}

/** What every file of past demand has. */
export const ROWS_HELP = `Columns of the file: id, period and quantity; a period without a row counts 0, from the first row of the id to the last period of
the file. Periods are all written 2026-03, or all 202603 (a year from 1900 and a month; the answer says that they were read so),
or are whole numbers that count up. Numbers are written with a decimal point (0.5), at most 12 digits before it and 9 after it.`

export const SERIES_HELP = `
${ROWS_HELP}
The file may have class (parts of a class learn from each other), exposure (pieces running times hours in the period, in every row
of the id or in none) and price (of a piece; cost is the same).
Bad rows: each with row, column and reason on the standard error, nothing is answered, exit code 2.
`

/** Faults named before the command stops naming them; all of them are in the JSON. */
const FAULTS_SAID = 20

/** Of a file that says nothing. */
export const NO_ROW: SeriesFault = { row: 1, column: 'id', reason: 'no row follows the header' }

export const faultsInOrder = (...faults: (readonly SeriesFault[])[]): SeriesFault[] =>
  faults.flat().sort((a, b) => a.row - b.row)

/** Says the faults of a file, and that nothing was answered. */
export function faultsSay(faults: readonly SeriesFault[], { json, say }: SeriesSaid): null {
  const next = 'correct the file and run it again; nothing was answered.'
  if (json) {
    say(JSON.stringify({ faults, next }, null, 2))
    return null
  }
  say(`${counted(faults.length, 'fault')} in the file:`)
  for (const { row, column, reason } of faults.slice(0, FAULTS_SAID)) say(`  row ${row}, ${column}: ${reason}`)
  if (faults.length > FAULTS_SAID) say(`  and ${faults.length - FAULTS_SAID} more; --json names all of them`)
  say(`Next: ${next}`)
  return null
}

/**
 * The rows of a CSV file by the names of its header, and what stands under no name; columns that are not `columns` are left out. Null
 * where the file cannot be read as a table with all it must have, which has been said then.
 */
export async function recordsRead(
  path: string,
  columns: { must: readonly string[]; may: readonly string[] },
  said: SeriesSaid,
): Promise<{ records: SeriesRecord[]; faults: SeriesFault[] } | null> {
  const known = [...columns.must, ...columns.may]
  const records: SeriesRecord[] = []
  const faults: SeriesFault[] = []
  let names: string[] | null = null
  try {
    for await (const read of csvRows(await fileRead(path), basename(path))) {
      const { row, cells } = read
      if (names === null) {
        names = cells.map(columnNamed)
        const wrong = headerFaults(names, columns.must)
        if (wrong.length > 0) return faultsSay(wrong, said)
        continue
      }
      const named: Record<string, string> = {}
      for (const [at, name] of names.entries()) if (known.includes(name)) named[name] = cells[at] ?? ''
      const surplus = surplusFault(read, names)
      if (surplus) faults.push(surplus)
      records.push({ row, cells: named })
    }
  } catch (error) {
    if (!isRefusal(error)) throw error
    return unreadableSay(error, said)
  }
  return { records, faults }
}

/** A cell that stands under no name would be left out unseen, and the number that it is a part of misread. */
function surplusFault(read: TableRow, names: readonly string[]): SeriesFault | null {
  const at = read.cells.findIndex((cell, at) => cell.trim() !== '' && (names[at] ?? '') === '')
  if (at < 0) return null
  const reason = `"${read.cells[at]!.trim().slice(0, 40)}" stands under no name of the header${commaHint(read)}`
  return { row: read.row, column: `column ${at + 1}`, reason }
}

/** A file that is no table is wrong as a bad row is: the refusal speaks of bringing lists in, and nothing is brought in here. */
function unreadableSay({ code, happened }: Refusal, { json, say }: SeriesSaid): null {
  const next = 'correct the file, or name another; nothing was answered.'
  say(json ? JSON.stringify({ code, happened, next }, null, 2) : `${happened}\nNext: ${next}`)
  return null
}

/** What was read for a month though it is written like a number is said beside the answer; as JSON it stands in the answer. */
export function periodsSay({ kind, first, last }: PeriodsRead, { json, say }: SeriesSaid): void {
  if (kind === 'yyyymm' && !json)
    say(`Periods such as ${first.replace('-', '')} were read as months: ${first} to ${last}.`)
}

/** Histories of a CSV file; null where something is wrong with it, which has been said then. */
export async function seriesFile(
  path: string,
  said: SeriesSaid,
): Promise<{ parts: SeriesPart[]; periods: PeriodsRead } | null> {
  const read = await recordsRead(path, SERIES_COLUMNS, said)
  if (read === null) return null
  const { parts, periods, faults } = seriesRead(read.records)
  const all = faultsInOrder(read.faults, faults)
  if (all.length > 0) return faultsSay(all, said)
  if (parts.length === 0 || periods === null) return faultsSay([NO_ROW], said)
  periodsSay(periods, said)
  return { parts, periods }
}
