import { createHash } from 'node:crypto'
import {
  appendFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import { create, extract } from 'tar'
import { beforeAll, describe, expect, it } from 'vitest'
import { restoreCommand } from '../../lib/cli/backup.ts'
import { holdFile } from '../../lib/cli/hold.ts'
import { backupRestore, backupWrite } from '../../lib/db/backup.ts'
import { database, databaseClose } from '../../lib/db/client.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { isRefusal, type Refusal } from '../../lib/refusal.ts'
import { settingsRead } from '../../lib/settings.ts'
import { migrateDeploy } from '../../prisma/migrate.ts'
import { useWorkshop } from '../support/database.ts'
import { PICTURE_ID, soundWorkshop } from '../verify/workshop.ts'

const workshop = useWorkshop()
const backup = () => join(workshop.folder, 'kept', 'whole.tar.gz')
const picture = () => join(workshop.folder, 'pictures', `${PICTURE_ID}.svg`)
const migrate = (file: string) => migrateDeploy(file, { journal: 'delete' })
const names = () => readdirSync(workshop.folder).filter((name) => !/-(wal|shm)$/.test(name))

beforeAll(async () => {
  await soundWorkshop(join(workshop.folder, 'pictures'))
  mkdirSync(join(workshop.folder, 'kept'))
  await backupWrite(settingsRead(), backup(), { now: new Date('2026-11-02T18:00:00Z') })
})

const sha256 = (bytes: Buffer | string) => createHash('sha256').update(bytes).digest('hex')

/** Digest of every row of every table a person works with, and of every picture. */
async function everything(): Promise<Record<string, string>> {
  const tables = await database().$queryRaw<{ name: string }[]>`
    SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name NOT LIKE '%_fts%' ORDER BY name`
  const found: Record<string, string> = {}
  for (const { name } of tables) {
    const columns = await database().$queryRawUnsafe<{ name: string }[]>(
      `SELECT name FROM pragma_table_info('${name}')`,
    )
    const order = columns.map((column) => `"${column.name}"`).join(', ')
    const rows = await database().$queryRawUnsafe<unknown[]>(`SELECT * FROM "${name}" ORDER BY ${order}`)
    found[name] = sha256(
      JSON.stringify(rows, (_, value: unknown) => (typeof value === 'bigint' ? String(value) : value)),
    )
  }
  const folder = join(workshop.folder, 'pictures')
  for (const name of readdirSync(folder)) found[name] = sha256(readFileSync(join(folder, name)))
  await databaseClose()
  return found
}

async function refusal(run: Promise<unknown>): Promise<Refusal> {
  const error: unknown = await run.then(
    () => null,
    (caught: unknown) => caught,
  )
  if (!isRefusal(error)) throw error ?? new Error('it was not refused')
  return error
}

/** Unpacks the backup, lets `change` at it, and packs it again with the entries named (manifest first). */
async function tampered(change: (folder: string) => string[] | undefined): Promise<string> {
  const folder = mkdtempSync(join(workshop.folder, 'tampered-'))
  await extract({ file: backup(), cwd: folder })
  const entries = change(folder) ?? ['manifest.json', 'cotterbook.db', `pictures/${PICTURE_ID}.svg`]
  const file = `${folder}.tar.gz`
  await create({ file, cwd: folder, gzip: true, preservePaths: true, noDirRecurse: true }, entries)
  return file
}

describe('a backup', { timeout: 120_000 }, () => {
  it('holds the whole data set: after a wreck the same rows and pictures are there again', async () => {
    const before = await everything()
    await inTransaction((tx) => tx.part.updateMany({ data: { description: 'wrecked' } }))
    writeFileSync(picture(), 'wrecked')
    expect(await everything()).not.toEqual(before)

    const settings = settingsRead()
    await databaseClose()
    const done = await backupRestore(settings, backup(), { now: new Date('2026-11-03T07:00:00Z'), migrate })
    expect(await everything()).toEqual(before)
    expect(done.pictures).toBe(1)

    // What was there is kept, wrecked as it was.
    expect(readFileSync(join(done.before!, 'pictures', `${PICTURE_ID}.svg`), 'utf8')).toBe('wrecked')
    expect(existsSync(join(done.before!, 'cotterbook.db'))).toBe(true)
  })

  it('is not written over another one unless told to', async () => {
    const before = sha256(readFileSync(backup()))
    const error = await refusal(backupWrite(settingsRead(), backup(), { now: new Date() }))
    expect(error.code).toBe('backup/exists')
    expect(sha256(readFileSync(backup()))).toBe(before)
    const other = join(workshop.folder, 'kept', 'other.tar.gz')
    writeFileSync(other, 'old')
    await backupWrite(settingsRead(), other, { now: new Date(), force: true })
    expect(readdirSync(join(workshop.folder, 'kept')).sort()).toEqual(['other.tar.gz', 'whole.tar.gz'])
  })

  it('that cannot be written leaves nothing behind', async () => {
    const error = await refusal(
      backupWrite(settingsRead(), join(workshop.folder, 'no-such-folder', 'b.tar.gz'), { now: new Date() }),
    )
    expect(error.code).toBe('backup/not-written')
    expect(readdirSync(workshop.folder).filter((name) => name.startsWith('.backup-'))).toEqual([])
  })

  it('says which picture was missing already, and still restores everything else', async () => {
    const bytes = readFileSync(picture())
    rmSync(picture())
    const file = join(workshop.folder, 'kept', 'poor.tar.gz')
    const done = await backupWrite(settingsRead(), file, { now: new Date() })
    expect(done.missing).toEqual([`pictures/${PICTURE_ID}.svg`])
    const restored = await backupRestore(settingsRead(), file, { now: new Date('2026-11-03T08:00:00Z'), migrate })
    expect(restored.missing).toEqual(done.missing)
    writeFileSync(picture(), bytes)
    rmSync(file)
  })
})

describe('a backup that cannot be trusted is refused and the data stands as before', () => {
  const cases: [string, () => Promise<string>, RegExp][] = [
    [
      'one byte of the database flipped',
      () =>
        tampered((folder) => {
          const bytes = readFileSync(join(folder, 'cotterbook.db'))
          bytes[5000] = bytes[5000]! ^ 1
          writeFileSync(join(folder, 'cotterbook.db'), bytes)
          return undefined
        }),
      /cotterbook\.db does not fit its digest/,
    ],
    [
      'one byte of the packed file flipped',
      async () => {
        const bytes = readFileSync(backup())
        bytes[Math.floor(bytes.length / 2)]! ^= 0xff
        const file = join(workshop.folder, 'flipped.tar.gz')
        writeFileSync(file, bytes)
        return file
      },
      /./,
    ],
    [
      'cut off in the middle',
      async () => {
        const file = join(workshop.folder, 'cut.tar.gz')
        const bytes = readFileSync(backup())
        writeFileSync(file, bytes.subarray(0, Math.floor(bytes.length / 2)))
        return file
      },
      /./,
    ],
    ['a picture missing', () => tampered(() => ['manifest.json', 'cotterbook.db']), /pictures\/.* is missing/],
    [
      'a picture missing and left out of the manifest too',
      () =>
        tampered((folder) => {
          const file = join(folder, 'manifest.json')
          const manifest = JSON.parse(readFileSync(file, 'utf8')) as { files: { path: string }[] }
          manifest.files = manifest.files.filter((one) => one.path === 'cotterbook.db')
          writeFileSync(file, JSON.stringify(manifest))
          return ['manifest.json', 'cotterbook.db']
        }),
      /pictures\/.* is missing/,
    ],
    [
      'an entry that leads above the folder',
      () =>
        tampered((folder) => {
          writeFileSync(join(folder, '..', 'escaped.txt'), 'out')
          return ['manifest.json', '../escaped.txt', 'cotterbook.db']
        }),
      /escaped\.txt is not named in its manifest/,
    ],
    [
      'a manifest that names a file above the folder',
      () =>
        tampered((folder) => {
          const file = join(folder, 'manifest.json')
          const manifest = JSON.parse(readFileSync(file, 'utf8')) as { files: object[] }
          manifest.files.push({ path: '../escaped.txt', sha256: sha256('out'), bytes: 3 })
          writeFileSync(file, JSON.stringify(manifest))
          writeFileSync(join(folder, '..', 'escaped.txt'), 'out')
          return ['manifest.json', '../escaped.txt', 'cotterbook.db']
        }),
      /manifest\.json is not that of a backup/,
    ],
    [
      'a link in the place of the picture',
      () =>
        tampered((folder) => {
          const file = join(folder, 'pictures', `${PICTURE_ID}.svg`)
          rmSync(file)
          symlinkSync('/etc/hostname', file)
          return undefined
        }),
      /is no plain file but a SymbolicLink/,
    ],
    [
      'the same entry twice',
      () => tampered(() => ['manifest.json', 'cotterbook.db', 'cotterbook.db']),
      /twice|no plain file/,
    ],
    ['no manifest', () => tampered(() => ['cotterbook.db']), /not with its manifest/],
    [
      'a database that is none, with a digest that fits',
      () =>
        tampered((folder) => {
          const bytes = Buffer.from('a shopping list '.repeat(600))
          writeFileSync(join(folder, 'cotterbook.db'), bytes)
          const file = join(folder, 'manifest.json')
          const manifest = JSON.parse(readFileSync(file, 'utf8')) as {
            files: { path: string; sha256: string; bytes: number }[]
          }
          Object.assign(manifest.files[0]!, { sha256: sha256(bytes), bytes: bytes.length })
          writeFileSync(file, JSON.stringify(manifest))
          return undefined
        }),
      /./,
    ],
    ['no file at all', async () => join(workshop.folder, 'nowhere.tar.gz'), /it is not there/],
  ]

  it.each(cases)('%s', async (_, make, says) => {
    const before = await everything()
    const file = await make()
    const folders = names()
    const error = await refusal(backupRestore(settingsRead(), file, { now: new Date(), migrate }))
    expect(error.code).toBe('backup/refused')
    expect(error.faults.join('\n')).toMatch(says)
    expect(await everything()).toEqual(before)
    // Nothing was unpacked anywhere, and nothing of the attempt is left.
    expect(names()).toEqual(folders)
  })

  it('nor is the data replaced when the restored database cannot be brought up to date', async () => {
    const before = await everything()
    const error = await refusal(
      backupRestore(settingsRead(), backup(), {
        now: new Date(),
        migrate: () => Promise.reject(new Error('no room on the disk')),
      }),
    )
    expect(error.code).toBe('backup/not-restored')
    expect(error.happened).toContain('no room on the disk')
    expect(await everything()).toEqual(before)
  })

  it('and a fault in the middle of the exchange puts the old data back', async () => {
    const before = await everything()
    const now = new Date('2026-11-04T07:00:00Z')
    // The place where the old pictures should be kept is taken by a file: the database has moved by then.
    const kept = join(workshop.folder, 'before-restore-2026-11-04T07-00-00-000Z')
    const migrateAndBlock = async (file: string) => {
      await migrateDeploy(file)
      const pictures = join(file, '..', 'pictures')
      rmSync(pictures, { recursive: true })
      mkdirSync(join(kept, 'pictures', 'in-the-way'), { recursive: true })
    }
    const error = await refusal(backupRestore(settingsRead(), backup(), { now, migrate: migrateAndBlock }))
    expect(error.code).toBe('backup/not-restored')
    expect(await everything()).toEqual(before)
    rmSync(kept, { recursive: true })
  })
})

describe('while somebody uses the data', () => {
  it('nothing is restored, and what a dead server left behind needs a person to say so', async () => {
    const before = await everything()
    const settings = settingsRead()
    // A process number beyond the largest that Linux gives (proc(5): pid_max is at most 2^22).
    appendFileSync(holdFile(settings.dataDir), '5000000\n')
    expect((await refusal(restoreCommand(settings, backup(), false))).code).toBe('workshop/stale-hold')
    expect(await everything()).toEqual(before)
    const { status } = await restoreCommand(settings, backup(), true)
    expect(status).toBe(0)
    expect(existsSync(holdFile(settings.dataDir))).toBe(false)
  })
})
