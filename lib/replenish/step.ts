/** Rules that may change a number on its way from the arithmetic to the shelf. */
export const STEP_RULES = {
  target: 'smallest that meets the target',
  'least-cost': 'least cost of holding and of machines standing',
  'square-root': 'quantity at which ordering and holding cost the same',
  'no-use': 'no use known, so the smallest that can be ordered',
  'price-break': 'price break that pays',
  'longest-time': 'no more than is used in the longest time that stock is bought for',
  'shelf-life': 'no more than is used before it spoils',
  minimum: 'supplier’s minimum',
  pack: 'whole packs',
  'reorder-point': 'reorder point',
  quantity: 'and one order on top',
  'one-job': 'one job’s worth at least',
  set: 'kept in whole pairs or sets',
} as const

export type StepRule = keyof typeof STEP_RULES

/** One rule that made a number: what came in and what went out, in the unit of the number. `before` is null at the start. */
export interface Step {
  rule: StepRule
  before: number | null
  after: number
}

/** "whole packs: 7 becomes 10" */
export function stepSays({ rule, before, after }: Step, show: (quantity: number) => string): string {
  if (before === null) return `${STEP_RULES[rule]}: ${show(after)}`
  return `${STEP_RULES[rule]}: ${show(before)} becomes ${show(after)}`
}

/** The list of steps as it grows; a rule that changes nothing leaves no step. */
export class Steps {
  readonly list: Step[] = []
  private now = 0

  begin(rule: StepRule, value: number): number {
    this.list.push({ rule, before: null, after: value })
    this.now = value
    return value
  }

  to(rule: StepRule, value: number): number {
    if (value !== this.now) this.list.push({ rule, before: this.now, after: value })
    this.now = value
    return value
  }
}
