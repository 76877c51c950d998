import fc from 'fast-check'
import { beforeAll, describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { servicesOf } from '../../lib/db/service-due.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { type ServiceDue, serviceDue } from '../../lib/service/due.ts'
import { aMachine, aPerson } from '../support/builders.ts'
import { useWorkshop } from '../support/database.ts'

useWorkshop()

const TODAY = '2026-11-10'
const DAY_MS = 86_400_000
/** A year before today, to the minute: the border of what tells a machine's trend. */
const YEAR_BEFORE = Date.parse('2025-11-10T00:00:00Z')

let nell = ''
let number = 0
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
})

interface Told {
  days: number
  hours: number
  reason: 'meter replaced' | 'last reading was wrong' | null
}

/** Readings as a shed keeps them: hours rise, but where a meter was replaced, or the reading before was wrong. */
const Readings = fc.array(
  fc.record<Told>({
    // Often on the border of the year, and two at the same moment.
    days: fc.oneof(fc.constantFrom(0, -1, 364), fc.integer({ min: -700, max: 364 })),
    hours: fc.integer({ min: 0, max: 400 }),
    reason: fc.oneof(
      { arbitrary: fc.constant(null), weight: 12 },
      { arbitrary: fc.constantFrom('meter replaced' as const, 'last reading was wrong' as const), weight: 1 },
    ),
  }),
  { maxLength: 14 },
)
const Done = fc.array(fc.integer({ min: -700, max: 360 }), { maxLength: 4 })

const instantOf = (days: number) => new Date(YEAR_BEFORE + days * DAY_MS)

async function machineTold(told: Told[], done: number[]) {
  const machineId = await aMachine()
  return inTransaction(async (tx) => {
    const { modelId } = await tx.machine.findUniqueOrThrow({ where: { id: machineId } })
    let shown = 0
    const readings = told
      .toSorted((a, b) => a.days - b.days)
      .map(({ days, hours, reason }) => {
        shown = reason === null ? shown + hours : hours
        return { machineId, at: instantOf(days), hourTenths: shown * 10, reason }
      })
    // A service is closed with what the meter shows.
    const shownAt = (days: number) => readings.findLast((one) => one.at <= instantOf(days))?.hourTenths ?? 0
    for (const data of readings) await tx.hourReading.create({ data })
    const every = { everyTenths: 2_500, everyMonths: 12, toleranceTenths: 250, toleranceDays: 30 }
    const schedule = await tx.serviceSchedule.create({ data: { modelId, name: 'Winter', nameKey: 'winter', ...every } })
    await tx.serviceSchedule.create({
      data: { modelId, name: 'Old', nameKey: 'old', everyMonths: 1, retiredAt: instantOf(0) },
    })
    for (const days of done) {
      number += 1
      const job = await tx.job.create({
        data: {
          number,
          machineId,
          state: 'closed',
          kind: 'service',
          complaint: 'x',
          openedAt: instantOf(days),
          openedById: nell,
        },
      })
      const row = { scheduleId: schedule.id, machineId, jobId: job.id, at: instantOf(days), hourTenths: shownAt(days) }
      await tx.serviceDone.create({ data: row })
    }
    const last = done.toSorted((a, b) => a - b).at(-1)
    const lastDone = last === undefined ? null : { at: instantOf(last), hourTenths: shownAt(last) }
    return { machineId, due: serviceDue({ every, last: lastDone, readings, today: TODAY }) }
  })
}

describe('the due list of a fleet', () => {
  it('reads few of the readings and says the same as all of them, wherever a meter was replaced or a reading was wrong', async () => {
    const expected = new Map<number, ServiceDue>()
    await fc.assert(
      fc.asyncProperty(Readings, Done, async (told, done) => {
        const { machineId, due } = await machineTold(told, done)
        expected.set(machineId, due)
        expect(await servicesOf(TODAY, machineId)).toMatchObject([{ name: 'Winter', due }])
      }),
      { numRuns: 60 },
    )
    const list = await servicesOf(TODAY)
    expect(list.length).toBeGreaterThanOrEqual(60)
    expect(new Map(list.map((one) => [one.machine.id, one.due]))).toEqual(expected)
    // The machines above are no good unless every answer of the list occurs among them.
    expect(new Set(list.map((one) => one.due.state)).size).toBe(5)
    expect(list.some((one) => one.due.perDay === null) && list.some((one) => one.due.perDay !== null)).toBe(true)
  })

  it('asks the index of reasons which machines have an odd reading, not every reading of the fleet', async () => {
    const plan = await database().$queryRawUnsafe<{ detail: string }[]>(
      `EXPLAIN QUERY PLAN SELECT o."machineId" FROM "HourReading" o WHERE o."reason" >= ''`,
    )
    expect(plan.map(({ detail }) => detail).join()).toMatch(/SEARCH o USING .*INDEX .*reason/)
  })
})
