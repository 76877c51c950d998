import { expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { machineAdd } from '../../lib/db/machine.ts'
import { aMachine, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

test('a machine new to the fleet keeps its serial number, and its fleet number is its own', async () => {
  const nell = await aPerson('Nell')
  const { modelId } = await database().machine.findUniqueOrThrow({ where: { id: await aMachine('M-07') } })
  const { machineId } = await machineAdd(asWriter(nell), {
    modelId,
    fleetNumber: 'M-08',
    name: 'Mower',
    serialNumber: '1499',
  })
  expect(await database().machine.findUnique({ where: { id: machineId } })).toMatchObject({
    fleetNumber: 'M-08',
    serialNumber: '1499',
    year: null,
  })
  await expect(machineAdd(asWriter(nell), { modelId, fleetNumber: 'm 08', name: 'Another' })).rejects.toMatchObject({
    code: 'machine/fleet-taken',
    happened: 'Fleet number m 08 belongs to Mower already.',
  })
  await expect(machineAdd(asWriter(nell), { modelId, fleetNumber: '--', name: 'Another' })).rejects.toMatchObject({
    code: 'input/invalid',
  })
})
