import { beforeAll, expect, test } from 'vitest'
import { bookWhole } from '../../lib/db/book-whole.ts'
import { jobOpen } from '../../lib/db/job.ts'
import { entryCorrect, jobClose } from '../../lib/db/job-close.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let nell = ''
let machines: number[] = []
const on = (day: string) => asWriter(nell, { now: new Date(`${day}T10:00:00Z`) })

beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  machines = await inTransaction(async (tx) => {
    const model = await tx.machineModel.create({
      data: { maker: 'Dunmarrow', name: 'T6', key: 'dunmarrow/t6', kind: 'trailer' },
    })
    const ids = []
    for (const fleetNumber of ['T-07', 'T-08'])
      ids.push(
        (await tx.machine.create({ data: { modelId: model.id, fleetNumber, fleetKey: fleetNumber, name: 'Trailer' } }))
          .id,
      )
    return ids
  })
})

async function worked(machineId: number, day: string, complaint: string): Promise<number> {
  const open = { machineId, complaint, kind: 'repair' as const, hours: null, unsafe: false, positions: [] }
  const { jobId } = await jobOpen(on(day), open)
  const done = { jobId, cause: '', correction: `${complaint}, put right`, labourMinutes: 0, hours: null }
  return (await jobClose(on(day), done, 'GBP')).entryId
}

test('each entry comes once, newest first, with its corrections under it, those of a correction too', async () => {
  const [t07, t08] = machines as [number, number]
  const old = await worked(t07, '2025-03-01', 'tail lamp dark')
  const young = await worked(t07, '2025-05-01', 'tailgate jams')
  const other = await worked(t08, '2025-04-01', 'drawbar eye worn')
  const first = (await entryCorrect(on('2025-06-01'), { entryId: old, text: 'the left lamp' }, 'GBP')).entryId
  const second = (await entryCorrect(on('2025-06-02'), { entryId: first, text: 'no, both lamps' }, 'GBP')).entryId
  const said = async (question: Partial<Parameters<typeof bookWhole>[0]>) =>
    (await bookWhole({ said: '', machineId: null, from: null, to: null, ...question }, 100)).map(
      ({ entry, corrections }) => [entry.id, corrections.map((one) => one.id)],
    )
  expect(await said({})).toEqual([
    [young, []],
    [other, []],
    [old, [first, second]],
  ])
  expect(await said({ machineId: t08 })).toEqual([[other, []]])
  // Only the corrections were written in June: they come under the entry of March that they put right.
  expect(await said({ from: '2025-06-01' })).toEqual([[old, [first, second]]])
  // Only the entry was written in March: what was put right since is not hidden.
  expect(await said({ to: '2025-03-31' })).toEqual([[old, [first, second]]])
  expect(await said({ said: 'tailgate' })).toEqual([[young, []]])
})
