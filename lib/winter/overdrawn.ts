import { type BudgetLine, budgetRows } from '../cost-centre/budget.ts'
import { type CentreNeed, sharesWhole } from '../cost-centre/share.ts'
import type { BuyGroup } from './buy-list.ts'

/** What a list still buys, its carriage with the lines of its order as they cost. */
export function listedLines(groups: readonly BuyGroup[]): BudgetLine[] {
  return groups.flatMap(({ lines, carriageMinor }) => {
    const carriage = sharesWhole(
      carriageMinor,
      lines.map(({ costMinor }) => costMinor),
    )
    return lines.map(({ part, quantity, costMinor }, at) => ({
      partId: part.partId,
      quantity,
      planned: costMinor + carriage[at]!,
      ...{ drafts: 0, onOrder: 0, received: 0 },
    }))
  })
}

/** What it takes to say while a slider moves which cost centres a list overdraws. Money in minor units. */
export interface BudgetWatch {
  /** The last is whoever pays where nobody is known. `boundMinor` is in drafts, on order and received. */
  centres: { id: number | null; code: string; name: string; budgetMinor: number | null; boundMinor: number }[]
  /** By part what each of the centres needs. */
  needs: [partId: number, needs: CentreNeed[]][]
}

export interface Overdrawn {
  code: string
  name: string
  overMinor: number
}

/** The cost centres whose budget is passed by what is bound and by this list together. */
export function overdrawnBy({ centres, needs }: BudgetWatch, groups: readonly BuyGroup[]): Overdrawn[] {
  const byPart = new Map(needs)
  const nothing = centres.map(() => ({ certain: 0, mean: 0 }))
  const rows = budgetRows(
    centres.map(({ id }) => id),
    listedLines(groups),
    ({ partId }) => byPart.get(partId) ?? nothing,
    new Map(),
  )
  return centres.flatMap(({ code, name, budgetMinor, boundMinor }, at) => {
    const over = budgetMinor === null ? 0 : boundMinor + rows[at]!.planned - budgetMinor
    return over > 0 ? [{ code, name, overMinor: over }] : []
  })
}
