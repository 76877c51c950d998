import { migrateDeploy } from '../../prisma/migrate.ts'
import { backupRestore, backupWrite } from '../db/backup.ts'
import { databaseClose } from '../db/client.ts'
import type { Settings } from '../settings.ts'
import { type Answer, EXIT } from './answer.ts'
import { holdTake } from './hold.ts'

/** Pages that were published stand in the parts book, those that were dropped are left out. */
function held({ pictures, documents, pages }: { pictures: number; documents: number; pages: number }): string {
  return `${pictures} pictures, ${documents} documents and ${pages} files of pages on the desk`
}

/** `cotterbook backup FILE`: exit 1 when a file was missing, although the backup stands. */
export async function backupCommand(settings: Settings, file: string, force: boolean): Promise<Answer> {
  const done = await backupWrite(settings, file, { now: new Date(), force })
  const lines = [`Backed up to ${done.file}: the database, ${held(done)}, ${done.bytes} bytes.`]
  for (const path of done.missing) lines.push(`  ${path} is missing or changed and is not in it.`)
  if (done.missing.length > 0)
    lines.push('Next: bring those figures, documents or pages in again; everything else is in the backup.')
  return { status: done.missing.length > 0 ? EXIT.refused : EXIT.fine, text: lines.join('\n'), json: done }
}

/** `cotterbook restore FILE`: refused while a server holds the data. */
export async function restoreCommand(settings: Settings, file: string, force: boolean): Promise<Answer> {
  const hold = holdTake(settings.dataDir, force ? 'take' : 'refuse')
  try {
    await databaseClose()
    // Without a write-ahead log the one file is the whole database when it is moved; the next start sets the log up again.
    const done = await backupRestore(settings, file, {
      now: new Date(),
      migrate: (staged) => migrateDeploy(staged, { journal: 'delete' }),
    })
    const lines = [`Restored the backup of ${done.created}: the database, ${held(done)}.`]
    if (done.before !== null) lines.push(`What was there is kept in ${done.before}`)
    for (const path of done.missing) lines.push(`  ${path} was missing already when the backup was made.`)
    return { status: EXIT.fine, text: lines.join('\n'), json: done }
  } finally {
    hold.release()
  }
}
