'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { machineAdd } from '@/lib/db/machine.ts'
import { MachineAddInput } from '@/lib/machine/schema.ts'

export const addMachine = action({
  right: 'catalogue.import',
  schema: MachineAddInput,
  run: machineAdd,
  kind: 'machine.add',
  then: ({ machineId }) => ({ redirect: paths.machine(machineId) }),
})
