import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { SqliteAdapter } from '../lib/db/adapter.ts'
import { settingsMakeFolders, settingsRead } from '../lib/settings.ts'
import {
  engineOpen,
  FILTERS,
  guardsOf,
  indexesOf,
  MIGRATIONS_DIR,
  migrationsList,
  migrationsRead,
  SCHEMA_FILE,
} from './engine.ts'
import { WORD_INDEXES } from './search-tables.ts'

/**
 * Brings a database file up to date and answers the names of what was applied. A migration that fails half way leaves the
 * file as it was: SQLite does not roll a script back, so a copy is kept beside it until the deploy is through.
 */
export async function migrateDeploy(
  databaseFile: string,
  options: { journal?: 'wal' | 'delete' } = {},
): Promise<string[]> {
  const copy = `${databaseFile}.before-migration`
  const existed = existsSync(databaseFile)
  const adapter = new SqliteAdapter(`file:${databaseFile}`)
  if (existed) await settle(adapter)
  if (existed) copyFileSync(databaseFile, copy)
  try {
    const { appliedMigrationNames } = await (await engineOpen(adapter)).applyMigrations({
      migrationsList: migrationsList(),
      filters: FILTERS,
    })
    await putGuardsBack(adapter, options.journal ?? 'wal')
    return appliedMigrationNames
  } catch (error) {
    if (existed) copyFileSync(copy, databaseFile)
    throw new Error(
      `The database could not be brought up to date; ${existed ? 'it stands as before' : 'nothing was made'}. ${error instanceof Error ? error.message : String(error)}`,
      { cause: error },
    )
  } finally {
    rmSync(copy, { force: true })
  }
}

/** Moves what is in the write-ahead log into the file, so that a copy of the file is whole. */
async function settle(adapter: SqliteAdapter): Promise<void> {
  const connection = await adapter.connect()
  await connection.queryRaw({ sql: 'PRAGMA wal_checkpoint(TRUNCATE)', args: [], argTypes: [] })
  await connection.dispose()
}

async function putGuardsBack(adapter: SqliteAdapter, journal: 'wal' | 'delete'): Promise<void> {
  const connection = await adapter.connect()
  try {
    const migrations = migrationsRead()
    for (const sql of [...indexesOf(migrations).values(), ...guardsOf(migrations).values()])
      await connection.executeScript(sql)
    await connection.queryRaw({ sql: `PRAGMA journal_mode=${journal}`, args: [], argTypes: [] })
  } finally {
    await connection.dispose()
  }
}

/** What the schema has that the migrations do not, as SQL; null when they agree. */
export async function migrateDifference(): Promise<string | null> {
  const folder = mkdtempSync(join(tmpdir(), 'cotterbook-schema-'))
  try {
    const adapter = new SqliteAdapter(`file:${join(folder, 'scratch.db')}`)
    const engine = await engineOpen(adapter)
    await engine.applyMigrations({ migrationsList: migrationsList(), filters: FILTERS })
    const files = [{ path: 'schema.prisma', content: readFileSync(SCHEMA_FILE, 'utf8') }]
    const difference = await engine.diff({
      from: { tag: 'schemaDatasource', configDir: '.', files },
      to: { tag: 'schemaDatamodel', files },
      script: true,
      exitCode: true,
      shadowDatabaseUrl: undefined,
      filters: FILTERS,
    } as Parameters<typeof engine.diff>[0])
    return difference.exitCode === 0 ? null : (difference.stdout ?? '')
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Makes the indexes of words anew from their tables; what verify asks for when one of them has gone astray. */
export async function searchRebuild(databaseFile: string): Promise<void> {
  const connection = await new SqliteAdapter(`file:${databaseFile}`).connect()
  try {
    for (const name of ['part_fts', ...WORD_INDEXES])
      await connection.executeScript(`INSERT INTO ${name}(${name}) VALUES ('rebuild');`)
  } finally {
    await connection.dispose()
  }
}

async function main(command: string | undefined, name: string | undefined): Promise<void> {
  if (command === 'deploy') {
    const settings = settingsRead()
    settingsMakeFolders(settings)
    const applied = await migrateDeploy(settings.databaseFile)
    console.info(applied.length > 0 ? `Database brought up to date: ${applied.join(', ')}` : 'Database is up to date.')
  } else if (command === 'new' && name && /^\d{4}_[a-z0-9_]+$/.test(name)) {
    const sql = await migrateDifference()
    if (!sql) throw new Error('The schema and the migrations agree; there is nothing to migrate.')
    mkdirSync(join(MIGRATIONS_DIR, name), { recursive: true })
    writeFileSync(join(MIGRATIONS_DIR, name, 'migration.sql'), sql)
    console.info(`Wrote prisma/migrations/${name}/migration.sql: read it, then run deploy.`)
  } else if (command === 'search') {
    await searchRebuild(settingsRead().databaseFile)
    console.info('The indexes of words are made anew.')
  } else if (command === 'check') {
    const sql = await migrateDifference()
    if (sql) throw new Error(`The schema has changes without a migration:\n${sql}`)
    console.info('Schema and migrations agree.')
  } else {
    throw new Error('Say one of: deploy, check, search, new 0003_what_changes')
  }
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  main(process.argv[2], process.argv[3]).catch((error: unknown) => {
    console.error(error instanceof Error ? error.message : error)
    process.exitCode = 1
  })
}
