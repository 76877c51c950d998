import { fork } from 'node:child_process'
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { performance } from 'node:perf_hooks'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { database, databaseClose } from '../../lib/db/client.ts'
import { countDue } from '../../lib/db/count-due.ts'
import { deadStock } from '../../lib/db/dead-stock.ts'
import { levelRunBeginUnasked, levelRunReckon } from '../../lib/db/level-run.ts'
import { partLedgerPage, partStockLine } from '../../lib/db/part-ledger.ts'
import { stockTableExtent, stockTableRows } from '../../lib/db/stock-table.ts'
import { stockMonths, stockValueOn } from '../../lib/db/stock-value.ts'
import { workshopVerify } from '../../lib/db/verify.ts'
import { randomInteger, randomSeeded } from '../../lib/maths/random.ts'
import { LEAN_NODE_FLAGS, RECKONING_NODE_FLAGS } from '../../lib/node-flags.ts'
import { type TableQuestion, TableQuestionRead } from '../../lib/stock/table.ts'
import type { ValueMethod } from '../../lib/value/summary.ts'
import { guardsOf, migrationsRead } from '../../prisma/engine.ts'
import { migrateDeploy } from '../../prisma/migrate.ts'
import { percentile, timeEach } from './clock.ts'
import { fleetGenerate } from './generate-fleet.ts'
import { ledgerGenerate } from './generate-ledger.ts'

const USAGE = `node --import tsx tests/bench/ledger.ts [--movements 1000000] [--parts 50000] [--only value] [--folder FOLDER]

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
  /** Answers what it found, and its time where that is not the time of the whole step. */
  run: (folder: string) => Promise<string | Timed>
}

interface Timed {
  says: string
  seconds: number
}

const VALUE_BAR = { seconds: 2, megabytes: null }
/** No bars were set for these: a screen that is opened now and then, and a list that is made once a week or a month. */
const TABLE_BAR = { seconds: 1, megabytes: null }
const LIST_BAR = { seconds: 5, megabytes: null }
const NOW = new Date('2026-11-28T12:00:00Z')
/** A day in the middle of the ledger: half of the movements count, all have to be looked at. */
const DAY = '2024-06-30'

const STEPS: readonly Step[] = [
  { name: 'verify', bar: { seconds: 60, megabytes: 500 }, run: verify },
  { name: 'value on a day, moving average', bar: VALUE_BAR, run: () => valueOn(DAY, 'moving-average') },
  { name: 'value at the end, moving average', bar: VALUE_BAR, run: () => valueOn('2030-12-31', 'moving-average') },
  { name: 'value on a day, FIFO', bar: VALUE_BAR, run: () => valueOn(DAY, 'fifo') },
  { name: 'value at the end, FIFO', bar: VALUE_BAR, run: () => valueOn('2030-12-31', 'fifo') },
  { name: 'twelve months', bar: VALUE_BAR, run: months },
  { name: 'ledger page of a part, p95', bar: { seconds: 0.06, megabytes: null }, run: ledgerPage },
  { name: 'stock table opened, p95', bar: TABLE_BAR, run: () => table('all') },
  { name: 'stock table, what is low, p95', bar: TABLE_BAR, run: () => table('low') },
  { name: 'window anywhere in it, p95', bar: { seconds: 0.1, megabytes: null }, run: tableWindow },
  { name: 'bins that are due for a count', bar: LIST_BAR, run: due },
  { name: 'slow and dead stock', bar: LIST_BAR, run: dead },
  // The last one: it puts machines and parts lists beside the ledger, which the steps before are measured without.
  { name: 'levels of all parts', bar: { seconds: 60, megabytes: 1000 }, run: levels },
]

async function valueOn(day: string, method: ValueMethod): Promise<string> {
  const cells = await stockValueOn(day, method)
  const total = cells.reduce((sum, cell) => sum + cell.valueMinor, 0)
  if (total <= 0) throw new Error('the stock is worth nothing: the data set is wrong')
  return `${cells.length} cells, ${total} in all`
}

async function months(): Promise<string> {
  const rows = await stockMonths('2025-06-30', 12)
  return `closing ${rows.at(-1)!.closingMinor}`
}

const PAGES = 200
/** Times of its own: the bar is for one page, not for the step. */
async function ledgerPage(): Promise<Timed> {
  const random = randomSeeded('bench ledger pages')
  const { _max } = await database().part.aggregate({ _max: { id: true } })
  const page = async () => {
    // Those that move most have the longest ledgers.
    const partId = randomInteger(random, 1, Math.ceil((_max.id ?? 1) / 5))
    await partLedgerPage(partId, null)
    await partStockLine(partId, '2025-11-28', '2026-11-28')
  }
  await timeEach(20, page)
  return { says: `${PAGES} pages`, seconds: percentile(await timeEach(PAGES, page), 0.95) / 1000 }
}

const asked = (state: TableQuestion['state']): TableQuestion => ({ ...TableQuestionRead.parse({}), state })

async function table(state: TableQuestion['state']): Promise<Timed> {
  let rows = 0
  const open = async () => {
    ;({ rows } = await stockTableExtent(asked(state)))
    await stockTableRows(asked(state), null)
  }
  await open()
  return { says: `${rows} rows`, seconds: percentile(await timeEach(10, open), 0.95) / 1000 }
}

async function tableWindow(): Promise<Timed> {
  const random = randomSeeded('bench windows')
  const { rows, anchors } = await stockTableExtent(asked('all'))
  const open = async () => {
    const found = await stockTableRows(asked('all'), anchors[randomInteger(random, 0, anchors.length - 1)]!)
    if (found.length === 0) throw new Error('a window of the table is empty')
  }
  await timeEach(5, open)
  return { says: `of ${rows} rows`, seconds: percentile(await timeEach(60, open), 0.95) / 1000 }
}

async function due(): Promise<string> {
  const { stores } = await countDue(NOW)
  return `${stores.length} stores`
}

async function dead(): Promise<string> {
  return `${(await deadStock({ today: '2026-11-28', months: 24, years: 3 })).length} parts`
}

/** Reckoned from the ledger, the meters and the parts lists, and kept; the time of the clock, database and all. */
async function levels(): Promise<Timed> {
  const runId = await levelRunBeginUnasked(NOW)
  const began = performance.now()
  // The clock of the run goes on with the real one, so that progress is written as often as in real life.
  const { parts, changes } = await levelRunReckon(runId, () => new Date(NOW.getTime() + performance.now() - began))
  if (parts === 0 || changes === 0) throw new Error('no level was reckoned: the data set is wrong')
  return { says: `${parts} parts, ${changes} changes`, seconds: (performance.now() - began) / 1000 }
}

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

/** Steps that have a process of their own in the program too run with its flags. */
const FLAGS: Record<string, readonly string[]> = {
  verify: LEAN_NODE_FLAGS,
  'levels of all parts': RECKONING_NODE_FLAGS,
}

async function stepRun(step: Step, folder: string): Promise<Measured> {
  const before = process.cpuUsage()
  const began = performance.now()
  const answer = await step.run(folder)
  const { says, seconds } =
    typeof answer === 'string' ? { says: answer, seconds: (performance.now() - began) / 1000 } : answer
  const { user, system } = process.cpuUsage(before)
  await databaseClose()
  return {
    seconds,
    processorSeconds: (user + system) / 1e6,
    megabytes: megabytesMost(),
    says,
  }
}

/** What maxRSS says begins with the most that the parent held when it made this process, and the parent makes the data set. */
function megabytesMost(): number {
  const status = '/proc/self/status'
  const own = existsSync(status) ? /VmHWM:\s+(\d+) kB/.exec(readFileSync(status, 'utf8')) : null
  return (own ? Number(own[1]) : process.resourceUsage().maxRSS) / 1024
}

function inChild(name: string, folder: string): Promise<Measured> {
  return new Promise((resolve, reject) => {
    const child = fork(fileURLToPath(import.meta.url), ['--step', name, '--folder', folder], {
      execArgv: [...(FLAGS[name] ?? []), '--import', 'tsx'],
      env: { ...process.env, DATA_DIR: folder },
    })
    child.once('message', (measured) => resolve(measured as Measured))
    child.once('exit', (code) => reject(new Error(`step ${name} ended with ${code}`)))
  })
}

async function dataSet(folder: string, movements: number, parts: number): Promise<void> {
  const file = join(folder, 'cotterbook.db')
  mkdirSync(folder, { recursive: true })
  if (statSync(file, { throwIfNoEntry: false })) return void (await migrateDeploy(file))
  console.info(`Making a ledger of ${movements.toLocaleString('en')} movements ...`)
  await migrateDeploy(file)
  await ledgerGenerate(file, movements, parts)
}

/** Machines, parts lists and offers, once. */
async function fleetBeside(folder: string, parts: number): Promise<void> {
  const isThere = (await database().machine.count()) > 0
  await databaseClose()
  if (!isThere) await fleetGenerate(join(folder, 'cotterbook.db'), parts)
}

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      movements: { type: 'string', default: '1000000' },
      parts: { type: 'string' },
      only: { type: 'string', default: '' },
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
  const parts = Number(values.parts ?? Math.max(10, Math.round(movements / 20)))
  if (!Number.isInteger(parts) || parts < 10) throw new Error('--parts must be a whole number from 10')
  const folder = values.folder ?? mkdtempSync(join(tmpdir(), 'cotterbook-ledger-'))
  process.env.DATA_DIR = folder
  delete process.env.DATABASE_URL
  try {
    await dataSet(folder, movements, parts)
    for (const { name, bar } of STEPS.filter((step) => step.name.startsWith(values.only))) {
      if (name === 'levels of all parts') await fleetBeside(folder, parts)
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
