'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { FigureAttachInput } from '@/lib/catalogue/schema.ts'
import { machineAdd } from '@/lib/db/machine.ts'
import { figureAttach } from '@/lib/db/model-figure.ts'
import { MachineAddInput } from '@/lib/machine/schema.ts'

export const addMachine = action({
  right: 'catalogue.import',
  schema: MachineAddInput,
  run: machineAdd,
  kind: 'machine.add',
  then: ({ machineId }) => ({ redirect: paths.machine(machineId) }),
})

export const attachFigure = action({
  right: 'catalogue.import',
  schema: FigureAttachInput,
  run: figureAttach,
  kind: 'figure.attach',
  then: ({ modelId, figureId }) => ({ redirect: paths.figure(modelId, figureId) }),
})
