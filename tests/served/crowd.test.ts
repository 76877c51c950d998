import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { database, databaseClose } from '../../lib/db/client.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { workshopVerify } from '../../lib/db/verify.ts'
import { guardsOf, migrationsRead } from '../../prisma/engine.ts'
import { crowdFaults, crowdWork } from '../simulation/served-run.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { cookieOf, type Served, servedStart } from '../support/served.ts'

/** `npm run soak` does the same with 64 clients of 200 bookings. */
const CLIENTS = 24
const BOOKINGS = 12

const workshop = useWorkshop()
const running: Served[] = []
let cookies: string[] = []
let nell = ''
beforeAll(async () => {
  await database().$queryRawUnsafe('PRAGMA journal_mode=WAL')
  nell = await aPerson('Nell Farrow')
  cookies = [await cookieOf(nell, ['storekeeper']), await cookieOf(await aPerson('Owen Tarrant'), ['storekeeper'])]
}, 60_000)
afterAll(async () => {
  for (const served of running) await served.kill()
})

test('many clients of two served processes book everything at once: nothing breaks, nothing acknowledged is lost, verify holds', async () => {
  const place = {
    parts: [await aPart(), await aPart(), await aPart({ unit: 'litre' })],
    bins: [await aBin(), await aBin(), await aBin()],
  }
  for (const partId of place.parts)
    await stockReceive(asWriter(nell), { partId, binId: place.bins[0]!, quantity: 20, costMinor: 700 })
  await databaseClose()
  running.push(await servedStart(workshop.folder), await servedStart(workshop.folder))
  const report = await crowdWork({
    origins: running.map((served) => served.origin),
    cookies,
    clients: CLIENTS,
    bookings: BOOKINGS,
    place,
    seed: 'winter',
  })
  expect([...report.statuses.keys()].filter((status) => status === 500 || status === 0)).toEqual([])
  expect(report.acknowledged.size + report.refused.size).toBe(CLIENTS * BOOKINGS)
  expect(report.acknowledged.size).toBeGreaterThan(CLIENTS)
  expect(report.refused.size).toBeGreaterThan(CLIENTS)
  expect(await crowdFaults('winter', report)).toEqual([])
  const migrations = migrationsRead()
  const { checks } = await workshopVerify({
    picturesDir: join(workshop.folder, 'pictures'),
    documentsDir: join(workshop.folder, 'documents'),
    pagesDir: join(workshop.folder, 'pages'),
    guards: guardsOf(migrations),
    migrations: migrations.map((one) => one.name),
  })
  expect(checks.filter((check) => !check.ok)).toEqual([])
}, 300_000)
