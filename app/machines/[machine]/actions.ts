'use server'

import { action } from '@/app/_server/action.ts'
import { machineHours, machineState } from '@/lib/db/machine.ts'
import { HoursInput, StateInput } from '@/lib/machine/schema.ts'

export const readHours = action({
  right: 'machine.hours',
  schema: HoursInput,
  run: machineHours,
  then: () => ({ says: 'Written down.' }),
})

export const setState = action({ right: 'machine.state', schema: StateInput, run: machineState })
