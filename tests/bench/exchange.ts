import { fork } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { performance } from 'node:perf_hooks'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { databaseClose } from '../../lib/db/client.ts'
import { exchangeImport } from '../../lib/db/exchange.ts'
import { exchangeExport } from '../../lib/db/exchange-export.ts'
import type { Kind } from '../../lib/exchange/columns.ts'
import type { TableFormat } from '../../lib/exchange/table.ts'
import { type RowOut, tableBytes } from '../../lib/exchange/write.ts'
import { randomSeeded } from '../../lib/maths/random.ts'
import { migrateDeploy } from '../../prisma/migrate.ts'

const USAGE = `node --import tsx tests/bench/exchange.ts [--rows 100000]

Brings files of so many rows into an empty workshop and takes them out again, each in a process of its own, and prints rows a
second and the most memory the process had. The bar: 100,000 rows in at most 60 s and 500 MB.`

interface Step {
  kind: Kind
  format: TableFormat
  way: 'in' | 'out' | 'again'
}

interface Measured {
  seconds: number
  megabytes: number
}

const NOUNS = [
  'Return spring',
  'Ball bearing',
  'Split pin, 4 x 40',
  'O-ring',
  'Brake shoe',
  'Gasket',
  'V-belt',
  'Grease nipple',
]

async function* rowsOf(kind: Kind, count: number): AsyncGenerator<RowOut> {
  const random = randomSeeded(`exchange ${kind}`)
  const some = (most: number) => Math.floor(random() * most)
  for (let at = 0; at < count; at++) {
    const number = `OK-${String(at).padStart(6, '0')}`
    const description = `${NOUNS[some(NOUNS.length)]!}, size ${some(400)}`
    if (kind === 'parts')
      yield {
        maker: 'Oakmoor',
        number,
        description,
        cost: `${some(900)}.${some(90) + 10}`,
        reorder_point: `${some(9)}`,
        order_up_to: `${10 + some(30)}`,
      }
    else if (kind === 'stock') yield { store: 'Long barn', bin: `B${at % 997}`, number, quantity: `${1 + some(50)}` }
    else
      yield {
        model_maker: 'Tarn',
        model: `X${at % 200}`,
        figure: `${1 + (Math.floor(at / 200) % 20)}`,
        item: `${1 + Math.floor(at / 4000)}`,
        maker: 'Oakmoor',
        number,
        description,
        quantity: `${1 + some(8)}`,
      }
  }
}

/** One step, in a process of its own, so that its memory is its own. */
async function step({ kind, format, way }: Step, folder: string): Promise<Measured> {
  const path = join(folder, `${kind}.${format}`)
  const bytes = way === 'out' ? null : readFileSync(path)
  const began = performance.now()
  if (bytes) {
    const context = { key: `bench-${kind}-${format}-${way}`, personId: 'command-line', now: new Date() }
    await exchangeImport(context, { kind, bytes, file: `${kind}.${format}` })
  } else
    for await (const piece of exchangeExport(kind, format)) if (piece.length === 0) throw new Error('an empty piece')
  const seconds = (performance.now() - began) / 1000
  await databaseClose()
  return { seconds, megabytes: process.resourceUsage().maxRSS / 1024 }
}

function inChild(one: Step, folder: string): Promise<Measured> {
  return new Promise((resolve, reject) => {
    const child = fork(fileURLToPath(import.meta.url), ['--step', JSON.stringify(one), '--folder', folder], {
      execArgv: ['--import', 'tsx'],
      env: { ...process.env, DATA_DIR: folder },
    })
    child.on('message', (measured) => resolve(measured as Measured))
    child.on('exit', (code) => reject(new Error(`the process ended with ${code}`)))
  })
}

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      rows: { type: 'string', default: '100000' },
      step: { type: 'string' },
      folder: { type: 'string' },
      help: { type: 'boolean' },
    },
  })
  if (values.help) return console.info(USAGE)
  if (values.step !== undefined && values.folder !== undefined) {
    process.send?.(await step(JSON.parse(values.step) as Step, values.folder))
    return process.disconnect()
  }
  const count = Number(values.rows)
  if (!(Number.isInteger(count) && count > 0)) throw new Error('--rows must be a whole number above 0')
  const folder = mkdtempSync(join(tmpdir(), 'cotterbook-exchange-'))
  try {
    await migrateDeploy(join(folder, 'cotterbook.db'))
    const steps: Step[] = [
      { kind: 'parts', format: 'csv', way: 'in' },
      { kind: 'parts', format: 'csv', way: 'again' },
      { kind: 'parts', format: 'xlsx', way: 'again' },
      { kind: 'parts', format: 'json', way: 'again' },
      { kind: 'parts-lists', format: 'csv', way: 'in' },
      { kind: 'stock', format: 'xlsx', way: 'in' },
      { kind: 'parts', format: 'xlsx', way: 'out' },
      { kind: 'parts', format: 'csv', way: 'out' },
    ]
    for (const { kind, format } of steps) {
      const pieces: Uint8Array[] = []
      for await (const piece of tableBytes(kind, format, rowsOf(kind, count))) pieces.push(piece)
      writeFileSync(join(folder, `${kind}.${format}`), Buffer.concat(pieces))
    }
    console.info(`${count.toLocaleString('en')} rows each`)
    for (const one of steps) {
      const { seconds, megabytes } = await inChild(one, folder)
      const size = (statSync(join(folder, `${one.kind}.${one.format}`)).size / 1e6).toFixed(1)
      const name = `${one.kind} ${one.format} ${one.way}`.padEnd(24)
      console.info(
        `${name} ${size.padStart(6)} MB ${seconds.toFixed(1).padStart(7)} s ${Math.round(count / seconds)
          .toLocaleString('en')
          .padStart(9)} rows/s ${Math.round(megabytes).toString().padStart(5)} MB at most`,
      )
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

await main().catch((error: unknown) => {
  console.error(error instanceof Error ? error.message : error)
  process.exitCode = 1
})
