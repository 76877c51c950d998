import { existsSync } from 'node:fs'
import { mkdir, open, readdir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { z } from 'zod'
import { KIND_NAMES, type Kind } from '../exchange/columns.ts'
import { FILE_MEGABYTES_MAX } from '../exchange/table.ts'
import { LEAN_NODE_FLAGS } from '../node-flags.ts'
import { Refusal } from '../refusal.ts'
import { settingsRead } from '../settings.ts'
import { childStart, isAlive } from './child.ts'
import type { ExchangeDone, ExchangeLook, ExchangeRehearsed } from './exchange.ts'
import { exchangeWritten } from './exchange-written.ts'

/**
 * A file on its way in: a folder DATA_DIR/tmp/exchange/<id> with the file, what is known of it and how far it is. The work is
 * done by a process of its own (exchange-child.ts), so that a person may leave the page and come back, and a large or hostile
 * file never stands in the way of the screens. Folders fade after a week; what came in is in the database.
 */
export const RunId = z.string().regex(/^[0-9a-f]{8}[0-9a-f-]{24,28}$/)

const Facts = z.object({
  id: RunId,
  kind: z.enum(KIND_NAMES as [Kind, ...Kind[]]),
  file: z.string().min(1).max(200),
  bytes: z.number().int().positive(),
  personId: z.string(),
  startedAt: z.string(),
})
export type RunFacts = z.infer<typeof Facts>

/** What is being done, or what came of it. */
export type RunStep =
  | 'coming'
  | 'looking'
  | 'looked'
  | 'rehearsing'
  | 'rehearsed'
  | 'importing'
  | 'imported'
  | 'stopped'

export interface RunRefusal {
  happened: string
  next: string
  faults: readonly string[]
}

export interface RunState {
  step: RunStep
  /** What the process says it does now. */
  says: string
  /** Process at work; 0 when none is. */
  pid: number
  /** When it last gave a sign, ISO 8601. */
  at: string
  byHand: Record<string, string>
  /** Rows that the person takes without the refused ones; null: all or nothing. */
  rightRows?: number | null
  look: ExchangeLook | null
  rehearsed: Omit<ExchangeRehearsed, 'refusedFile'> | null
  done: ExchangeDone | null
  refusal: RunRefusal | null
}

export interface Run extends RunFacts {
  state: RunState
}

export const RUN_WORKING: ReadonlySet<RunStep> = new Set(['looking', 'rehearsing', 'importing'])
const WEEK_MS = 7 * 86_400_000
/** A process gives a sign every second; one that has been silent for so long has been killed with its machine. */
const SILENT_MS = 600_000

function home(): string {
  return join(settingsRead().dataDir, 'tmp', 'exchange')
}

export function runFile(id: string, name: 'facts.json' | 'state.json' | 'upload' | 'refused.csv'): string {
  return join(/*turbopackIgnore: true*/ home(), RunId.parse(id), name)
}

async function jsonWrite(path: string, value: unknown): Promise<void> {
  const beside = `${path}.${process.pid}.part`
  await writeFile(/*turbopackIgnore: true*/ beside, JSON.stringify(value))
  await rename(/*turbopackIgnore: true*/ beside, path)
}

async function jsonRead(path: string): Promise<unknown> {
  const text = await readFile(/*turbopackIgnore: true*/ path, 'utf8').catch(() => null)
  return text === null ? null : JSON.parse(text)
}

const EMPTY: RunState = {
  step: 'coming',
  says: '',
  pid: 0,
  at: '',
  byHand: {},
  look: null,
  rehearsed: null,
  done: null,
  refusal: null,
}

/**
 * Takes a piece of a file; the first one makes the run. A piece that is sent again is taken once. Answers how much is there.
 * Refuses with 'exchange/unreadable' (too large), 'exchange/no-such-run', 'exchange/piece' (out of turn).
 */
export async function runTake(
  facts: RunFacts,
  from: number,
  pieces: AsyncIterable<Uint8Array>,
): Promise<{ bytes: number }> {
  const { id, file, bytes } = Facts.parse(facts)
  if (bytes > FILE_MEGABYTES_MAX * 1e6)
    throw new Refusal('exchange/unreadable', { file, why: `it has more than ${FILE_MEGABYTES_MAX} MB` })
  if (from === 0) await runBegin(facts)
  const known = await runRead(id)
  if (known.personId !== facts.personId || known.bytes !== bytes) throw new Refusal('exchange/no-such-run', {})
  const path = runFile(id, 'upload')
  const handle = await open(/*turbopackIgnore: true*/ path, existsSync(/*turbopackIgnore: true*/ path) ? 'r+' : 'w+')
  try {
    const there = (await handle.stat()).size
    if (from > there) throw new Refusal('exchange/piece', { file })
    let at = from
    for await (const piece of pieces) {
      if (at + piece.length > bytes) throw new Refusal('exchange/piece', { file })
      await handle.write(piece, 0, piece.length, at)
      at += piece.length
    }
    if (at >= bytes) await handle.sync()
    return { bytes: Math.max(at, there) }
  } finally {
    await handle.close()
  }
}

async function runBegin(facts: RunFacts): Promise<void> {
  const folder = dirname(runFile(facts.id, 'facts.json'))
  if (existsSync(/*turbopackIgnore: true*/ join(folder, 'facts.json'))) return
  await mkdir(/*turbopackIgnore: true*/ folder, { recursive: true })
  await jsonWrite(join(folder, 'state.json'), EMPTY)
  await jsonWrite(join(folder, 'facts.json'), facts)
}

/** A run as it stands. Refuses with 'exchange/no-such-run'. */
export async function runRead(id: string): Promise<Run> {
  if (!RunId.safeParse(id).success) throw new Refusal('exchange/no-such-run', {})
  const facts = Facts.safeParse(await jsonRead(runFile(id, 'facts.json')))
  const state = (await jsonRead(runFile(id, 'state.json'))) as RunState | null
  if (!facts.success || !state) throw new Refusal('exchange/no-such-run', {})
  if (!RUN_WORKING.has(state.step) || alive(state)) return { ...facts.data, state }
  return { ...facts.data, state: { ...state, ...(await afterDeath(facts.data, state)) } }
}

function alive({ pid, at }: RunState): boolean {
  if (Date.now() - Date.parse(at) > SILENT_MS) return false
  return pid === 0 || isAlive(pid)
}

/** The process ended without saying how: the database knows whether the import came through. */
async function afterDeath({ id }: RunFacts, { step }: RunState): Promise<Partial<RunState>> {
  const done = step === 'importing' ? await exchangeWritten(runKey(id)) : null
  if (done) return { step: 'imported', done, pid: 0 }
  const happened = 'The work on this file was broken off.'
  return {
    step: 'stopped',
    pid: 0,
    refusal: { happened, next: 'Nothing was imported. Begin again from here.', faults: [] },
  }
}

export const runKey = (id: string) => `exchange-${id}`

/** Runs of the last week, newest first; older folders are taken away. */
export async function runsList(): Promise<Run[]> {
  const names = await readdir(/*turbopackIgnore: true*/ home()).catch(() => [])
  const runs: Run[] = []
  for (const id of names) {
    if (!RunId.safeParse(id).success) continue
    const run = await runRead(id).catch(() => null)
    if (run && Date.now() - Date.parse(run.startedAt) < WEEK_MS) runs.push(run)
    else await rm(/*turbopackIgnore: true*/ join(home(), id), { recursive: true, force: true })
  }
  return runs.sort((a, b) => (a.startedAt < b.startedAt ? 1 : -1))
}

export async function runStateWrite(id: string, state: RunState): Promise<void> {
  await jsonWrite(runFile(id, 'state.json'), state)
}

export type RunTask = 'look' | 'rehearse' | 'import'
const STEP_OF = { look: 'looking', rehearse: 'rehearsing', import: 'importing' } as const

/**
 * Sends a process to work on a run. Refuses with 'exchange/busy' while one is at work on any file: two large imports at once
 * would only wait for each other. An import needs a rehearsal without refusals before it.
 */
export async function runWork(
  id: string,
  task: RunTask,
  personId: string,
  { byHand, rightRows = null }: { byHand?: Record<string, string>; rightRows?: number | null } = {},
): Promise<void> {
  const run = await runRead(id)
  if (run.state.step === 'imported') return
  const size = await stat(/*turbopackIgnore: true*/ runFile(id, 'upload')).catch(() => null)
  if (size?.size !== run.bytes) throw new Refusal('exchange/piece', { file: run.file })
  const busy = (await runsList()).find((one) => RUN_WORKING.has(one.state.step))
  if (busy) throw new Refusal('exchange/busy', { file: busy.file })
  const { rehearsed } = run.state
  // All of it, or the rows that were shown as right.
  const mayCome =
    rehearsed && (rehearsed.refusedRows === 0 || (rightRows !== null && rehearsed.rightRows === rightRows))
  if (task === 'import' && (run.state.step !== 'rehearsed' || !mayCome))
    throw new Refusal('exchange/not-rehearsed', { file: run.file })
  const state = { ...run.state, step: STEP_OF[task], says: 'Starting', refusal: null, at: new Date().toISOString() }
  await runStateWrite(id, { ...state, pid: 0, byHand: byHand ?? run.state.byHand, rightRows })
  const child = childStart(['lib', 'db', 'exchange-child.ts'], [id, task, personId], { flags: LEAN_NODE_FLAGS })
  // It says for itself how it goes, in state.json; the server need not wait for it.
  child.on('error', () => undefined)
  child.unref()
}

/** The refused rows of the last rehearsal as CSV. Refuses with 'exchange/no-such-run'. */
export async function runRefusedRead(id: string): Promise<string> {
  await runRead(id)
  return readFile(/*turbopackIgnore: true*/ runFile(id, 'refused.csv'), 'utf8').catch(() => '')
}
