import { z } from 'zod'
import { type FigureTest, measureParse, TEST_STAGES, type TestMeasure, type TestStage } from './measurement.ts'

/** A test of a figure with everything said: what a plan and an editor read. */
export interface TestKept {
  /** Never another test's: ticks on open jobs hang on it. */
  key: number
  text: string
  measure?: TestMeasure
  /** Done at each side of the machine by itself. */
  eachSide: boolean
  stage: TestStage
}

export const TESTS_MAX = 40
export const TEST_LETTERS_MAX = 200

/** A list that came with its file is numbered as it stands there; what is measured is measured at each side unless said otherwise. */
export function testsKept(tests: readonly (FigureTest | TestKept)[]): TestKept[] {
  return tests.map((test, at): TestKept => {
    if (typeof test === 'string') return { key: at, text: test, eachSide: false, stage: 'release' }
    const { text, measure, eachSide = measure !== undefined, stage = 'release' } = test
    return { key: 'key' in test ? test.key : at, text, ...(measure ? { measure } : {}), eachSide, stage }
  })
}

/** A test as the editor has it in its fields: everything as typed. */
export interface TestRow {
  text: string
  what: string
  unit: string
  least: string
  most: string
  eachSide: boolean
  stage: TestStage
}

export function testRowOf({ text, measure, eachSide, stage }: Omit<TestKept, 'key'>): TestRow {
  const typed = (limit: number | undefined) => (limit === undefined ? '' : String(limit))
  return {
    text,
    what: measure?.what ?? '',
    unit: measure?.unit ?? '',
    least: typed(measure?.least),
    most: typed(measure?.most),
    eachSide,
    stage,
  }
}

/** "Lining thickness: 4 mm or more" and the like need all of this; a row with none of it measures nothing. */
export function testRowMeasures(row: Pick<TestRow, 'what' | 'unit' | 'least' | 'most'>): boolean {
  return [row.what, row.unit, row.least, row.most].some((text) => text.trim() !== '')
}

const typed = (most: number) => z.string().trim().max(most, `${most} letters at most`)

/** One row as it is sent. Each refusal names the field and says what to type there. */
export const TestRowInput = z
  .object({
    text: typed(TEST_LETTERS_MAX).min(3, 'say what is tested, in a few words'),
    what: typed(80),
    unit: typed(12),
    least: typed(12),
    most: typed(12),
    eachSide: z.boolean(),
    stage: z.enum(TEST_STAGES),
  })
  .superRefine((row, context) => {
    if (!testRowMeasures(row)) return
    const refuse = (field: string, message: string) => context.addIssue({ code: 'custom', path: [field], message })
    if (row.what.length < 2) refuse('what', 'say what is measured: lining thickness')
    if (row.unit === '') refuse('unit', 'give the unit: mm, bar, N m')
    const limits = (['least', 'most'] as const).map((field) => {
      const value = row[field] === '' ? undefined : measureParse(row[field])
      if (value === null) refuse(field, `“${row[field]}” is no number: type it alone, such as 4.2`)
      else if (value !== undefined && Math.abs(value) > 100_000) refuse(field, 'at most 100000: choose a larger unit')
      return value ?? undefined
    })
    const [least, most] = limits
    if (row.least === '' && row.most === '') refuse('least', 'give the lowest value, the highest, or both')
    if (least !== undefined && most !== undefined && least > most)
      refuse('most', `below the lowest (${row.least}): nothing could pass; change one of them`)
  })
export type TestRowInput = z.infer<typeof TestRowInput>

const wordsKey = (text: string) => text.trim().replace(/\s+/g, ' ').toLowerCase()

/** The whole list as the editor sends it; `version` says which saving it was made from. */
export const TestListInput = z.object({
  figureId: z.coerce.number().int().positive(),
  version: z.coerce.number().int().min(0),
  tests: z
    .string()
    .max(200_000)
    .transform((text, context) => {
      try {
        return JSON.parse(text) as unknown
      } catch {
        context.addIssue({ code: 'custom', message: 'the list did not arrive whole: send it again' })
        return z.NEVER
      }
    })
    .pipe(
      z
        .array(TestRowInput)
        .max(TESTS_MAX, `a list has ${TESTS_MAX} tests at most`)
        .superRefine((rows, context) => {
          const seen = new Set<string>()
          for (const [at, row] of rows.entries()) {
            const words = wordsKey(row.text)
            if (seen.has(words))
              context.addIssue({
                code: 'custom',
                path: [at, 'text'],
                message: 'stands in the list twice: change the words, or take one out',
              })
            seen.add(words)
          }
        }),
    ),
})
export type TestListInput = z.infer<typeof TestListInput>

/**
 * Rows as a list to be kept. A key belongs to its words: `known` says which words each key ever had, and a test that has them
 * again has the key again. With other words it is another test, and a tick that somebody set for the old ones is not taken for it.
 */
export function testsOfRows(rows: readonly TestRowInput[], known: ReadonlyMap<number, string>): TestKept[] {
  const keyOf = new Map([...known].map(([key, text]) => [wordsKey(text), key]))
  let next = Math.max(-1, ...known.keys()) + 1
  return rows.map((row): TestKept => {
    const key = keyOf.get(wordsKey(row.text)) ?? next++
    const { text, eachSide, stage } = row
    if (!testRowMeasures(row)) return { key, text, eachSide, stage }
    const limit = (value: string) => (value === '' ? undefined : (measureParse(value) ?? undefined))
    const [least, most] = [limit(row.least), limit(row.most)]
    const measure: TestMeasure = {
      what: row.what,
      unit: row.unit,
      ...(least === undefined ? {} : { least }),
      ...(most === undefined ? {} : { most }),
    }
    return { key, text, measure, eachSide, stage }
  })
}

/** What changed from one list to the next, in words for whoever has an open job on the figure; empty when nothing did. */
export function testsChangeSays(before: readonly TestKept[], after: readonly TestKept[]): string {
  const old = new Map(before.map((test) => [test.key, test]))
  const now = new Map(after.map((test) => [test.key, test]))
  const facts = ({ measure, eachSide, stage }: TestKept) => JSON.stringify([measure ?? null, eachSide, stage])
  const named = (says: string, tests: readonly TestKept[]) =>
    tests.length === 0 ? [] : [`${says}: ${tests.map((test) => `“${test.text}”`).join(', ')}`]
  return [
    ...named(
      'new',
      after.filter((test) => !old.has(test.key)),
    ),
    ...named(
      'changed',
      after.filter((test) => old.has(test.key) && facts(old.get(test.key)!) !== facts(test)),
    ),
    ...named(
      'taken out',
      before.filter((test) => !now.has(test.key)),
    ),
  ].join('; ')
}
