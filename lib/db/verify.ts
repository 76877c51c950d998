import { nameKey, partNumberKey } from '../catalogue/part-number.ts'
import { StripOrderKept } from '../figure/strip-schema.ts'
import { guardFaults } from '../verify/guard.ts'
import { type KeyRow, keyFaults } from '../verify/key.ts'
import { pageFileFaults } from '../verify/page.ts'
import { pictureFaults } from '../verify/picture.ts'
import { type Check, checkRun, reportOf, type VerifyReport } from '../verify/report.ts'
import { entryFaults, jobFaults } from '../verify/service-book.ts'
import { tallyFaults } from '../verify/shelf.ts'
import { stripFaults } from '../verify/strip.ts'
import { supersessionFaults } from '../verify/supersession.ts'
import { testFaults } from '../verify/tests.ts'
import { SqliteAdapter } from './adapter.ts'
import { database } from './client.ts'
import { COMMAND_LINE } from './command-line.ts'
import { pageFilesNamed } from './page-files.ts'
import { countsVerify } from './verify-counts.ts'
import { creditsVerify } from './verify-credits.ts'
import { depositsVerify } from './verify-deposits.ts'
import { invoicesVerify } from './verify-invoices.ts'
import { searchFaults } from './verify-search.ts'
import { shelfChecks } from './verify-shelf.ts'

export interface VerifyOptions {
  picturesDir: string
  documentsDir: string
  pagesDir: string
  /** Every trigger that must stand in the database, by name (prisma/engine.ts guardsOf). */
  guards: ReadonlyMap<string, string>
  /** Names of the migrations that must have been applied. */
  migrations: readonly string[]
}

/**
 * Proves every invariant that the data can show, in the database the settings name, and changes nothing. Reading follows
 * the data in slices; a write that happens meanwhile may show as a fault, so prove a workshop that stands still, or a backup.
 */
export async function workshopVerify(options: VerifyOptions): Promise<VerifyReport> {
  const checks: Check[] = [
    await checkRun('database file is whole', () => pragma('integrity_check')),
    await checkRun('references lead somewhere', () => pragma('foreign_key_check')),
    await checkRun('database is up to date', () => migrationFaults(options.migrations)),
    await checkRun('guards stand', async () => guardFaults(options.guards, await triggers())),
    ...(await shelfChecks()),
    await checkRun('nothing is below zero', negativeFaults),
    await checkRun('every movement belongs to one write', writeFaults),
    await checkRun('jobs have what the ledger says', needFaults),
    await checkRun('orders received what the ledger says', orderFaults),
    await checkRun('counts are booked as the ledger says', countsVerify),
    await checkRun('deposits and old units add up', depositsVerify),
    await checkRun('invoices stand as their lines say', invoicesVerify),
    await checkRun('credit notes give back what was owed', creditsVerify),
    await checkRun('replaced parts lead to an end', async () =>
      supersessionFaults(
        await database().supersession.findMany({
          select: { oldPartId: true, newPartId: true },
          orderBy: { id: 'asc' },
        }),
      ),
    ),
    await checkRun('strip orders are followed as saved', stripOrderFaults),
    await checkRun('tests of figures are those saved', testListFaults),
    await checkRun('service book is as written', bookFaults),
    await checkRun('pictures are as kept', async () =>
      pictureFaults(options.picturesDir, await database().picture.findMany({ orderBy: { id: 'asc' } })),
    ),
    await checkRun('documents are as kept', async () =>
      pictureFaults(options.documentsDir, await database().document.findMany({ orderBy: { id: 'asc' } }), 'document'),
    ),
    await checkRun('pages on the desk have their files', async () =>
      pageFileFaults(options.pagesDir, await pageFilesNamed()),
    ),
    await checkRun('names are unique', async () => keyFaults(await keyRows())),
    await checkRun('search finds what is there', searchFaults),
  ]
  return reportOf(checks)
}

const PRAGMAS = {
  integrity_check: 'PRAGMA integrity_check',
  foreign_key_check: 'PRAGMA foreign_key_check',
} as const

function pragmaFaults(rows: readonly unknown[]): string[] {
  return rows.map((row) => Object.values(row as Record<string, unknown>).join(' ')).filter((text) => text !== 'ok')
}

async function pragma(name: keyof typeof PRAGMAS): Promise<string[]> {
  return pragmaFaults(await database().$queryRawUnsafe<unknown[]>(PRAGMAS[name]))
}

/** What is wrong with a database file that is not the running one: a broken file, lost references, or no workshop at all. */
export async function databaseFileFaults(file: string): Promise<string[]> {
  const connection = await new SqliteAdapter(`file:${file}`).connect()
  try {
    const ask = async (sql: string) => (await connection.queryRaw({ sql, args: [], argTypes: [] })).rows
    const faults = [
      ...pragmaFaults(await ask(PRAGMAS.integrity_check)),
      ...pragmaFaults(await ask(PRAGMAS.foreign_key_check)),
    ]
    const tables = await ask(
      `SELECT name FROM sqlite_master WHERE type = 'table' AND name IN ('Movement', 'Picture', 'Part')`,
    )
    return tables.length === 3 ? faults : [...faults, 'it holds no workshop']
  } catch (error) {
    return [`the database cannot be read: ${error instanceof Error ? error.message : String(error)}`]
  } finally {
    await connection.dispose()
  }
}

function triggers(): Promise<{ name: string; sql: string | null }[]> {
  return database().$queryRaw`SELECT name, sql FROM sqlite_master WHERE type = 'trigger'`
}

async function migrationFaults(wanted: readonly string[]): Promise<string[]> {
  const rows = await database().$queryRaw<{ name: string }[]>`
    SELECT migration_name AS name FROM _prisma_migrations WHERE finished_at IS NOT NULL AND rolled_back_at IS NULL`
  const there = new Set(rows.map((row) => row.name))
  return wanted.filter((name) => !there.has(name)).map((name) => `migration ${name} was not applied: run npm start`)
}

async function negativeFaults(): Promise<string[]> {
  const below = { lt: 0 }
  const balances = await database().balance.findMany({ where: { quantity: below } })
  const needs = await database().jobNeed.findMany({
    where: { OR: [{ taken: below }, { allocated: below }, { wanted: below }] },
    select: { id: true },
  })
  const lines = await database().purchaseOrderLine.findMany({
    select: { id: true, quantity: true, received: true, cancelled: true },
  })
  return [
    ...balances.map((row) => `part ${row.partId} in bin ${row.binId} stands at ${row.quantity}`),
    ...needs.map(({ id }) => `job line ${id} has less than nothing taken, kept or wanted`),
    ...lines
      .filter((line) => line.received < 0 || line.cancelled < 0 || line.received + line.cancelled > line.quantity)
      .map(
        (line) =>
          `order line ${line.id}: ${line.quantity} ordered, ${line.received} received, ${line.cancelled} cancelled`,
      ),
  ]
}

async function writeFaults(): Promise<string[]> {
  const twice = await database().movement.groupBy({
    by: ['writeKey', 'writeLine'],
    _count: { _all: true },
    having: { writeLine: { _count: { gt: 1 } } },
  })
  const lost = await database().$queryRaw<{ id: number | bigint; writeKey: string }[]>`
    SELECT m."id", m."writeKey" FROM "Movement" m WHERE NOT EXISTS (SELECT 1 FROM "Write" w WHERE w."key" = m."writeKey")
    ORDER BY m."id"`
  return [
    ...twice.map((row) => `write ${row.writeKey} has line ${row.writeLine} ${row._count._all} times`),
    ...lost.map((row) => `movement ${row.id} belongs to write ${row.writeKey}, which is not there`),
  ]
}

async function needFaults(): Promise<string[]> {
  const sums = await database().movement.groupBy({
    by: ['needId'],
    where: { needId: { not: null } },
    _sum: { quantity: true },
  })
  // Taken counts up while the shelf counts down.
  const sumOf = new Map(sums.map((row) => [row.needId, 0 - (row._sum.quantity ?? 0)]))
  const needs = await database().jobNeed.findMany({ select: { id: true, taken: true } })
  const known = new Set(needs.map((need) => need.id))
  return [
    ...tallyFaults(
      'job line',
      'taken',
      needs.map(({ id, taken }) => ({ id, says: taken, sum: sumOf.get(id) ?? 0 })),
    ),
    ...[...sumOf.keys()]
      .filter((id) => id !== null && !known.has(id))
      .map((id) => `movements name job line ${id}, which is not there`),
  ]
}

async function orderFaults(): Promise<string[]> {
  const sums = await database().movement.groupBy({
    by: ['orderLineId'],
    where: { orderLineId: { not: null } },
    _sum: { quantity: true },
  })
  const sumOf = new Map(sums.map((row) => [row.orderLineId, row._sum.quantity ?? 0]))
  const lines = await database().purchaseOrderLine.findMany({ select: { id: true, received: true } })
  return tallyFaults(
    'order line',
    'received',
    lines.map(({ id, received }) => ({ id, says: received, sum: sumOf.get(id) ?? 0 })),
  )
}

async function bookFaults(): Promise<string[]> {
  const entries = await database().serviceBookEntry.findMany({ orderBy: { id: 'asc' } })
  const jobs = await database().job.findMany({ select: { id: true, number: true, state: true, machineId: true } })
  return [...jobFaults(jobs, entries), ...entryFaults(entries)]
}

async function stripOrderFaults(): Promise<string[]> {
  const db = database()
  // In the order they were saved: the last one of a figure counts.
  const orders = await db.stripOrder.findMany({
    orderBy: { version: 'asc' },
    select: { figureId: true, content: true },
  })
  const saved = new Map(
    orders.map(({ figureId, content }) => [figureId, StripOrderKept.parse(JSON.parse(content)).edges]),
  )
  const rows = await db.stripEdge.findMany({ where: { figure: { stripOrders: { some: {} } } } })
  return stripFaults(
    saved,
    rows.map((row) => ({ figureId: row.figureId, first: row.firstItem, then: row.thenItem })),
  )
}

async function testListFaults(): Promise<string[]> {
  const db = database()
  const lists = await db.testList.findMany({ orderBy: { version: 'asc' }, select: { figureId: true, content: true } })
  const figures = await db.figure.findMany({ where: { testLists: { some: {} } }, select: { id: true, tests: true } })
  return testFaults(new Map(lists.map(({ figureId, content }) => [figureId, content])), figures)
}

async function keyRows(): Promise<KeyRow[]> {
  const db = database()
  const row = (what: string, within: string, kept: string, anew: string): KeyRow => ({ what, within, kept, anew })
  const parts = await db.part.findMany({
    select: { id: true, maker: true, number: true, makerKey: true, numberKey: true },
  })
  return [
    ...parts.map((one) =>
      row(
        `part ${one.id} (${one.maker} ${one.number})`,
        'part',
        `${one.makerKey}/${one.numberKey}`,
        `${partNumberKey(one.maker)}/${partNumberKey(one.number)}`,
      ),
    ),
    ...(await db.machineModel.findMany()).map((one) =>
      row(`machine model ${one.id}`, 'model', one.key, partNumberKey(`${one.maker}/${one.name}`)),
    ),
    ...(await db.machine.findMany()).map((one) =>
      row(`machine ${one.id} (${one.fleetNumber})`, 'machine', one.fleetKey, partNumberKey(one.fleetNumber)),
    ),
    ...(await db.figureOfModel.findMany()).map((one) =>
      row(
        `figure ${one.number} of model ${one.modelId}`,
        `figure ${one.modelId}`,
        one.numberKey,
        partNumberKey(one.number),
      ),
    ),
    ...(await db.store.findMany()).map((one) =>
      row(`store ${one.id} (${one.name})`, 'store', one.nameKey, nameKey(one.name)),
    ),
    ...(await db.bin.findMany()).map((one) =>
      row(`bin ${one.id} (${one.code})`, `bin ${one.storeId}`, one.codeKey, partNumberKey(one.code)),
    ),
    ...(await db.supplier.findMany()).map((one) =>
      row(`supplier ${one.id} (${one.name})`, 'supplier', one.nameKey, nameKey(one.name)),
    ),
    // The command line stands aside when a person has its name (lib/db/command-line.ts).
    ...(await db.person.findMany({ where: { NOT: { id: COMMAND_LINE } } })).map((one) =>
      row(`person ${one.id} (${one.name})`, 'person', one.nameKey, nameKey(one.name)),
    ),
  ]
}
