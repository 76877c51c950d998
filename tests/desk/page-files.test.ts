import { existsSync, mkdirSync, readdirSync, rmSync, utimesSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { backupRestore, backupWrite } from '../../lib/db/backup.ts'
import { database, databaseClose } from '../../lib/db/client.ts'
import { draftDrop, draftPutBack, draftSave, sourceBring } from '../../lib/db/page-desk.ts'
import { draftRead, draftViewPicture, sourceThumbnail } from '../../lib/db/page-desk-read.ts'
import { pageFilesNamed, pageFilesSweep } from '../../lib/db/page-files.ts'
import { draftPublish } from '../../lib/db/page-publish.ts'
import { readingsStart } from '../../lib/db/page-reading.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { deskHistory, deskStep } from '../../lib/figure/desk.ts'
import { settingsRead } from '../../lib/settings.ts'
import { pageFileFaults } from '../../lib/verify/page.ts'
import { migrateDeploy } from '../../prisma/migrate.ts'
import { refusalOf } from '../exchange/hub-figure.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aPage, fakeReader } from './fake-reader.ts'

const workshop = useWorkshop()
const folder = () => settingsRead().pagesDir
const DAY_MS = 86_400_000
const inDays = (days: number) => new Date(Date.now() + days * DAY_MS)

let writer: string | null = null
async function nell() {
  writer ??= await aPerson('Nell Farrow')
  return { ...asWriter(writer), now: new Date() }
}

/** A page that was brought and read, with the names of its files. */
async function aDraft(bytes?: Buffer): Promise<{ draftId: number; files: string[] }> {
  const reader = fakeReader()
  const page = bytes ?? (await aPage())
  const { draftId } = await sourceBring(await nell(), reader, { bytes: page, name: 'hub.png' })
  await readingsStart(reader, [draftId!])
  const row = await database().pageDraft.findUniqueOrThrow({ where: { id: draftId! } })
  return { draftId: draftId!, files: [row.sourceId, row.pictureId, row.viewId].map((id) => `${id}.png`) }
}

const there = (files: readonly string[]) => files.map((name) => existsSync(join(folder(), name)))
const faults = async () => pageFileFaults(folder(), await pageFilesNamed())

let numbers = 0
async function published(draftId: number): Promise<void> {
  const view = await draftRead(draftId)
  numbers += 1
  const head = { maker: 'Thornley & Pike', model: 'TB6', kind: 'tipping trailer', number: `8-${numbers}`, title: 'Hub' }
  const nine = view.draft!.callouts.find((one) => one.item === '9')!.id
  const steps = [
    { do: 'renumber', id: nine, item: '3' },
    { do: 'set-head', head: { ...head, positions: 'LH left wheel\nRH right wheel' } },
  ] as const
  const draft = steps.reduce(deskStep, deskHistory(view.draft!)).present
  const { version } = await draftSave(await nell(), { draftId, version: view.version, draft })
  await draftPublish(await nell(), { draftId, version, supersede: [] })
}

describe('files of pages', () => {
  it('go when the page is published, and those of a page on the desk stay', async () => {
    const [one, other] = [await aDraft(), await aDraft()]
    await published(one.draftId)
    expect(there(one.files)).toEqual([false, false, false])
    expect(there(other.files)).toEqual([true, true, true])
    expect((await draftViewPicture(other.draftId)).bytes.byteLength).toBeGreaterThan(50)
    expect(await faults()).toEqual([])
  })

  it('stay when another page on the desk names the same file', async () => {
    const bytes = await aPage()
    const first = await aDraft(bytes)
    await published(first.draftId)
    const again = await aDraft(bytes)
    const third = await aDraft()
    await published(third.draftId)
    expect(again.files[0]).toBe(first.files[0])
    expect(there(again.files)).toEqual([true, true, true])
  })

  it('of a dropped page stay six days for putting it back, and go after a week', async () => {
    const { draftId, files } = await aDraft()
    await draftDrop(await nell(), { draftId })
    await pageFilesSweep(inDays(6))
    expect(there(files)).toEqual([true, true, true])
    await draftPutBack(await nell(), { draftId })
    expect((await draftRead(draftId)).state).toBe('ready')
    // On the desk again, they stay however long it lies there.
    await pageFilesSweep(inDays(400))
    expect(there(files)).toEqual([true, true, true])
    await draftDrop(await nell(), { draftId })
    expect(await pageFilesSweep(inDays(8))).toBe(3)
    expect(there(files)).toEqual([false, false, false])
    expect((await refusalOf(draftPutBack(await nell(), { draftId }))).code).toBe('desk/file-gone')
    expect((await draftRead(draftId)).state).toBe('dropped')
  })

  it('that no row names go when they are older than a week, half written ones too; younger ones may be coming in', async () => {
    mkdirSync(folder(), { recursive: true })
    const names = ['a', 'b'].map((sign) => `${sign.repeat(64)}.png`)
    names.push(`${'c'.repeat(64)}.png.4711.part`)
    for (const name of names) writeFileSync(join(folder(), name), 'left over')
    for (const name of names.slice(1)) utimesSync(join(folder(), name), inDays(-8), inDays(-8))
    expect(await pageFilesSweep(new Date())).toBe(2)
    expect(there(names)).toEqual([true, false, false])
  })

  it('of a file of several pages stay a week after the last page was chosen', async () => {
    const reader = fakeReader({ pages: 12 })
    const bytes = await aPage()
    const { sourceId } = await sourceBring(await nell(), reader, { bytes, name: 'book.pdf' })
    await pageFilesSweep(inDays(6))
    expect((await sourceThumbnail(reader, sourceId, 3)).byteLength).toBeGreaterThan(50)
    expect(there([`${sourceId}.png`])).toEqual([true])
    await pageFilesSweep(inDays(8))
    expect(there([`${sourceId}.png`])).toEqual([false])
    await sourceBring(await nell(), reader, { bytes, name: 'book.pdf' })
    expect(there([`${sourceId}.png`])).toEqual([true])
  })
})

describe('the proof of the workshop', () => {
  it('names the page whose file is missing or was changed, and no page that left the desk', async () => {
    const { draftId, files } = await aDraft()
    expect(await faults()).toEqual([])
    writeFileSync(join(folder(), files[1]!), 'not the page')
    rmSync(join(folder(), files[2]!))
    expect(await faults()).toEqual([
      `page 1 of hub.png: its picture, ${files[1]}, was changed: its bytes do not fit its name`,
      `page 1 of hub.png: its picture for the screen, ${files[2]}, is missing`,
    ])
    await draftDrop(await nell(), { draftId })
    expect(await faults()).toEqual([])
    await inTransaction((tx) => tx.pageDraft.delete({ where: { id: draftId } }))
  })

  it('holds for a restored backup: pages on the desk come back with their files, dropped ones without', async () => {
    const [kept, dropped] = [await aDraft(), await aDraft()]
    await draftDrop(await nell(), { draftId: dropped.draftId })
    const named = new Set((await pageFilesNamed()).flatMap((one) => one.files.map(({ id }) => `${id}.png`)))
    const file = join(workshop.folder, 'desk.tar.gz')
    expect(await backupWrite(settingsRead(), file, { now: new Date() })).toMatchObject({
      pages: named.size,
      missing: [],
    })
    await databaseClose()
    rmSync(folder(), { recursive: true })
    const migrate = (staged: string) => migrateDeploy(staged, { journal: 'delete' })
    expect(await backupRestore(settingsRead(), file, { now: new Date(), migrate })).toMatchObject({ pages: named.size })
    expect(new Set(readdirSync(folder()))).toEqual(named)
    expect(there(kept.files)).toEqual([true, true, true])
    expect((await draftRead(kept.draftId)).draft?.callouts.length).toBeGreaterThan(0)
    expect(await faults()).toEqual([])
    expect((await refusalOf(draftPutBack(await nell(), { draftId: dropped.draftId }))).code).toBe('desk/file-gone')
  })
})
