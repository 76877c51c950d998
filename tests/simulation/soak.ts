import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { databaseClose } from '../../lib/db/client.ts'
import { workshopVerify } from '../../lib/db/verify.ts'
import { guardsOf, migrationsRead } from '../../prisma/engine.ts'
import { migrateDeploy } from '../../prisma/migrate.ts'
import { WorkshopRun } from './workshop-run.ts'

const USAGE = `npm run soak -- [--steps 100000] [--seed winter]

A random workshop of so many requests in a folder of its own, each answer and now and then everything kept held against a plain
model in memory; at the end the proof of \`verify\`. A line of progress every hundredth of the way. Ends with 1 at the first
difference and says seed and step: the same seed gives the same workshop.`

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      steps: { type: 'string', default: '100000' },
      seed: { type: 'string', default: 'winter' },
      help: { type: 'boolean', default: false },
    },
  })
  if (values.help) {
    console.info(USAGE)
    return
  }
  const steps = Number(values.steps)
  if (!Number.isInteger(steps) || steps < 100) throw new Error('--steps must be a whole number from 100')
  const folder = mkdtempSync(join(tmpdir(), 'cotterbook-soak-'))
  process.env.DATA_DIR = folder
  delete process.env.DATABASE_URL
  try {
    await migrateDeploy(join(folder, 'cotterbook.db'))
    const run = new WorkshopRun(values.seed)
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
  } finally {
    await databaseClose()
    rmSync(folder, { recursive: true, force: true })
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
