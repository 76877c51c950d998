import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { jobOpen } from '../../lib/db/job.ts'
import { jobClose } from '../../lib/db/job-close.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { jobWorkDone } from '../../lib/db/job-words.ts'
import { machineHours, machineMeterNotes, machineRead } from '../../lib/db/machine.ts'
import { entryRead } from '../../lib/db/service-book.ts'
import type { WriteContext } from '../../lib/db/transaction.ts'
import { HoursInput } from '../../lib/machine/schema.ts'
import { aMachine, aPerson } from '../support/builders.ts'
import { useWorkshop } from '../support/database.ts'

useWorkshop()

let owen = ''
let machineId = 0
let jobId = 0
let writes = 0
const on = (day: string): WriteContext => {
  writes += 1
  return { key: `meter-test-${writes}`, personId: owen, now: new Date(`2026-05-${day}T15:00:00Z`) }
}
const complaint = { complaint: 'squeals at start', kind: 'repair', unsafe: false, positions: [] } as const
const open = (day: string, hours: number, more: { meterReason?: 'meter replaced' } = {}) =>
  jobOpen(on(day), { machineId, ...complaint, positions: [], hours, ...more })
const done = (hours: number) => ({ jobId, cause: 'belt glazed', correction: 'belt renewed', labourMinutes: 35, hours })

beforeAll(async () => {
  owen = await aPerson('Owen Tarrant')
  machineId = await aMachine('M-9')
  await machineHours(on('04'), { machineId, hourTenths: 16_402 })
})

describe('the hour meter, wherever somebody types it', () => {
  test('a job is not opened on a lower figure than the last, and the refusal shows that one and its date', async () => {
    const jobs = await database().job.count()
    await expect(open('06', 1640)).rejects.toMatchObject({
      code: 'machine/meter-below',
      happened: 'The hour meter cannot show 164.0 h: the last reading was 1,640.2 h on 4 May 2026.',
      next: expect.stringContaining('Correct the reading'),
      fields: { hours: 'last reading: 1,640.2 h on 4 May 2026' },
    })
    expect(await database().job.count()).toBe(jobs)
  })

  test('nor on one that the machine cannot have reached since', async () => {
    await expect(open('06', 16_402 + 721)).rejects.toMatchObject({ code: 'machine/meter-jump' })
    ;({ jobId } = await open('06', 16_402 + 720))
    expect(await machineRead(machineId)).toMatchObject({ hourTenths: 17_122, readAt: on('06').now })
  })

  test('a refused reading at closing writes nothing; with its reason it is kept, on the machine and in the service book', async () => {
    await expect(jobWorkDone(on('07'), done(31))).rejects.toMatchObject({ code: 'machine/meter-below' })
    await expect(jobClose(on('07'), done(31), 'GBP')).rejects.toMatchObject({ code: 'machine/meter-below' })
    expect(await jobView(jobId)).toMatchObject({ state: 'open', correction: '', hourTenths: 17_122 })
    const confirmed = { ...done(31), meterReason: 'meter replaced' } as const
    // As the screen sends it: kept first, then closed, with the same figure.
    await jobWorkDone(on('07'), confirmed)
    const { entryId } = await jobClose(on('07'), confirmed, 'GBP')
    const entry = await entryRead(machineId, entryId)
    expect(entry).toMatchObject({ hourTenths: 31, content: { meter: [{ hourTenths: 31, reason: 'meter replaced' }] } })
    expect((await jobView(jobId)).meterNotes).toMatchObject([{ hourTenths: 31, reason: 'meter replaced' }])
    expect(await machineRead(machineId)).toMatchObject({ hourTenths: 31 })
  })

  test('from the new meter on readings go up again, and an ordinary one carries no reason even where one was given', async () => {
    await machineHours(on('08'), { machineId, hourTenths: 58, meterReason: 'meter replaced' })
    expect(await machineMeterNotes(machineId)).toHaveLength(1)
    await expect(machineHours(on('09'), { machineId, hourTenths: 57 })).rejects.toMatchObject({
      code: 'machine/meter-below',
    })
    await machineHours(on('09'), { machineId, hourTenths: 52, meterReason: 'last reading was wrong' })
    expect(await machineMeterNotes(machineId)).toMatchObject([
      { hourTenths: 52, reason: 'last reading was wrong' },
      { hourTenths: 31, reason: 'meter replaced' },
    ])
  })

  test('a reason is one of those that are offered', () => {
    const typed = { machineId: 1, hours: '12.5' }
    expect(HoursInput.parse({ ...typed, meterReason: 'meter replaced' })).toMatchObject({ hourTenths: 125 })
    expect(HoursInput.safeParse({ ...typed, meterReason: 'because' }).success).toBe(false)
  })
})
