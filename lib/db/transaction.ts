import { createHash } from 'node:crypto'
import { setTimeout as pause } from 'node:timers/promises'
import { isRefusal, Refusal } from '../refusal.ts'
import { instantText, statement, type Tx, transactionOnce } from './client.ts'

/** Who writes, when, and under which idempotency key. The key is made where the person pressed the button. */
export interface WriteContext {
  key: string
  personId: string
  now: Date
}

/** Busy (another process writes), a conflict, or a full queue: nothing was written, so trying again is safe. */
const PASSING = new Set(['P1008', 'P2034', 'P2028'])
const TRIES_MAX = 8

function code(error: unknown): string {
  return typeof error === 'object' && error !== null && 'code' in error ? String(error.code) : ''
}

/**
 * Runs `run` in one transaction and tries again while the database is busy, at most eight times with growing pauses.
 * `run` may be called more than once, so it must have no effect outside the transaction.
 */
export async function inTransaction<T>(run: (tx: Tx) => Promise<T>, timeoutMs?: number): Promise<T> {
  for (let attempt = 1; ; attempt++) {
    try {
      return await transactionOnce(run, timeoutMs)
    } catch (error) {
      if (isRefusal(error) || !PASSING.has(code(error))) throw error
      if (attempt === TRIES_MAX) throw new Refusal('database/busy')
      // Spread by process id: two processes that met once do not meet again at every retry.
      await pause(Math.min(20 * 2 ** attempt, 640) + (process.pid % 37))
    }
  }
}

/** Stable text of plain content: keys sorted, so that the same form sent twice has the same hash. */
function canonical(value: unknown): string {
  return JSON.stringify(value, (_, inner: unknown) =>
    typeof inner === 'object' && inner !== null && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)))
      : inner,
  )
}

/**
 * The only way to write. Answers `run`'s answer and keeps it under the key: the same key with the same content answers the
 * first answer again and writes nothing; with other content it is refused. A refusal inside leaves nothing behind, the key
 * included, so the corrected form may use it again.
 */
export function write<T>(
  context: WriteContext,
  kind: string,
  content: unknown,
  run: (tx: Tx) => Promise<T>,
  options: { timeoutMs?: number } = {},
): Promise<T> {
  if (!/^[\w.:-]{8,200}$/.test(context.key)) throw new Refusal('input/no-key')
  const contentHash = createHash('sha256')
    .update(`${kind}\n${canonical(content)}`)
    .digest('hex')
  return inTransaction(async (tx) => {
    const [before] = await statement<{ contentHash: string; answer: string }>(
      'SELECT "contentHash", "answer" FROM "Write" WHERE "key" = ?',
      [context.key],
    )
    if (before) {
      if (before.contentHash !== contentHash) throw new Refusal('write/key-reused')
      return JSON.parse(before.answer) as T
    }
    const answer = await run(tx)
    await statement(
      'INSERT INTO "Write" ("key", "kind", "contentHash", "answer", "personId", "at") VALUES (?, ?, ?, ?, ?, ?)',
      [context.key, kind, contentHash, JSON.stringify(answer ?? null), context.personId, instantText(context.now)],
    )
    return answer
  }, options.timeoutMs)
}
