import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { databaseClose } from '../../lib/db/client.ts'
import { workshopVerify } from '../../lib/db/verify.ts'
import { guardsOf, migrationsRead } from '../../prisma/engine.ts'
import { migrateDeploy } from '../../prisma/migrate.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { cookieOf, servedStart } from '../support/served.ts'
import { crowdFaults, crowdWork } from './served-run.ts'
import { WorkshopRun } from './workshop-run.ts'

const USAGE = `npm run soak -- [--steps 100000] [--seed winter] [--clients 64] [--bookings 200]

A random workshop of so many requests in a folder of its own, each answer and now and then everything kept held against a plain
model in memory; at the end the proof of \`verify\`. A line of progress every hundredth of the way. Ends with 1 at the first
difference and says seed and step: the same seed gives the same workshop. Then so many clients of two served processes book at
once, over HTTP (the screens must be built; 0 clients leaves this out): no answer 500, nothing acknowledged lost, verify holds.`

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      steps: { type: 'string', default: '100000' },
      seed: { type: 'string', default: 'winter' },
      clients: { type: 'string', default: '64' },
      bookings: { type: 'string', default: '200' },
      help: { type: 'boolean', default: false },
    },
  })
  if (values.help) {
    console.info(USAGE)
    return
  }
  const steps = Number(values.steps)
  if (!Number.isInteger(steps) || steps < 100) throw new Error('--steps must be a whole number from 100')
  await inFolder((folder) => alone(folder, steps, values.seed))
  const [clients, bookings] = [Number(values.clients), Number(values.bookings)]
  if (clients > 0) await inFolder((folder) => crowd(folder, { clients, bookings, seed: values.seed }))
}

/** Runs in a migrated workshop of its own and takes it away. */
async function inFolder(run: (folder: string) => Promise<void>): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'cotterbook-soak-'))
  process.env.DATA_DIR = folder
  delete process.env.DATABASE_URL
  try {
    await migrateDeploy(join(folder, 'cotterbook.db'))
    await run(folder)
  } finally {
    await databaseClose()
    rmSync(folder, { recursive: true, force: true })
  }
}

async function alone(folder: string, steps: number, seed: string): Promise<void> {
  const run = new WorkshopRun(seed)
  await run.open()
  const began = Date.now()
  const each = Math.max(1, Math.floor(steps / 100))
  const report = await run.work(steps, (step) => {
    if (step % each === 0)
      console.info(`${step} of ${steps} requests, ${Math.round((Date.now() - began) / 1000)} s, no difference`)
  })
  await verified(folder)
  for (const [name, times] of [...report.answered].sort()) console.info(`${String(times).padStart(8)}  ${name}`)
  console.info(`${report.steps} requests, ${report.movements} movements: no difference, and verify holds`)
}

async function crowd(folder: string, wish: { clients: number; bookings: number; seed: string }): Promise<void> {
  const [nell, owen] = [await aPerson('Nell Farrow'), await aPerson('Owen Tarrant')]
  const cookies = [await cookieOf(nell, ['storekeeper']), await cookieOf(owen, ['storekeeper'])]
  const parts: number[] = []
  const bins: number[] = []
  for (let at = 0; at < 8; at++) parts.push(await aPart({ unit: at % 4 === 3 ? 'litre' : 'each' }))
  for (let at = 0; at < 5; at++) bins.push(await aBin())
  await databaseClose()
  const served = [await servedStart(folder), await servedStart(folder)]
  try {
    const all = wish.clients * wish.bookings
    const each = Math.max(1, Math.floor(all / 50))
    const report = await crowdWork({
      ...wish,
      origins: served.map((one) => one.origin),
      cookies,
      place: { parts, bins },
      told: (done) => {
        if (done % each === 0) console.info(`${done} of ${all} bookings by ${wish.clients} clients`)
      },
    })
    for (const [status, times] of [...report.statuses].sort())
      console.info(`${String(times).padStart(8)}  status ${status}`)
    const faults = await crowdFaults(wish.seed, report)
    if ((report.statuses.get(500) ?? 0) > 0) faults.push(`${report.statuses.get(500)} answers were 500`)
    const unanswered = all - report.acknowledged.size - report.refused.size
    if (unanswered > 0) faults.push(`${unanswered} bookings were never answered`)
    if (faults.length > 0) throw new Error(faults.slice(0, 20).join('\n'))
    await verified(folder)
    console.info(`${report.acknowledged.size} booked, ${report.refused.size} refused, none lost, and verify holds`)
  } finally {
    for (const one of served) await one.kill()
  }
}

async function verified(folder: string): Promise<void> {
  const migrations = migrationsRead()
  const { checks } = await workshopVerify({
    picturesDir: join(folder, 'pictures'),
    documentsDir: join(folder, 'documents'),
    pagesDir: join(folder, 'pages'),
    guards: guardsOf(migrations),
    migrations: migrations.map((one) => one.name),
  })
  const wrong = checks.find((check) => !check.ok)
  if (wrong) throw new Error(`verify: ${wrong.name}: ${wrong.faults[0]}`)
}

await main().catch((error: unknown) => {
  console.error(error instanceof Error ? error.message : error)
  process.exitCode = 1
})
