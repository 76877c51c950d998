import { readdirSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { calendarOf } from '../../seed/estate/calendar.ts'
import { STOREKEEPER } from '../../seed/estate/people.ts'
import type { FigurePage } from '../../seed/figures/page.ts'
import { scenarioRun } from '../../seed/scenario.ts'
import { RULES } from '../companion/rules/index.ts'
import { Refusal } from '../refusal.ts'
import { settingsMakeFolders, settingsRead } from '../settings.ts'
import { database, databaseClose, type Tx } from './client.ts'
import { demoBatchesPlace } from './demo-batches.ts'
import { catalogueNotesPlace } from './demo-catalogue.ts'
import { costCentresMake } from './demo-centres.ts'
import { demoCountsPlace } from './demo-counts.ts'
import { depositsMake } from './demo-deposits.ts'
import { estatePlace, peoplePlace } from './demo-estate.ts'
import { historyPlace } from './demo-history.ts'
import { openJobsMake } from './demo-jobs.ts'
import { demoInvoicePlace, demoOrdersPlace } from './demo-orders.ts'
import { pricesMake } from './demo-prices.ts'
import { estateRead } from './demo-read.ts'
import { servicesMake } from './demo-services.ts'
import { winterMake } from './demo-winter.ts'
import { figureImport } from './figure-import.ts'
import { inTransaction } from './transaction.ts'

export interface DemoOptions {
  /** Today, in the demo: its history is the three years before. */
  now: Date
  /** The same seed and the same `now` give the same workshop, row for row. */
  seed?: string
  /** Called with a line for each step. */
  log?: (line: string) => void
  /** The drawn pages, when they are drawn already; left out, they are drawn now. */
  pages?: readonly Pick<FigurePage, 'file' | 'svg'>[]
}

export interface DemoLoaded {
  people: number
  machines: number
  figures: number
  parts: number
  jobs: number
  movements: number
  seconds: number
}

/** What makes a database somebody's own: nothing of it may be mixed with the demo. */
async function whatIsThere(tx: Tx): Promise<string | null> {
  const counts: [string, number][] = [
    ['people', await tx.person.count()],
    ['machines', await tx.machine.count()],
    ['models', await tx.machineModel.count()],
    ['parts', await tx.part.count()],
    ['stores', await tx.store.count()],
    ['suppliers', await tx.supplier.count()],
    ['settings', await tx.setting.count()],
  ]
  const there = counts.filter(([, count]) => count > 0)
  return there.length > 0 ? there.map(([what, count]) => `${count} ${what}`).join(', ') : null
}

/** True when there is nothing in the database, so that the demo may be loaded. */
export async function demoFits(): Promise<boolean> {
  return (await whatIsThere(database() as unknown as Tx)) === null
}

/**
 * Fills an empty database with the demo estate. Everything is made in a scratch database beside it, through the same code
 * as real work where a person would do it on the screen, and then copied over in one transaction: whatever goes wrong, and
 * wherever the power fails, the database is as before or has all of it. Refuses with 'demo/not-empty'.
 *
 * For a process of its own (the start, the command): while it runs, this process's database is the scratch one.
 */
export async function demoLoad(options: DemoOptions): Promise<DemoLoaded> {
  const began = Date.now()
  const { log = () => undefined } = options
  const settings = settingsRead()
  settingsMakeFolders(settings)
  const there = await whatIsThere(database() as unknown as Tx)
  if (there !== null) throw new Refusal('demo/not-empty', { what: there })
  const pages = options.pages ?? (await pagesDrawn(log))
  const picturesBefore = new Set(readdirSync(settings.picturesDir))
  const scratch = join(settings.dataDir, `demo-scratch-${process.pid}.db`)
  scratchRemove(scratch)
  try {
    // An empty copy, tables and guards and all.
    await database().$executeRaw`VACUUM INTO ${scratch}`
    const counts = await onScratch(scratch, () => estateMake({ ...options, log, pages }, settings.currency))
    log('Putting it all in place')
    await copyOver(scratch)
    return { ...counts, seconds: (Date.now() - began) / 1000 }
  } catch (error) {
    for (const name of readdirSync(settings.picturesDir))
      if (!picturesBefore.has(name)) rmSync(join(settings.picturesDir, name), { force: true })
    throw error
  } finally {
    await databaseClose()
    scratchRemove(scratch)
  }
}

async function pagesDrawn(log: (line: string) => void): Promise<Pick<FigurePage, 'file' | 'svg'>[]> {
  const { FIGURES } = await import('../../seed/figures/index.ts')
  return FIGURES.map(({ slug, figure }) => {
    log(`Drawing ${slug}`)
    return figure()
  })
}

function scratchRemove(file: string): void {
  for (const tail of ['', '-wal', '-shm', '-journal']) rmSync(`${file}${tail}`, { force: true })
}

async function onScratch<T>(file: string, run: () => Promise<T>): Promise<T> {
  const before = process.env.DATABASE_URL
  await databaseClose()
  process.env.DATABASE_URL = `file:${file}`
  try {
    return await run()
  } finally {
    await databaseClose()
    if (before === undefined) delete process.env.DATABASE_URL
    else process.env.DATABASE_URL = before
  }
}

async function estateMake(
  options: Required<Pick<DemoOptions, 'now' | 'log' | 'pages'>> & Pick<DemoOptions, 'seed'>,
  currency: string,
): Promise<Omit<DemoLoaded, 'seconds'>> {
  const { now, log, pages, seed = 'quillbeck' } = options
  const calendar = calendarOf(now)
  await peoplePlace(calendar.start, seed)
  for (const [index, page] of pages.entries()) {
    log(`Bringing in figure ${page.file.number} ${page.file.title}`)
    await figureImport(
      { key: `demo-figure-${String(index + 1).padStart(2, '0')}`, personId: STOREKEEPER, now: calendar.start },
      {
        file: page.file,
        picture: {
          bytes: new TextEncoder().encode(page.svg),
          name: page.file.picture.file,
          mediaType: 'image/svg+xml',
        },
        name: page.file.picture.file,
      },
    )
  }
  log('Stocking the shelf')
  await inTransaction((tx) => estatePlace(tx, calendar.start))
  const estate = await estateRead(RULES)
  log('Living through three years')
  const history = scenarioRun({ ...estate.input, seed, calendar, currency })
  await inTransaction((tx) => historyPlace(tx, history, estate.prices))
  await inTransaction(demoCountsPlace)
  await inTransaction((tx) => catalogueNotesPlace(tx, now))
  log('Planning the services')
  await servicesMake(estate, calendar.start)
  await depositsMake(calendar.end)
  await pricesMake(calendar.end)
  log('Opening today’s jobs')
  await openJobsMake(now)
  await demoOrdersPlace(now)
  await demoInvoicePlace(now)
  log('Putting away what spoils')
  await demoBatchesPlace(now)
  await winterMake(now)
  await costCentresMake(now)
  const db = database()
  return {
    people: await db.person.count(),
    machines: await db.machine.count(),
    figures: await db.figure.count(),
    parts: await db.part.count(),
    jobs: await db.job.count(),
    movements: await db.movement.count(),
  }
}

/** Copies every table of the scratch database into the real one, in one transaction, when that is still empty. */
function copyOver(scratch: string): Promise<void> {
  return inTransaction(async (tx) => {
    const there = await whatIsThere(tx)
    if (there !== null) throw new Refusal('demo/not-empty', { what: there })
    const open = await tx.$queryRaw<{ name: string }[]>`SELECT name FROM pragma_database_list`
    if (!open.some(({ name }) => name === 'demo')) await tx.$executeRaw`ATTACH DATABASE ${scratch} AS demo`
    // Tables come in the order of their names, not of what they refer to; the check runs at the end.
    await tx.$executeRaw`PRAGMA defer_foreign_keys = ON`
    const tables = await tx.$queryRaw<{ name: string }[]>`
      SELECT name FROM demo.sqlite_master WHERE type = 'table' AND name GLOB '[A-Z]*' ORDER BY name`
    for (const { name } of tables)
      await tx.$executeRawUnsafe(`INSERT INTO main."${name}" SELECT * FROM demo."${name}" ORDER BY rowid`)
  })
}
