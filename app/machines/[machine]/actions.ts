'use server'

import { action } from '@/app/_server/action.ts'
import { machineHours, machineState } from '@/lib/db/machine.ts'
import { secretConfirm } from '@/lib/db/secret-confirm.ts'
import { HoursInput, StateForm } from '@/lib/machine/schema.ts'

export const readHours = action({
  right: 'machine.hours',
  schema: HoursInput,
  run: machineHours,
  then: () => ({ says: 'Written down.' }),
})

export const setState = action({
  right: 'machine.state',
  schema: StateForm,
  run: async (context, { secret, ...input }) =>
    machineState(context, input, secret ? await secretConfirm(context.personId, secret, context.now) : null),
})
