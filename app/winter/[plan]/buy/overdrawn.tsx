import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import type { BuyGroup } from '@/lib/winter/buy-list.ts'
import { type BudgetWatch, overdrawnBy } from '@/lib/winter/overdrawn.ts'
import { moneyWords } from '@/lib/winter/words.ts'

interface Props {
  planId: number
  watch: BudgetWatch | null
  groups: readonly BuyGroup[]
  currency: string
}

/** Which cost centres the chosen list would overdraw: a warning, since nothing is held back by it. */
export function Overdrawn({ planId, watch, groups, currency }: Props) {
  const over = watch === null ? [] : overdrawnBy(watch, groups)
  // A place that is always there is read out when words come into it.
  return (
    <div className="no-print" role="status">
      {over.length === 0 ? null : (
        <p className="caution">
          <span aria-hidden="true">▲ </span>With what is ordered and in drafts and this list,{' '}
          {over
            .map(({ code, name, overMinor }) => `${code} ${name} is ${moneyWords(overMinor, currency)} over its budget`)
            .join('; ')}
          . It can be ordered all the same: see the{' '}
          <Link href={paths.winterBudgets(planId)} prefetch={false}>
            budgets
          </Link>
          .
        </p>
      )}
    </div>
  )
}
