import { closeSync, existsSync, mkdtempSync, openSync, readSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { guardsOf, migrationsRead } from '../../prisma/engine.ts'
import { backupOpen } from '../db/backup.ts'
import { databaseClose } from '../db/client.ts'
import { workshopVerify } from '../db/verify.ts'
import { Refusal } from '../refusal.ts'
import type { Settings } from '../settings.ts'
import { BACKUP_DATABASE } from '../verify/backup-file.ts'
import type { VerifyReport } from '../verify/report.ts'
import { secondOpinion } from '../verify/second-opinion.ts'
import { type Answer, EXIT } from './answer.ts'

/** What a report says to a person: a line for each check, and each fault under it. */
function said(what: string, { ok, checks }: VerifyReport): string {
  const lines = checks.flatMap(({ name, faults }) =>
    faults.length === 0 ? [`ok     ${name}`] : faults.map((fault) => `WRONG  ${name}: ${fault}`),
  )
  const wrong = checks.filter((check) => !check.ok).length
  lines.push(
    ok
      ? `${what}: all ${checks.length} checks hold.`
      : `${what}: ${wrong} of ${checks.length} checks do not hold. Nothing was changed. Next: keep a backup, then put each line right or restore a backup from before.`,
  )
  return lines.join('\n')
}

function answer(what: string, report: VerifyReport): Answer {
  return { status: report.ok ? EXIT.fine : EXIT.refused, text: said(what, report), json: report }
}

/** `cotterbook verify`: proves the running data set. It is not brought up to date first, because that would put guards back. */
export async function verifyWorkshop(settings: Settings): Promise<Answer> {
  if (!existsSync(settings.databaseFile)) throw new Refusal('workshop/no-database', { file: settings.databaseFile })
  try {
    const migrations = migrationsRead()
    const report = await workshopVerify({
      picturesDir: settings.picturesDir,
      documentsDir: settings.documentsDir,
      pagesDir: settings.pagesDir,
      guards: guardsOf(migrations),
      migrations: migrations.map((one) => one.name),
    })
    return answer(settings.databaseFile, report)
  } finally {
    await databaseClose()
  }
}

/** True for a gzip file (RFC 1952, section 2.3.1: it begins with 1f 8b). */
function isGzip(file: string): boolean {
  const handle = openSync(file, 'r')
  try {
    const head = Buffer.alloc(2)
    return readSync(handle, head, 0, 2, 0) === 2 && head[0] === 0x1f && head[1] === 0x8b
  } finally {
    closeSync(handle)
  }
}

/** `cotterbook verify FILE`: a second opinion on a database file or a backup, by another driver. */
export async function verifyFile(name: string, say: (line: string) => void): Promise<Answer> {
  const file = resolve(name)
  if (!existsSync(file)) throw new Refusal('workshop/no-database', { file })
  const guards = guardsOf(migrationsRead())
  if (!isGzip(file)) return answer(file, await secondOpinion(file, { guards, picturesDir: null, say }))
  const folder = mkdtempSync(join(tmpdir(), 'cotterbook-verify-'))
  try {
    const { missing } = await backupOpen(file, folder)
    const report = await secondOpinion(join(folder, BACKUP_DATABASE), {
      guards,
      picturesDir: join(folder, 'pictures'),
      documentsDir: join(folder, 'documents'),
      say,
    })
    if (missing.length > 0) say(`Missing already when the backup was made: ${missing.join(', ')}`)
    return answer(file, report)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
