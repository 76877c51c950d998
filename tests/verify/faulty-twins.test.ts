import { copyFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeAll, describe, expect, it } from 'vitest'
import { SqliteAdapter } from '../../lib/db/adapter.ts'
import { databaseClose } from '../../lib/db/client.ts'
import { workshopVerify } from '../../lib/db/verify.ts'
import { isRefusal } from '../../lib/refusal.ts'
import type { VerifyReport } from '../../lib/verify/report.ts'
import { secondOpinion } from '../../lib/verify/second-opinion.ts'
import { secondReaderLoad } from '../../lib/verify/second-reader.ts'
import { useWorkshop } from '../support/database.ts'
import { INVOICE_TWINS } from './faulty-invoices.ts'
import { TWINS as SHOP_TWINS } from './faulty-twins.ts'
import { bend, guards, migrations, PICTURE_ID, soundWorkshop, twin } from './workshop.ts'

const TWINS = [...SHOP_TWINS, ...INVOICE_TWINS]
const workshop = useWorkshop()
const pictures = () => join(workshop.folder, 'pictures')

beforeAll(async () => {
  await soundWorkshop(pictures())
})

afterEach(async () => {
  await databaseClose()
  delete process.env.DATABASE_URL
})

async function own(file: string): Promise<VerifyReport> {
  await databaseClose()
  process.env.DATABASE_URL = `file:${file}`
  return workshopVerify({
    picturesDir: pictures(),
    documentsDir: join(workshop.folder, 'documents'),
    pagesDir: join(workshop.folder, 'pages'),
    guards,
    migrations: migrations.map((one) => one.name),
  })
}

function second(file: string): Promise<VerifyReport> {
  return secondOpinion(file, { guards, picturesDir: pictures(), say: console.info })
}

function faultsOf(report: VerifyReport, name: string): string {
  const check = report.checks.find((one) => one.name === name)
  expect(check, `there is a check called ${name}`).toBeDefined()
  return check!.faults.join('\n')
}

async function script(file: string, sql: string): Promise<void> {
  const connection = await new SqliteAdapter(`file:${file}`).connect()
  await connection.executeScript(sql)
  await connection.dispose()
}

describe('the own proof', () => {
  it('finds nothing wrong with a workshop that was only ever written through its own doors', async () => {
    const report = await own(workshop.databaseFile)
    expect(report.checks.filter((check) => !check.ok)).toEqual([])
    expect(report.ok).toBe(true)
  })

  it.each(TWINS.map((one, at) => ({ ...one, at })))('$says', async (one) => {
    const file = await twin(workshop.databaseFile, `own-${one.at}`)
    await bend(file, one.sql)
    const report = await own(file)
    expect(report.ok).toBe(false)
    expect(faultsOf(report, one.own)).toMatch(one.names)
    expect(faultsOf(report, 'guards stand')).toBe('')
  })

  it('a guard that was taken away or emptied is named', async () => {
    const file = await twin(workshop.databaseFile, 'own-guard')
    await script(
      file,
      `DROP TRIGGER movement_never_updated; DROP TRIGGER write_never_deleted;
       CREATE TRIGGER write_never_deleted BEFORE DELETE ON "Write" BEGIN SELECT 1; END;`,
    )
    const faults = faultsOf(await own(file), 'guards stand')
    expect(faults).toContain('trigger movement_never_updated is missing')
    expect(faults).toContain('trigger write_never_deleted was changed')
  })

  it('a migration that was not applied is named', async () => {
    const file = await twin(workshop.databaseFile, 'own-migration')
    await script(file, `DELETE FROM _prisma_migrations WHERE migration_name = '0002_guards';`)
    expect(faultsOf(await own(file), 'database is up to date')).toContain('0002_guards')
  })

  it('a picture that is missing, and one whose bytes changed, are named', async () => {
    const file = join(pictures(), `${PICTURE_ID}.svg`)
    copyFileSync(file, `${file}.kept`)
    writeFileSync(file, 'another drawing')
    expect(faultsOf(await own(workshop.databaseFile), 'pictures are as kept')).toContain('was changed')
    rmSync(file)
    expect(faultsOf(await own(workshop.databaseFile), 'pictures are as kept')).toContain('is missing')
    copyFileSync(`${file}.kept`, file)
  })
})

describe('the second opinion', () => {
  /** Without a compiler there is no second driver: said aloud, and a fault where CI=true. */
  let reason: string | null = null

  beforeAll(async () => {
    try {
      await secondReaderLoad('the test database', console.info)
    } catch (error) {
      if (!isRefusal(error) || process.env.CI === 'true') throw error
      reason = error.happened
      console.info(`skipped: ${reason}`)
    }
  }, 300_000)

  it('finds nothing wrong with a sound workshop', async (context) => {
    if (reason !== null) return context.skip(reason)
    const file = await twin(workshop.databaseFile, 'second-sound')
    const report = await second(file)
    expect(report.checks.filter((check) => !check.ok)).toEqual([])
  })

  it.for(TWINS.map((one, at) => ({ ...one, at })).filter((one) => one.second !== null))(
    '$says',
    async (one, context) => {
      if (reason !== null) return context.skip(reason)
      const file = await twin(workshop.databaseFile, `second-${one.at}`)
      await bend(file, one.sql)
      const report = await second(file)
      expect(report.ok).toBe(false)
      expect(faultsOf(report, one.second!)).toMatch(one.names)
    },
  )

  it('a guard that was taken away is named', async (context) => {
    if (reason !== null) return context.skip(reason)
    const file = await twin(workshop.databaseFile, 'second-guard')
    await script(file, 'DROP TRIGGER movement_never_updated;')
    expect(faultsOf(await second(file), 'guards stand')).toBe('trigger movement_never_updated is missing')
  })

  it('a file that is no database is never called sound', async (context) => {
    if (reason !== null) return context.skip(reason)
    const file = join(workshop.folder, 'no-database.db')
    writeFileSync(file, 'a shopping list '.repeat(500))
    const report = await second(file)
    expect(report.ok).toBe(false)
    expect(report.checks.every((check) => !check.ok)).toBe(true)
  })
})
