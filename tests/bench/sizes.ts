export interface Sizes {
  models: number
  figures: number
  lines: number
  parts: number
  movements: number
}

/** A part of the generated parts book. */
export interface PartRow {
  id: number
  number: string
  description: string
}

export const LINES_PER_FIGURE = 25
/** The workshop has worked so long. */
export const DAYS = 1_095

/** Scale 1 is the data set of the bars: 1,000 models, 20,000 figures, 500,000 lines, 200,000 parts, 2,000,000 movements. */
export function sizesAt(scale: number): Sizes {
  const of = (count: number) => Math.max(1, Math.round(count * scale))
  const figures = of(20_000)
  return {
    models: of(1_000),
    figures,
    lines: figures * LINES_PER_FIGURE,
    parts: of(200_000),
    movements: of(2_000_000),
  }
}

const START = Date.UTC(2023, 0, 2)

/** An instant as the adapter stores it. */
export function instant(day: number): string {
  return new Date(START + day * 86_400_000).toISOString().replace('Z', '+00:00')
}
