import { copyFileSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, inject } from 'vitest'
import { databaseClose } from '../../lib/db/client.ts'
import type { WriteContext } from '../../lib/db/transaction.ts'

export interface TestWorkshop {
  /** DATA_DIR of this test file. */
  folder: string
  databaseFile: string
}

/**
 * Gives the test file a data folder of its own with a real, migrated database, and takes it away afterwards.
 * Call it once at the top of the file.
 */
export function useWorkshop(): TestWorkshop {
  const workshop: TestWorkshop = { folder: '', databaseFile: '' }
  beforeAll(() => {
    workshop.folder = mkdtempSync(join(tmpdir(), 'cotterbook-test-'))
    workshop.databaseFile = join(workshop.folder, 'cotterbook.db')
    copyFileSync(join(inject('templateFolder'), 'template.db'), workshop.databaseFile)
    process.env.DATA_DIR = workshop.folder
    delete process.env.DATABASE_URL
  })
  afterAll(async () => {
    await databaseClose()
    rmSync(workshop.folder, { recursive: true, force: true })
  })
  return workshop
}

let counter = 0

/** A write by `personId`, with a fresh idempotency key unless one is given. */
export function asWriter(personId: string, more: Partial<WriteContext> = {}): WriteContext {
  counter += 1
  return { key: `test-write-${process.pid}-${counter}`, personId, now: new Date('2026-11-02T08:15:00Z'), ...more }
}
