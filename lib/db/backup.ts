import { createHash, randomUUID } from 'node:crypto'
import {
  closeSync,
  copyFileSync,
  cpSync,
  createReadStream,
  existsSync,
  fsyncSync,
  linkSync,
  mkdirSync,
  openSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { basename, dirname, join, resolve } from 'node:path'
import { create } from 'tar'
import { picturePath } from '../picture/store.ts'
import { isRefusal, Refusal } from '../refusal.ts'
import type { Settings } from '../settings.ts'
import { BACKUP_DATABASE, BACKUP_MANIFEST, type BackupManifest, backupUnpack } from '../verify/backup-file.ts'
import { SqliteAdapter } from './adapter.ts'
import { databaseFileFaults } from './verify.ts'

export interface BackupDone {
  file: string
  bytes: number
  pictures: number
  documents: number
  /** Files of pages that lie on the desk. */
  pages: number
  /** Files that the data names and that are not whole on disk: the backup holds everything else. */
  missing: string[]
}

function why(error: unknown): string {
  return error instanceof Error ? error.message : String(error)
}

async function ask(file: string, sql: string, args: string[] = []): Promise<unknown[][]> {
  const connection = await new SqliteAdapter(`file:${file}`).connect()
  try {
    const argTypes = args.map(() => ({ scalarType: 'string' as const, arity: 'scalar' as const }))
    return (await connection.queryRaw({ sql, args, argTypes })).rows
  } finally {
    await connection.dispose()
  }
}

async function facts(path: string): Promise<{ sha256: string; bytes: number }> {
  const hash = createHash('sha256')
  for await (const chunk of createReadStream(path)) hash.update(chunk as Buffer)
  return { sha256: hash.digest('hex'), bytes: statSync(path).size }
}

/**
 * The files a database names: `pictures/<sha256>.<extension>`, `documents/<sha256>.pdf`, and `pages/...` of what lies on the
 * page desk (what was published stands in the parts book, what was dropped can be brought again).
 */
async function filesNamed(databaseFile: string): Promise<string[]> {
  const tables = await ask(databaseFile, "SELECT name FROM sqlite_master WHERE type = 'table'")
  const there = new Set(tables.map(([name]) => String(name)))
  const of = async (folder: string, sql: string) =>
    (await ask(databaseFile, sql))
      .filter(([id]) => id !== null)
      .map(([id, extension]) => `${folder}/${basename(picturePath('', String(id), String(extension)))}`)
  const onDesk = `FROM PageDraft d JOIN PageSource s ON s.id = d.sourceId WHERE d.state NOT IN ('published', 'dropped')`
  return [
    ...(await of('pictures', 'SELECT id, extension FROM "Picture" ORDER BY id')),
    // A backup of an earlier version knows neither documents nor the page desk.
    ...(there.has('Document') ? await of('documents', 'SELECT id, extension FROM "Document" ORDER BY id') : []),
    ...(there.has('PageDraft')
      ? await of(
          'pages',
          `SELECT s.id, s.extension ${onDesk} UNION SELECT d.pictureId, 'png' ${onDesk} UNION SELECT d.viewId, 'png' ${onDesk}`,
        )
      : []),
  ]
}

/** How many of the files lie in a folder of the backup. */
function countIn(folder: string, files: readonly { path: string }[]): number {
  return files.filter((one) => one.path.startsWith(`${folder}/`)).length
}

/** Files that the data names lie in one of these. */
const FOLDERS = ['pictures', 'documents', 'pages'] as const

function folderOf(settings: Settings, name: string): string {
  if (name.startsWith('documents/')) return settings.documentsDir
  return name.startsWith('pages/') ? settings.pagesDir : settings.picturesDir
}

function linkOrCopy(from: string, to: string): void {
  try {
    linkSync(from, to)
  } catch {
    copyFileSync(from, to)
  }
}

/**
 * Writes the whole data set into one file: the database as of one instant (while people go on working) and its pictures,
 * with the digest of each. Refuses with 'backup/exists' and 'backup/not-written'; a half backup never stands under the name.
 */
export async function backupWrite(
  settings: Settings,
  file: string,
  options: { now: Date; force?: boolean },
): Promise<BackupDone> {
  const target = resolve(file)
  if (!existsSync(settings.databaseFile)) throw new Refusal('workshop/no-database', { file: settings.databaseFile })
  if (existsSync(target) && !options.force) throw new Refusal('backup/exists', { file: target })
  const id = randomUUID().slice(0, 8)
  const staging = join(settings.dataDir, `.backup-${id}`)
  const beside = `${target}.${id}.part`
  try {
    for (const folder of FOLDERS) mkdirSync(join(staging, folder), { recursive: true })
    await ask(settings.databaseFile, 'VACUUM INTO ?', [join(staging, BACKUP_DATABASE)])
    const names = await filesNamed(join(staging, BACKUP_DATABASE))
    const manifest: BackupManifest = {
      format: 'cotterbook-backup',
      version: 1,
      created: options.now.toISOString(),
      files: [{ path: BACKUP_DATABASE, ...(await facts(join(staging, BACKUP_DATABASE))) }],
      missing: [],
    }
    for (const name of names) {
      const from = join(folderOf(settings, name), basename(name))
      const found = existsSync(from) ? await facts(from) : null
      if (found?.sha256 === basename(name).slice(0, 64)) {
        linkOrCopy(from, join(staging, name))
        manifest.files.push({ path: name, ...found })
      } else manifest.missing.push(name)
    }
    writeFileSync(join(staging, BACKUP_MANIFEST), JSON.stringify(manifest, null, 2))
    const entries = [BACKUP_MANIFEST, ...manifest.files.map((one) => one.path)]
    await create({ file: beside, cwd: staging, gzip: true, portable: true, noDirRecurse: true, strict: true }, entries)
    const handle = openSync(beside, 'r+')
    fsyncSync(handle)
    closeSync(handle)
    renameSync(beside, target)
    return {
      file: target,
      bytes: statSync(target).size,
      pictures: countIn('pictures', manifest.files),
      documents: countIn('documents', manifest.files),
      pages: countIn('pages', manifest.files),
      missing: manifest.missing,
    }
  } catch (error) {
    throw isRefusal(error) ? error : new Refusal('backup/not-written', { file: target, why: why(error) })
  } finally {
    rmSync(beside, { force: true })
    rmSync(staging, { recursive: true, force: true })
  }
}

/** Unpacks a backup into an empty folder and proves it: digests, database, pictures. Refuses with 'backup/refused'. */
export async function backupOpen(file: string, folder: string): Promise<BackupManifest> {
  const manifest = await backupUnpack(file, folder)
  const databaseFile = join(folder, BACKUP_DATABASE)
  const faults = await databaseFileFaults(databaseFile)
  if (faults.length === 0) {
    const there = new Set([...manifest.files.map((one) => one.path), ...manifest.missing])
    for (const name of await filesNamed(databaseFile)) if (!there.has(name)) faults.push(`${name} is missing`)
  }
  if (faults.length > 0) throw new Refusal('backup/refused', { file }, { faults })
  return manifest
}

export interface RestoreDone {
  created: string
  pictures: number
  documents: number
  pages: number
  /** Where the data that was there is kept; null when there was none. */
  before: string | null
  missing: string[]
}

/** Moves a file or folder, also onto another disk. */
function move(from: string, to: string): void {
  try {
    renameSync(from, to)
  } catch (error) {
    if (!(error instanceof Error && 'code' in error && error.code === 'EXDEV')) throw error
    cpSync(from, to, { recursive: true, errorOnExist: true, force: false })
    rmSync(from, { recursive: true, force: true })
  }
}

/**
 * Puts a backup in the place of the data that is there, all or nothing. The backup is unpacked, proved and brought up to
 * date beside it first; what was there is kept as DATA_DIR/before-restore-<time>. When anything fails it stands as before.
 * The caller makes sure that nobody uses the data meanwhile.
 */
export async function backupRestore(
  settings: Settings,
  file: string,
  options: { now: Date; migrate: (databaseFile: string) => Promise<unknown> },
): Promise<RestoreDone> {
  const staging = join(settings.dataDir, `.restore-${randomUUID().slice(0, 8)}`)
  mkdirSync(staging, { recursive: true })
  const undo: (() => void)[] = []
  try {
    const manifest = await backupOpen(file, staging)
    for (const folder of FOLDERS) mkdirSync(join(staging, folder), { recursive: true })
    const staged = join(staging, BACKUP_DATABASE)
    await options.migrate(staged)
    const before = join(settings.dataDir, `before-restore-${options.now.toISOString().replace(/[:.]/g, '-')}`)
    const step = (from: string, to: string) => {
      if (!existsSync(from)) return
      move(from, to)
      undo.push(() => move(to, from))
    }
    const there = [settings.databaseFile, ...FOLDERS.map((folder) => folderOf(settings, `${folder}/`))].some((one) =>
      existsSync(one),
    )
    if (there) mkdirSync(before)
    mkdirSync(dirname(settings.databaseFile), { recursive: true })
    // The write-ahead log belongs to its database: left behind, it would be played into the restored one.
    for (const tail of ['-wal', '-shm', '-journal', ''])
      step(`${settings.databaseFile}${tail}`, join(before, `${BACKUP_DATABASE}${tail}`))
    for (const folder of FOLDERS) {
      step(folderOf(settings, `${folder}/`), join(before, folder))
      step(join(staging, folder), folderOf(settings, `${folder}/`))
    }
    for (const tail of ['-wal', '-shm', '']) step(`${staged}${tail}`, `${settings.databaseFile}${tail}`)
    return {
      created: manifest.created,
      pictures: countIn('pictures', manifest.files),
      documents: countIn('documents', manifest.files),
      pages: countIn('pages', manifest.files),
      before: there ? before : null,
      missing: manifest.missing,
    }
  } catch (error) {
    for (const back of undo.reverse()) back()
    throw isRefusal(error) ? error : new Refusal('backup/not-restored', { why: why(error) })
  } finally {
    rmSync(staging, { recursive: true, force: true })
  }
}
