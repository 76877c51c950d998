import { guardFaults } from './guard.ts'
import { type PictureRow, pictureFaults } from './picture.ts'
import { checkRun, reportOf, type VerifyReport } from './report.ts'
import { SECOND_OPINION } from './second-opinion-sql.ts'
import { secondReaderAsk, secondReaderClose, secondReaderLoad, secondReaderOpen } from './second-reader.ts'
import { type EntryRow, entryFaults } from './service-book.ts'

export interface SecondOpinionOptions {
  guards: ReadonlyMap<string, string>
  /** Where the pictures of this database are; null when there is nothing to compare with. */
  picturesDir: string | null
  /** The same for documents. */
  documentsDir?: string
  /** Told when the driver has to be built first. */
  say: (line: string) => void
}

/**
 * A second opinion on a database file, from another driver and other arithmetic than the ones that wrote it. The file is
 * opened for reading only. Refuses with 'verify/not-checked' when there is no driver.
 */
export async function secondOpinion(file: string, options: SecondOpinionOptions): Promise<VerifyReport> {
  const sqlite3 = await secondReaderLoad(file, options.say)
  let open: Awaited<ReturnType<typeof secondReaderOpen>>
  try {
    open = await secondReaderOpen(sqlite3, file)
  } catch (error) {
    return reportOf([
      await checkRun('database file is whole', () => {
        throw error
      }),
    ])
  }
  const ask = <T>(sql: string) => secondReaderAsk<T>(open, sql)
  try {
    const checks = [
      await checkRun('database file is whole', async () =>
        (await ask<{ integrity_check: string }>('PRAGMA integrity_check'))
          .map((row) => row.integrity_check)
          .filter((said) => said !== 'ok'),
      ),
      await checkRun('references lead somewhere', async () =>
        (await ask<{ table: string; rowid: number; parent: string }>('PRAGMA foreign_key_check')).map(
          (row) => `${row.table} ${row.rowid} names a ${row.parent} that is not there`,
        ),
      ),
      await checkRun('guards stand', async () =>
        guardFaults(
          options.guards,
          await ask<{ name: string; sql: string }>(`SELECT name, sql FROM sqlite_master WHERE type = 'trigger'`),
        ),
      ),
    ]
    const named = async (table: string) =>
      (await ask<{ name: string }>(`SELECT name FROM sqlite_master WHERE type = 'table' AND name = '${table}'`))
        .length > 0
    for (const { name, sql, table } of SECOND_OPINION)
      checks.push(
        await checkRun(name, async () => {
          if (table !== undefined && !(await named(table))) return []
          return (await ask<{ fault: string }>(sql)).map((row) => row.fault)
        }),
      )
    checks.push(
      await checkRun('service book is as written', async () =>
        entryFaults(
          await ask<EntryRow>('SELECT id, machineId, jobId, content, digest, correctsId FROM ServiceBookEntry'),
        ),
      ),
    )
    const { picturesDir, documentsDir } = options
    if (picturesDir !== null)
      checks.push(
        await checkRun('pictures are as kept', async () =>
          pictureFaults(picturesDir, await ask<PictureRow>('SELECT id, extension, bytes FROM Picture')),
        ),
      )
    if (documentsDir !== undefined)
      checks.push(
        await checkRun('documents are as kept', async () => {
          // A database of an earlier version has no documents.
          const tables = await ask<{ name: string }>("SELECT name FROM sqlite_master WHERE name = 'Document'")
          if (tables.length === 0) return []
          return pictureFaults(
            documentsDir,
            await ask<PictureRow>('SELECT id, extension, bytes FROM Document'),
            'document',
          )
        }),
      )
    return reportOf(checks)
  } finally {
    await secondReaderClose(open)
  }
}
