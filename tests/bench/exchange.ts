import { fork } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { performance } from 'node:perf_hooks'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { databaseClose } from '../../lib/db/client.ts'
import { exchangeImport, exchangeRehearse } from '../../lib/db/exchange.ts'
import { exchangeExport } from '../../lib/db/exchange-export.ts'
import type { TableFormat } from '../../lib/exchange/table.ts'
import { FORMATS, tableBytes } from '../../lib/exchange/write.ts'
import { LEAN_NODE_FLAGS } from '../../lib/node-flags.ts'
import { migrateDeploy } from '../../prisma/migrate.ts'
import { aPerson } from '../support/builders.ts'
import { APPROVER, KINDS_MADE, type Kind, rowsOf } from './exchange-rows.ts'

const USAGE = `node --import tsx tests/bench/exchange.ts [--rows 100000] [--format csv,xlsx,json] [--kind parts,stock,...]

Brings files of so many rows into an empty workshop, one workshop a format: rehearsed first, brought in, brought in once more
as they are, once more with most of the rows changed, and taken out again; each step in a process of its own, as the program
does it. Prints the seconds of the clock and of the processor and the most memory each process had, and ends with 1 when one
of them is above the bar: 100,000 rows in at most 60 s and 500 MB. Refuses to pass a step that did not do what it is for.`

const WAYS = ['rehearse', 'in', 'again', 'changed', 'out'] as const

interface Step {
  kind: Kind
  format: TableFormat
  way: (typeof WAYS)[number]
}

interface Measured {
  seconds: number
  /** Of all threads of the process, its start included. */
  processorSeconds: number
  megabytes: number
}

const BAR = { seconds: 60, megabytes: 500 }

/** What is approved is never changed, so alternatives have no second issue. */
const waysOf = (kind: Kind) => WAYS.filter((way) => way !== 'changed' || kind !== 'alternatives')
const fileOf = ({ kind, format, way }: Step) => `${kind}${way === 'changed' ? '-changed' : ''}.${format}`

/** One step, in a process of its own, so that its memory is its own. */
async function step(one: Step, folder: string, count: number): Promise<Measured> {
  const { kind, format, way } = one
  const file = fileOf(one)
  const bytes = way === 'out' ? null : readFileSync(join(folder, file))
  // Nobody approves in the name of another, so the approver of the bench brings everything in.
  const context = { key: `bench-${kind}-${format}-${way}`, personId: `person-${nameKey(APPROVER)}`, now: new Date() }
  const began = performance.now()
  if (bytes === null) {
    for await (const piece of exchangeExport(kind, format)) if (piece.length === 0) throw new Error('an empty piece')
  } else if (way === 'rehearse') {
    const { refusedRows, counts } = await exchangeRehearse(context, { kind, bytes, file })
    if (refusedRows > 0 || counts.new !== count) throw new Error(`${refusedRows} rows of ${file} are refused`)
  } else {
    const { counts } = await exchangeImport(context, { kind, bytes, file })
    const told = way === 'in' ? counts.new : way === 'again' ? counts.same : counts.changed * 2
    if (told < count) throw new Error(`${file}, ${way}: ${JSON.stringify(counts)}`)
  }
  const seconds = (performance.now() - began) / 1000
  await databaseClose()
  const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage()
  return { seconds, processorSeconds: (userCPUTime + systemCPUTime) / 1e6, megabytes: maxRSS / 1024 }
}

function inChild(one: Step, folder: string, count: number): Promise<Measured> {
  return new Promise((resolve, reject) => {
    const child = fork(
      fileURLToPath(import.meta.url),
      ['--step', JSON.stringify(one), '--folder', folder, '--rows', `${count}`],
      {
        // Exports are made by the server itself.
        execArgv: [...(one.way === 'out' ? [] : LEAN_NODE_FLAGS), '--import', 'tsx'],
        env: { ...process.env, DATA_DIR: folder },
      },
    )
    child.on('message', (measured) => resolve(measured as Measured))
    child.on('exit', (code) => reject(new Error(`the process ended with ${code}`)))
  })
}

async function fileMake(one: Step, count: number, folder: string): Promise<number> {
  const { kind, format, way } = one
  const pieces: Uint8Array[] = []
  const rows = rowsOf(kind, count, way === 'changed' ? 2 : 1)
  for await (const piece of tableBytes(kind, format, rows)) pieces.push(piece)
  const path = join(folder, fileOf(one))
  writeFileSync(path, Buffer.concat(pieces))
  return statSync(path).size / 1e6
}

/** Every wished kind in one format, in an empty workshop; the parts come first, since other lists name them. */
async function workshopRun(format: TableFormat, kinds: readonly Kind[], count: number): Promise<number> {
  const folder = mkdtempSync(join(tmpdir(), 'cotterbook-exchange-'))
  let above = 0
  try {
    process.env.DATA_DIR = folder
    await migrateDeploy(join(folder, 'cotterbook.db'))
    await aPerson(APPROVER)
    await databaseClose()
    for (const kind of KINDS_MADE) {
      const isWished = kinds.includes(kind)
      if (!isWished && kind !== 'parts') continue
      const size = await fileMake({ kind, format, way: 'in' }, count, folder)
      for (const way of isWished ? waysOf(kind) : (['in'] as const)) {
        if (way === 'changed') await fileMake({ kind, format, way }, count, folder)
        const { seconds, processorSeconds, megabytes } = await inChild({ kind, format, way }, folder, count)
        const isAbove = megabytes > BAR.megabytes || (seconds > BAR.seconds && count <= 100_000)
        if (isAbove) above += 1
        const speed = Math.round(count / seconds).toLocaleString('en')
        console.info(
          `${`${kind} ${format} ${way}`.padEnd(30)} ${size.toFixed(1).padStart(6)} MB ${seconds.toFixed(1).padStart(7)} s ${processorSeconds.toFixed(1).padStart(7)} s of processor ${speed.padStart(9)} rows/s ${Math.round(megabytes).toString().padStart(5)} MB at most${isAbove ? '  above the bar' : ''}`,
        )
      }
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
  return above
}

/** Words of a list given on the command line, each of them known. */
function listed<T extends string>(text: string, known: readonly T[]): T[] {
  return text.split(',').map((word) => {
    const found = known.find((one) => one === word)
    if (!found) throw new Error(`${word} is none of ${known.join(', ')}`)
    return found
  })
}

async function main(): Promise<void> {
  const formats = Object.keys(FORMATS) as TableFormat[]
  const { values } = parseArgs({
    options: {
      rows: { type: 'string', default: '100000' },
      format: { type: 'string', default: formats.join(',') },
      kind: { type: 'string', default: KINDS_MADE.join(',') },
      step: { type: 'string' },
      folder: { type: 'string' },
      help: { type: 'boolean' },
    },
  })
  if (values.help) return console.info(USAGE)
  if (values.step !== undefined && values.folder !== undefined) {
    process.send?.(await step(JSON.parse(values.step) as Step, values.folder, Number(values.rows)))
    return process.disconnect()
  }
  const count = Number(values.rows)
  if (!(Number.isInteger(count) && count > 0)) throw new Error('--rows must be a whole number above 0')
  console.info(`${count.toLocaleString('en')} rows each`)
  for (const format of listed(values.format, formats))
    if ((await workshopRun(format, listed(values.kind, KINDS_MADE), count)) > 0) process.exitCode = 1
}

await main().catch((error: unknown) => {
  console.error(error instanceof Error ? error.message : error)
  process.exitCode = 1
})
