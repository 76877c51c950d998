import { readdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { bindMigrationAwareSqlAdapterFactory } from '@prisma/driver-adapter-utils'
import * as engineModule from '@prisma/schema-engine-wasm/schema_engine_bg'
import type { SqliteAdapter } from '../lib/db/adapter.ts'
import { SEARCH_TABLES } from './search-tables.ts'

/**
 * Prisma's own schema engine in its WebAssembly build. It applies the same migration files as `npx prisma migrate deploy`,
 * and keeps the same bookkeeping table, but needs no binary that would have to be downloaded.
 */
type EngineModule = typeof engineModule & { __wbg_set_wasm(exports: WebAssembly.Exports): void }

const here = dirname(fileURLToPath(import.meta.url))
export const SCHEMA_FILE = join(here, 'schema.prisma')
export const MIGRATIONS_DIR = join(here, 'migrations')

/** Full-text tables are made by a migration but unknown to the schema: without this list a diff would drop them. */
export const FILTERS = {
  externalTables: SEARCH_TABLES,
  externalEnums: [] as string[],
}

let loaded: EngineModule | undefined
function engine(): EngineModule {
  if (loaded) return loaded
  const module = engineModule as EngineModule
  const wasmFile = join(
    dirname(createRequire(import.meta.url).resolve('@prisma/schema-engine-wasm/schema_engine_bg')),
    'schema_engine_bg.wasm',
  )
  const instance = new WebAssembly.Instance(new WebAssembly.Module(readFileSync(wasmFile)), {
    './schema_engine_bg.js': engineModule as unknown as WebAssembly.ModuleImports,
  })
  module.__wbg_set_wasm(instance.exports)
  ;(instance.exports.__wbindgen_start as () => void)()
  loaded = module
  return module
}

export function engineOpen(adapter: SqliteAdapter) {
  const factory = bindMigrationAwareSqlAdapterFactory(adapter)
  return engine().SchemaEngine.new(
    { datamodels: [['schema.prisma', readFileSync(SCHEMA_FILE, 'utf8')]] },
    () => {},
    factory,
  )
}

export interface MigrationText {
  name: string
  sql: string
}

export function migrationsRead(): MigrationText[] {
  return readdirSync(MIGRATIONS_DIR, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
    .sort()
    .map((name) => ({ name, sql: readFileSync(join(MIGRATIONS_DIR, name, 'migration.sql'), 'utf8') }))
}

export function migrationsList() {
  return {
    baseDir: MIGRATIONS_DIR,
    lockfile: { path: 'migration_lock.toml', content: 'provider = "sqlite"\n' },
    shadowDbInitScript: '',
    migrationDirectories: migrationsRead().map(({ name, sql }) => ({
      path: name,
      migrationFile: { path: 'migration.sql', content: { tag: 'ok' as const, value: sql } },
    })),
  }
}

/** The last definition of every trigger in the migrations, by name: what must stand in the database after a deploy. */
export function guardsOf(migrations: MigrationText[]): Map<string, string> {
  const guards = new Map<string, string>()
  for (const { sql } of migrations) {
    for (const match of sql.matchAll(
      /CREATE TRIGGER IF NOT EXISTS "?(\w+)"?[\s\S]*?\nEND;|DROP TRIGGER IF EXISTS "?(\w+)"?;/g,
    )) {
      if (match[1]) guards.set(match[1], match[0])
      else if (match[2]) guards.delete(match[2])
    }
  }
  return guards
}

/** Indexes on expressions, by name: the schema cannot say them, so a table rebuild drops them and every deploy puts them back. */
export function indexesOf(migrations: MigrationText[]): Map<string, string> {
  const indexes = new Map<string, string>()
  for (const { sql } of migrations)
    for (const match of sql.matchAll(/CREATE INDEX IF NOT EXISTS "?(\w+)"?[^;]*;/g)) indexes.set(match[1]!, match[0])
  return indexes
}
