import { measureParse } from './measurement.ts'
import type { TestRow } from './test-list.ts'

/** A row of the editor with a name of its own, so that what is said of it finds it again after it was moved. */
export interface TestDraft extends TestRow {
  id: string
  /** Whether its fields for a value stand open, though nothing may be typed in them yet. */
  measures: boolean
}

export type TestAct =
  | { do: 'put'; rows: TestDraft[] }
  | { do: 'add'; id: string }
  | { do: 'drop'; id: string }
  | { do: 'earlier'; id: string }
  | { do: 'later'; id: string }
  | { do: 'set'; id: string; change: Partial<Omit<TestDraft, 'id'>> }

const NOTHING_MEASURED = { what: '', unit: '', least: '', most: '' }

/** A list of tests being written. `testsTurned` never changes the list it is given. */
export function testsTurned(rows: readonly TestDraft[], act: TestAct): TestDraft[] {
  if (act.do === 'put') return [...act.rows]
  if (act.do === 'add')
    return [...rows, { id: act.id, text: '', ...NOTHING_MEASURED, measures: false, eachSide: false, stage: 'release' }]
  const at = rows.findIndex((row) => row.id === act.id)
  if (at < 0) return [...rows]
  if (act.do === 'drop') return rows.filter((row) => row.id !== act.id)
  if (act.do === 'set') return rows.with(at, { ...rows[at]!, ...act.change })
  const to = act.do === 'earlier' ? at - 1 : at + 1
  if (to < 0 || to >= rows.length) return [...rows]
  return rows.with(at, rows[to]!).with(to, rows[at]!)
}

/** A list being written, and what it was before each step, the newest last. */
export interface TestsHistory {
  rows: TestDraft[]
  past: TestDraft[][]
}

const PAST_MAX = 50

/** Takes the next step, or the last one back. Typing is no step: it stays when the step before it is not taken back. */
export function testsHistory({ rows, past }: TestsHistory, act: TestAct | { do: 'undo' }): TestsHistory {
  if (act.do === 'undo') return past.length === 0 ? { rows, past } : { rows: past.at(-1)!, past: past.slice(0, -1) }
  return { rows: testsTurned(rows, act), past: act.do === 'set' ? past : [...past, rows].slice(-PAST_MAX) }
}

/** What is sent of a row: fields for a value that were closed again are empty. */
export function testDraftRow({ id: _, measures, ...row }: TestDraft): TestRow {
  return measures ? row : { ...row, ...NOTHING_MEASURED }
}

/** Whether two lists are the same once they are kept: 0,15 is 0.15, and spaces around words are none. */
export function testsAlike(a: readonly TestRow[], b: readonly TestRow[]): boolean {
  const limit = (text: string) => measureParse(text) ?? text.trim()
  const facts = (rows: readonly TestRow[]) =>
    JSON.stringify(
      rows.map(({ text, what, unit, least, most, eachSide, stage }) => [
        ...[text, what, unit].map((words) => words.trim()),
        limit(least),
        limit(most),
        eachSide,
        stage,
      ]),
    )
  return facts(a) === facts(b)
}

/** Theirs, and behind them what stands in mine alone. */
export function testsTogether(theirs: readonly TestDraft[], mine: readonly TestDraft[]): TestDraft[] {
  const words = (row: TestRow) => row.text.trim().toLowerCase()
  const there = new Set(theirs.map(words))
  return [...theirs, ...mine.filter((row) => !there.has(words(row)))]
}
