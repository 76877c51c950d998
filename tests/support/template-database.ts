import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { TestProject } from 'vitest/node'
import { migrateDeploy } from '../../prisma/migrate.ts'

declare module 'vitest' {
  export interface ProvidedContext {
    templateFolder: string
  }
}

/** Migrates one database for the whole run; every test file that asks gets a copy (tests/support/database.ts). */
export default async function setup(project: TestProject) {
  const folder = mkdtempSync(join(tmpdir(), 'cotterbook-tests-'))
  // Not in WAL mode: a copy of the one file must be the whole database.
  await migrateDeploy(join(folder, 'template.db'), { journal: 'delete' })
  project.provide('templateFolder', folder)
  return () => rmSync(folder, { recursive: true, force: true })
}
