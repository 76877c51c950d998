import { expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { figureRead } from '../../lib/db/figure.ts'
import { machinesOfFigure } from '../../lib/db/figure-browse.ts'
import { machineRead } from '../../lib/db/machine.ts'
import { searchWorkshop } from '../search/workshop.ts'
import { aMachine } from '../support/builders.ts'
import { useWorkshop } from '../support/database.ts'

useWorkshop()

test('a figure is not shown for a machine whose parts book has no such figure, and the machines that have it are offered', async () => {
  const { figureId, modelId, machineId, otherMachineId } = await searchWorkshop()
  const strange = await aMachine('Q-77', 'QQ 5')
  const read = async (machine: number) =>
    figureRead(figureId, { modelId, machine: await machineRead(machine), serialNumber: 'TB1500' })
  await expect(read(strange)).rejects.toMatchObject({
    code: 'figure/other-model',
    status: 422,
    happened: expect.stringContaining('Q-77'),
  })
  expect((await read(machineId)).number).toBe('5-04')
  expect((await machinesOfFigure(figureId)).map(({ id }) => id).sort()).toEqual([machineId, otherMachineId].sort())

  // Where the other model has the figure too, it is its own number in its own book that is shown.
  const { model } = await machineRead(strange)
  await database().figureOfModel.create({ data: { figureId, modelId: model.id, number: '9-01', numberKey: '901' } })
  expect((await read(strange)).number).toBe('9-01')
  expect((await machinesOfFigure(figureId)).map(({ fleetNumber }) => fleetNumber)).toContain('Q-77')
})
