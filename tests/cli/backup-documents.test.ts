import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { backupRestore, backupWrite } from '../../lib/db/backup.ts'
import { databaseClose } from '../../lib/db/client.ts'
import { documentOfNote, noteFileAdd, noteRemove, notesOf } from '../../lib/db/part-note.ts'
import { workshopVerify } from '../../lib/db/verify.ts'
import { settingsRead } from '../../lib/settings.ts'
import { guardsOf, migrationsRead } from '../../prisma/engine.ts'
import { migrateDeploy } from '../../prisma/migrate.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

const workshop = useWorkshop()
const PDF = '%PDF-1.7\n1 0 obj << >> endobj\ntrailer << >>\nstartxref\n0\n%%EOF\n'
const sent = (text: string, name: string) => ({ bytes: new Uint8Array(Buffer.from(text)), name })
const migrate = (file: string) => migrateDeploy(file, { journal: 'delete' })
const folder = () => join(workshop.folder, 'documents')
const kept = () => readdirSync(folder()).map((name) => join(folder(), name))

let partId: number
let storekeeper: string

beforeAll(async () => {
  storekeeper = await aPerson('Nell Harrow')
  partId = await aPart({ number: 'TX-77' })
})

async function documentFaults(): Promise<string[]> {
  const migrations = migrationsRead()
  const { picturesDir, documentsDir, pagesDir } = settingsRead()
  const report = await workshopVerify({
    picturesDir,
    documentsDir,
    pagesDir,
    guards: guardsOf(migrations),
    migrations: migrations.map((one) => one.name),
  })
  return report.checks.find((check) => check.name === 'documents are as kept')!.faults
}

describe('the documents of parts', () => {
  test('are in the backup, come back byte for byte, and a changed or lost one is found', async () => {
    const { noteId } = await noteFileAdd(asWriter(storekeeper), {
      partId,
      text: 'Fitting sheet of the maker',
      sent: sent(PDF, 'C:\\scans\\fitting sheet.PDF'),
    })
    expect((await documentOfNote(noteId))!.fileName).toBe('fitting sheet.pdf')
    expect(await documentFaults()).toEqual([])
    const file = join(workshop.folder, 'whole.tar.gz')
    expect(await backupWrite(settingsRead(), file, { now: new Date('2026-11-02T18:00:00Z') })).toMatchObject({
      documents: 1,
      missing: [],
    })

    writeFileSync(kept()[0]!, `${PDF}changed`)
    expect((await documentFaults()).join()).toContain('was changed')
    rmSync(kept()[0]!)
    expect((await documentFaults()).join()).toContain('is missing')
    const poor = join(workshop.folder, 'poor.tar.gz')
    expect((await backupWrite(settingsRead(), poor, { now: new Date('2026-11-02T19:00:00Z') })).missing).toHaveLength(1)

    await databaseClose()
    const done = await backupRestore(settingsRead(), file, { now: new Date('2026-11-03T07:00:00Z'), migrate })
    expect(done.documents).toBe(1)
    expect(existsSync(join(done.before!, 'documents'))).toBe(true)
    expect(readFileSync(kept()[0]!, 'latin1')).toBe(PDF)
    expect(await documentFaults()).toEqual([])
  })

  test('taken off the card a document stays in the history, and its file on the disk', async () => {
    const [note] = await notesOf(partId)
    await noteRemove(asWriter(storekeeper), { noteId: note!.id })
    expect((await notesOf(partId))[0]).toMatchObject({ removed: { by: 'Nell Harrow' }, by: 'Nell Harrow' })
    expect(kept()).toHaveLength(1)
    expect(await documentFaults()).toEqual([])
  })
})
