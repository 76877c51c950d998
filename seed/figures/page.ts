import type { FigureFileInput } from '../../lib/figure/schema.ts'
import { type Sheet, type SheetSpec, sheetDrawn } from '../draw/sheet.ts'

/** One page of the demo's parts books: its drawing, and the figure file that goes with it. */
export interface FigurePage {
  file: FigureFileInput
  svg: string
  sheet: Sheet
}

export interface FigurePageSpec {
  slug: string
  title: string
  number: string
  model: { maker: string; name: string; kind: string }
  positions?: FigureFileInput['positions']
  lines: FigureFileInput['lines']
  /** Item before the arrow comes off before the items after it, as in "19>18>17 16". */
  strip: readonly string[]
  tests: NonNullable<FigureFileInput['tests']>
  drawing: Omit<SheetSpec, 'plate' | 'title'>
}

export function figurePage(spec: FigurePageSpec): FigurePage {
  const sheet = sheetDrawn({
    ...spec.drawing,
    plate: `Fig. ${spec.number}`,
    title: `${spec.model.maker} ${spec.model.name}: ${spec.title}`,
  })
  const round = (value: number) => Math.round(value * 10) / 10
  const file: FigureFileInput = {
    format: 'cotterbook-figure',
    version: 1,
    title: spec.title,
    number: spec.number,
    model: spec.model,
    picture: { file: `${spec.slug}.svg`, width: sheet.width, height: sheet.height },
    positions: spec.positions ?? [],
    callouts: sheet.callouts.map(({ item, at, tips }) => ({
      item,
      x: round(at[0]),
      y: round(at[1]),
      tips: tips.map(([x, y]) => ({ x: round(x), y: round(y) })),
    })),
    lines: spec.lines.map((line) => ({ maker: spec.model.maker, ...line })),
    stripOrder: stripOrderOf(spec.strip),
    tests: spec.tests,
    credit: 'Drawn for Cotterbook; MIT licence.',
  }
  return { file, svg: sheet.svg, sheet }
}

/** "19>18>17 16": 19 comes off before 18, and 18 before both 17 and 16. */
export function stripOrderOf(chains: readonly string[]): { first: string; then: string }[] {
  return chains.flatMap((chain) => {
    const steps = chain.split('>').map((step) => step.trim().split(/\s+/))
    return steps
      .slice(1)
      .flatMap((after, index) => steps[index]!.flatMap((first) => after.map((then) => ({ first, then }))))
  })
}
