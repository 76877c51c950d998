'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { CentreIdInput, CentreInput, CentreMachinesInput } from '@/lib/cost-centre/schema.ts'
import { costCentreClose, costCentreMachines, costCentreSave } from '@/lib/db/cost-centre.ts'

const right = 'budget.keep'

export const addCentre = action({
  right,
  schema: CentreInput,
  run: costCentreSave,
  then: ({ centreId }) => ({ redirect: paths.costCentre(centreId) }),
})

export const saveCentre = action({ right, schema: CentreInput, run: costCentreSave, then: () => ({ says: 'Kept.' }) })

export const closeCentre = action({
  right,
  schema: CentreIdInput,
  run: costCentreClose,
  then: ({ isClosed }) => ({ says: isClosed ? 'The cost centre is closed.' : 'The cost centre is open again.' }),
})

export const setMachines = action({
  right,
  schema: CentreMachinesInput,
  run: costCentreMachines,
  then: () => ({ says: 'Kept.' }),
})
