import { moneyFormat } from '../measure/money.ts'
import { type CentreNeed, lineShares } from './share.ts'

/** Money of a season by where it stands, minor units. */
export interface Committed {
  /** Still on the list to buy. */
  planned: number
  /** In drafts of the plan that wait to be approved or sent. */
  drafts: number
  onOrder: number
  received: number
}

/** A line of the list or of an order: what is paid, and where the money stands. */
export interface BudgetLine extends Committed {
  partId: number
  quantity: number
}

export interface CentreRow extends Committed {
  /** Null: machines without a cost centre, and what no machine is known to need. */
  centreId: number | null
  /** Null: nobody has set one. */
  budgetMinor: number | null
  /** Of the budget when all that is planned, drafted, ordered and received is paid; negative: overdrawn. Null without a budget. */
  leftMinor: number | null
}

const KINDS = ['planned', 'drafts', 'onOrder', 'received'] as const

/** By part and cost centre what is needed; `needsOf` answers one need a centre, in the order of `centreIds`. */
export type NeedsOf = (line: BudgetLine) => readonly CentreNeed[]

/**
 * What each cost centre pays of the lines of a season, set against its budget. `centreIds` ends with null, who pays what no
 * centre needs. Every column adds up to its lines exactly.
 */
export function budgetRows(
  centreIds: readonly (number | null)[],
  lines: readonly BudgetLine[],
  needsOf: NeedsOf,
  budgets: ReadonlyMap<number, number>,
): CentreRow[] {
  const sums = centreIds.map((): Committed => ({ planned: 0, drafts: 0, onOrder: 0, received: 0 }))
  for (const line of lines) {
    const needs = needsOf(line)
    for (const kind of KINDS)
      for (const [at, share] of lineShares({ quantity: line.quantity, amountMinor: line[kind] }, needs).entries())
        sums[at]![kind] += share
  }
  return sums.map((sum, at) => {
    const centreId = centreIds[at]!
    const budgetMinor = centreId === null ? null : (budgets.get(centreId) ?? null)
    const bound = sum.planned + sum.drafts + sum.onOrder + sum.received
    return { centreId, ...sum, budgetMinor, leftMinor: budgetMinor === null ? null : budgetMinor - bound }
  })
}

/** "£120.00 left"; "▲ £30.00 over its budget". */
export function leftSays({ leftMinor }: Pick<CentreRow, 'leftMinor'>, currency: string): string {
  if (leftMinor === null) return 'no budget'
  if (leftMinor === 0) return 'all of it is bound'
  return leftMinor > 0
    ? `${moneyFormat(leftMinor, currency)} left`
    : `${moneyFormat(-leftMinor, currency)} over its budget`
}
