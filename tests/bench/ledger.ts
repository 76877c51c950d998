import { fork } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { performance } from 'node:perf_hooks'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { databaseClose } from '../../lib/db/client.ts'
import { workshopVerify } from '../../lib/db/verify.ts'
import { guardsOf, migrationsRead } from '../../prisma/engine.ts'
import { migrateDeploy } from '../../prisma/migrate.ts'
import { ledgerGenerate } from './generate-ledger.ts'

const USAGE = `node --import tsx tests/bench/ledger.ts [--movements 1000000] [--folder FOLDER]

Makes a shelf with a ledger of so many movements, every kind among them, and measures what reads all of it, each step in a
process of its own so that its memory is its own. Prints seconds of the clock and of the processor, and the most memory,
beside the bars; ends with 1 when one is above its bar. With --folder the data set is kept there and used again.`

interface Measured {
  seconds: number
  processorSeconds: number
  megabytes: number
  says: string
}

interface Step {
  name: string
  bar: { seconds: number; megabytes: number | null }
  run: (folder: string) => Promise<string>
}

const STEPS: readonly Step[] = [{ name: 'verify', bar: { seconds: 60, megabytes: 500 }, run: verify }]

async function verify(folder: string): Promise<string> {
  const migrations = migrationsRead()
  const report = await workshopVerify({
    picturesDir: join(folder, 'pictures'),
    documentsDir: join(folder, 'documents'),
    pagesDir: join(folder, 'pages'),
    guards: guardsOf(migrations),
    migrations: migrations.map((one) => one.name),
  })
  const wrong = report.checks.filter((check) => !check.ok)
  if (wrong.length > 0) throw new Error(`the data set does not hold: ${wrong[0]!.name}: ${wrong[0]!.faults[0]}`)
  return `${report.checks.length} checks hold`
}

async function stepRun(step: Step, folder: string): Promise<Measured> {
  const before = process.cpuUsage()
  const began = performance.now()
  const says = await step.run(folder)
  const seconds = (performance.now() - began) / 1000
  const { user, system } = process.cpuUsage(before)
  await databaseClose()
  return {
    seconds,
    processorSeconds: (user + system) / 1e6,
    megabytes: process.resourceUsage().maxRSS / 1024,
    says,
  }
}

function inChild(name: string, folder: string): Promise<Measured> {
  return new Promise((resolve, reject) => {
    const child = fork(fileURLToPath(import.meta.url), ['--step', name, '--folder', folder], {
      execArgv: ['--import', 'tsx'],
      env: { ...process.env, DATA_DIR: folder },
    })
    child.once('message', (measured) => resolve(measured as Measured))
    child.once('exit', (code) => reject(new Error(`step ${name} ended with ${code}`)))
  })
}

async function dataSet(folder: string, movements: number): Promise<void> {
  const file = join(folder, 'cotterbook.db')
  mkdirSync(folder, { recursive: true })
  if (statSync(file, { throwIfNoEntry: false })) return
  console.info(`Making a ledger of ${movements.toLocaleString('en')} movements ...`)
  await migrateDeploy(file)
  await ledgerGenerate(file, movements)
}

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      movements: { type: 'string', default: '1000000' },
      folder: { type: 'string' },
      step: { type: 'string' },
      help: { type: 'boolean', default: false },
    },
  })
  if (values.help) {
    console.info(USAGE)
    return
  }
  if (values.step !== undefined) {
    const step = STEPS.find((one) => one.name === values.step)!
    process.send?.(await stepRun(step, values.folder!))
    return
  }
  const movements = Number(values.movements)
  if (!Number.isInteger(movements) || movements < 1000) throw new Error('--movements must be a whole number from 1000')
  const folder = values.folder ?? mkdtempSync(join(tmpdir(), 'cotterbook-ledger-'))
  process.env.DATA_DIR = folder
  delete process.env.DATABASE_URL
  try {
    await dataSet(folder, movements)
    for (const { name, bar } of STEPS) {
      const { seconds, processorSeconds, megabytes, says } = await inChild(name, folder)
      const within = seconds <= bar.seconds && (bar.megabytes === null || megabytes <= bar.megabytes)
      if (!within) process.exitCode = 1
      console.info(
        `${name.padEnd(34)} ${seconds.toFixed(2)} s (bar ${bar.seconds}), processor ${processorSeconds.toFixed(2)} s, ${megabytes.toFixed(0)} MB${bar.megabytes === null ? '' : ` (bar ${bar.megabytes})`}, ${says}${within ? '' : '  ABOVE'}`,
      )
    }
  } finally {
    if (values.folder === undefined) rmSync(folder, { recursive: true, force: true })
  }
}

await main().catch((error: unknown) => {
  console.error(error instanceof Error ? error.message : error)
  process.exitCode = 1
})
