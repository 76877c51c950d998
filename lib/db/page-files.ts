import { readdir, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { settingsRead } from '../settings.ts'
import type { PageDraftFiles } from '../verify/page.ts'
import { database } from './client.ts'
import { inTransaction } from './transaction.ts'

const WEEK_MS = 7 * 86_400_000
/** The page is in the parts book, or was taken off the desk. */
const ENDED = new Set(['published', 'dropped'])

const png = (id: string | null) => (id === null ? [] : [`${id}.png`])

/**
 * Takes files out of DATA_DIR/pages that no page on the desk needs, and answers how many. Kept are: what a page on the desk
 * names; for a week what a dropped page names, since it may be put back, and files of several pages, since more of them may be
 * chosen; for a week too what no row names, since it may just be coming in. Looks and removes inside a transaction, so nobody
 * puts a page on the desk meanwhile.
 */
export function pageFilesSweep(now: Date): Promise<number> {
  const folder = settingsRead().pagesDir
  const isYoung = (at: Date) => now.getTime() - at.getTime() < WEEK_MS
  return inTransaction(async (tx) => {
    const names = await readdir(/*turbopackIgnore: true*/ folder).catch(() => [])
    if (names.length === 0) return 0
    const sources = await tx.pageSource.findMany({
      select: {
        id: true,
        extension: true,
        pageCount: true,
        createdAt: true,
        drafts: { select: { state: true, changedAt: true, pictureId: true, viewId: true } },
      },
    })
    const [needed, ended] = [new Set<string>(), new Set<string>()]
    for (const { id, extension, pageCount, createdAt, drafts } of sources) {
      const isOpen =
        (pageCount > 1 || drafts.length === 0) && [createdAt, ...drafts.map((one) => one.changedAt)].some(isYoung)
      const source = `${id}.${extension}`
      ;(isOpen ? needed : ended).add(source)
      for (const { state, changedAt, pictureId, viewId } of drafts) {
        const isNeeded = !ENDED.has(state) || (state === 'dropped' && isYoung(changedAt))
        for (const name of [source, ...png(pictureId), ...png(viewId)]) (isNeeded ? needed : ended).add(name)
      }
    }
    let removed = 0
    for (const name of names) {
      if (needed.has(name)) continue
      const path = join(/*turbopackIgnore: true*/ folder, name)
      const facts = await stat(path).catch(() => null)
      if (!facts?.isFile() || (!ended.has(name) && isYoung(facts.mtime))) continue
      await rm(path, { force: true })
      removed += 1
    }
    return removed
  })
}

/** After a page has left the desk: what stays behind when this fails goes with the next sweep. */
export async function pageFilesSweepAfter(now: Date): Promise<void> {
  await pageFilesSweep(now).catch(() => undefined)
}

/** Files that the pages on the desk name, for the proof of the workshop. */
export async function pageFilesNamed(): Promise<PageDraftFiles[]> {
  const drafts = await database().pageDraft.findMany({
    where: { state: { notIn: [...ENDED] } },
    include: { source: { select: { name: true, extension: true } } },
    orderBy: { id: 'asc' },
  })
  return drafts.map(({ page, source, sourceId, pictureId, viewId }) => ({
    says: `page ${page} of ${source.name}`,
    files: [
      { what: 'the file it came in', id: sourceId, extension: source.extension },
      ...(pictureId === null ? [] : [{ what: 'its picture', id: pictureId, extension: 'png' }]),
      ...(viewId === null ? [] : [{ what: 'its picture for the screen', id: viewId, extension: 'png' }]),
    ],
  }))
}
