'use server'

import { action } from '@/app/_server/action.ts'
import { CentreBudgetInput } from '@/lib/cost-centre/schema.ts'
import { centreBudgetSet } from '@/lib/db/cost-centre.ts'

export const setBudget = action({
  right: 'budget.keep',
  schema: CentreBudgetInput,
  run: centreBudgetSet,
  then: (_, { budget }) => ({ says: budget === null ? 'It has no budget any more.' : 'Budget kept.' }),
})
