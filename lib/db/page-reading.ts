import { randomUUID } from 'node:crypto'
import { pageCut, pageDigest, VIEW_SIDE_MAX } from '../picture/page-cut.ts'
import { pictureFileWrite, picturePath } from '../picture/store.ts'
import { isRefusal } from '../refusal.ts'
import { settingsRead } from '../settings.ts'
import { database } from './client.ts'
import { draftLaid } from './page-desk.ts'
import { type PageReader, refusalNamed } from './page-reader.ts'
import { inTransaction } from './transaction.ts'

/** A reading that gave no sign of life for so long has ended with its process. */
const SILENCE_MS = 45_000
const BEAT_MS = 4_000
/** Progress is written no more often than this; a bar that jumps faster is not read by anybody. */
const PROGRESS_MS = 400

const INTERRUPTED = 'The program was stopped while it read this page. Nothing is lost: read it again.'

interface Readings {
  /** Names this run of this process in the rows it reads. */
  runner: string
  queue: number[]
  now: Map<number, AbortController>
  busy: Promise<void> | null
}

// A bundler may load this module more than once; there is one queue a process.
const shared = globalThis as typeof globalThis & { __cotterbookReadings?: Readings }

function readings(): Readings {
  shared.__cotterbookReadings ??= {
    runner: `${process.pid}-${randomUUID().slice(0, 8)}`,
    queue: [],
    now: new Map(),
    busy: null,
  }
  return shared.__cotterbookReadings
}

/**
 * Reads the waiting pages one after another, off the request path: returns at once, with a promise of the end for those
 * who want to wait. Two at a time would only make both slow.
 */
export function readingsStart(reader: PageReader, draftIds: readonly number[]): Promise<void> {
  const own = readings()
  for (const id of draftIds) if (!own.queue.includes(id) && !own.now.has(id)) own.queue.push(id)
  own.busy ??= work(reader).finally(() => {
    own.busy = null
    // A page may have come in after the queue was found empty.
    if (own.queue.length > 0) return readingsStart(reader, [])
  })
  return own.busy
}

/** Ends the reading of a page that is running in this process; another process sees it at its next sign of life. */
export function readingAbort(draftId: number): void {
  const own = readings()
  own.queue = own.queue.filter((id) => id !== draftId)
  own.now.get(draftId)?.abort()
}

async function work(reader: PageReader): Promise<void> {
  const own = readings()
  const beat = setInterval(() => void beatAll().catch(() => undefined), BEAT_MS)
  beat.unref()
  try {
    for (let id = own.queue.shift(); id !== undefined; id = own.queue.shift()) await readOne(reader, id)
  } finally {
    clearInterval(beat)
  }
}

/** Says of every page in hand that somebody is still at it, and lets go of those that were stopped elsewhere. */
async function beatAll(): Promise<void> {
  const own = readings()
  const ids = [...own.queue, ...own.now.keys()]
  await inTransaction((tx) =>
    tx.pageDraft.updateMany({
      where: { id: { in: ids }, state: { in: ['waiting', 'reading'] } },
      data: { beatAt: new Date() },
    }),
  )
  for (const [id, controller] of own.now) {
    const row = await database().pageDraft.findUnique({ where: { id }, select: { state: true, runner: true } })
    if (row?.state !== 'reading' || row.runner !== own.runner) controller.abort()
  }
}

async function readOne(reader: PageReader, id: number): Promise<void> {
  const own = readings()
  const mine = { id, state: 'reading', runner: own.runner }
  const taken = await inTransaction((tx) =>
    tx.pageDraft.updateMany({
      where: { id, state: 'waiting' },
      data: { state: 'reading', runner: own.runner, beatAt: new Date(), progress: 0, step: 'Opening the page' },
    }),
  )
  if (taken.count === 0) return
  const controller = new AbortController()
  own.now.set(id, controller)
  let name = 'the page'
  try {
    const { page, source } = await database().pageDraft.findUniqueOrThrow({ where: { id }, include: { source: true } })
    name = source.name
    const { pagesDir } = settingsRead()
    const { reading, picture } = await reader.read(picturePath(pagesDir, source.id, source.extension), {
      page,
      signal: controller.signal,
      onProgress: progressOf(mine),
    })
    if (controller.signal.aborted) return
    const view = await pageCut(picture, null, VIEW_SIDE_MAX)
    const [pictureId, viewId] = [pageDigest(picture), pageDigest(view.bytes)]
    await inTransaction(async (tx) => {
      // Written while nobody else writes, so that no sweep takes them away again before the row names them. Named png whatever
      // is inside: browsers go by the media type that the route finds in the bytes.
      await pictureFileWrite(pagesDir, { id: pictureId, extension: 'png', bytes: picture })
      await pictureFileWrite(pagesDir, { id: viewId, extension: 'png', bytes: view.bytes })
      const draft = await draftLaid(tx, id, reading)
      await tx.pageDraft.updateMany({
        where: mine,
        data: {
          state: 'ready',
          progress: 1,
          step: '',
          reading: JSON.stringify(reading),
          draft: JSON.stringify(draft),
          pictureId,
          viewId,
          runner: null,
          changedAt: new Date(),
        },
      })
    })
  } catch (error) {
    const failure = wordsOf(refusalNamed(error, name))
    await inTransaction((tx) =>
      // A page that was stopped by hand has its words already and is no longer ours.
      tx.pageDraft.updateMany({ where: mine, data: { state: 'failed', failure, runner: null, changedAt: new Date() } }),
    )
  } finally {
    own.now.delete(id)
  }
}

function progressOf(mine: { id: number; state: string; runner: string }) {
  let last = 0
  let writing = false
  return (share: number, step: string) => {
    const now = Date.now()
    if (writing || now - last < PROGRESS_MS) return
    last = now
    writing = true
    const data = { progress: Math.max(0, Math.min(1, share)), step: step.slice(0, 120), beatAt: new Date(now) }
    inTransaction((tx) => tx.pageDraft.updateMany({ where: mine, data }))
      // A bar that stands still for a moment is no reason to stop the reading.
      .catch(() => undefined)
      .finally(() => {
        writing = false
      })
  }
}

function wordsOf(error: unknown): string {
  if (isRefusal(error)) return `${error.happened} ${error.next}`
  const why = error instanceof Error ? error.message : String(error)
  return `The page could not be read: ${why.replace(/\s+/g, ' ').slice(0, 200)}`
}

/** Marks readings whose process has ended as failed, so that nobody waits for them. Called whenever the desk is looked at. */
export async function readingsSettle(now: Date): Promise<number> {
  const db = database()
  const own = readings()
  const open = await db.pageDraft.findMany({
    where: { state: { in: ['waiting', 'reading'] } },
    select: { id: true, state: true, runner: true, beatAt: true },
  })
  const dead = open.filter((row) => {
    if (own.now.has(row.id) || own.queue.includes(row.id)) return false
    if (row.runner !== null && runnerGone(row.runner, own.runner)) return true
    return row.beatAt === null || now.getTime() - row.beatAt.getTime() > SILENCE_MS
  })
  if (dead.length === 0) return 0
  const settled = await inTransaction((tx) =>
    tx.pageDraft.updateMany({
      where: { OR: dead.map(({ id, state, runner, beatAt }) => ({ id, state, runner, beatAt })) },
      data: { state: 'failed', failure: INTERRUPTED, runner: null },
    }),
  )
  return settled.count
}

/** True when the process that a runner is named after is certainly not there any more. */
function runnerGone(runner: string, own: string): boolean {
  const pid = Number(runner.split('-')[0])
  if (runner === own || !Number.isInteger(pid)) return false
  // A restarted container has the same process number again.
  if (pid === process.pid) return true
  try {
    process.kill(pid, 0)
    return false
  } catch (error) {
    return error instanceof Error && 'code' in error && error.code === 'ESRCH'
  }
}
