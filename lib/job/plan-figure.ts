import type { FigureLine } from '../companion/suggestion.ts'
import type { FigurePosition, StripStepFile } from '../figure/schema.ts'
import type { FigureTest } from './measurement.ts'
import type { TestKept } from './test-list.ts'

/** A parts list line as the plan needs it. */
export interface PlanLine extends FigureLine {
  /** Not sold separately: the item to order instead. */
  orderItem?: string
}

export interface PlanFigure {
  id: number
  number: string
  title: string
  positions: FigurePosition[]
  lines: PlanLine[]
  absentItems: string[]
  strip: { first: string; then: string }[]
  /** Steps of an order that somebody saved, with their notes. */
  stripSteps?: StripStepFile[]
  tests: readonly (FigureTest | TestKept)[]
}

export interface PlanTarget {
  figureId: number
  item: string
  positions: string[]
  quantity: number
  /** The part that goes in, where another one was chosen than the list names. */
  partNumber?: string | undefined
}

export interface PlanStep {
  key: string
  text: string
}
