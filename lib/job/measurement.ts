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

/** A test of a figure: words, or words with a measurement. */
export const FigureTest = z.union([
  z.string().trim().min(1).max(200),
  z.strictObject({ text: z.string().trim().min(1).max(200), measure: TestMeasure }),
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
