import { z } from 'zod'

/**
 * What a test measures and between which limits, as somebody entered it from the maker's manual: the manual rules, and a
 * figure without limits measures nothing.
 */
export const TestMeasure = z
  .strictObject({
    what: z.string().trim().min(2).max(80),
    unit: z.string().trim().min(1).max(12),
    least: z.number().min(-100_000).max(100_000).optional(),
    most: z.number().min(-100_000).max(100_000).optional(),
  })
  .refine(({ least, most }) => least !== undefined || most !== undefined, {
    message: 'give the least, the most or both',
  })
  .refine(({ least, most }) => least === undefined || most === undefined || least <= most, {
    message: 'the least is above the most',
  })
export type TestMeasure = z.infer<typeof TestMeasure>

/** When a test is done: before the machine is released, or once it has run under load. */
export const TEST_STAGES = ['release', 'after-run'] as const
export type TestStage = (typeof TEST_STAGES)[number]

/** A test of a figure: words, or words with what is measured, where and when. lib/job/test-list.ts says what is left out. */
export const FigureTest = z.union([
  z.string().trim().min(1).max(200),
  z.strictObject({
    text: z.string().trim().min(1).max(200),
    measure: TestMeasure.optional(),
    /** Done at each side by itself; left out, only where something is measured. */
    eachSide: z.boolean().optional(),
    stage: z.enum(TEST_STAGES).optional(),
  }),
])
export type FigureTest = z.infer<typeof FigureTest>

/** A value on the limit is inside: the manual says "at least" and "at most". */
export function measurePasses({ least, most }: TestMeasure, value: number): boolean {
  return (least === undefined || value >= least) && (most === undefined || value <= most)
}

/** `4 mm or more`, `3 mm or less`, `18 to 22 mm`. */
export function measureLimitsSay({ unit, least, most }: TestMeasure): string {
  if (least !== undefined && most !== undefined) return `${least} to ${most} ${unit}`
  return least === undefined ? `${most} ${unit} or less` : `${least} ${unit} or more`
}

/** A measured value as typed, with a point or a comma: 4.2, 4,2; null when it is no number. */
export function measureParse(typed: string): number | null {
  const match = /^\s*([+-]?\d{1,6})(?:[.,](\d{1,4}))?\s*$/.exec(typed)
  return match ? Number(`${match[1]}.${match[2] ?? '0'}`) : null
}

export function measureRead(json: string | null): TestMeasure | null {
  return json === null ? null : TestMeasure.parse(JSON.parse(json))
}

/** A tick or a value on an open job, as far as limits have a say in it. */
interface Measured {
  state: string
  measured: number | null
  note: string | null
}

/**
 * A test of an open job whose limits were changed: what was measured is held against the new ones. Inside it is done; outside it
 * is open again, whatever reason was given for the old limits. A value of another thing, or in another unit, says nothing.
 */
export function measuredAnew(
  check: Measured,
  before: TestMeasure | null,
  now: TestMeasure | null,
): Pick<Measured, 'state' | 'measured' | 'note'> {
  const { state, measured, note } = check
  const facts = (measure: TestMeasure | null) => [measure?.what, measure?.unit, measure?.least, measure?.most].join()
  if (facts(before) === facts(now) || now === null || state === 'not-applicable') return { state, measured, note }
  if (measured === null || before?.what !== now.what || before.unit !== now.unit)
    return { state: 'open', measured: null, note: null }
  return { state: measurePasses(now, measured) ? 'done' : 'open', measured, note: null }
}
