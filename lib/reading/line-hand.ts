/** A thread that reads lines of print for line-reader.ts, one batch after the other. */
import { parentPort } from 'node:worker_threads'
import type { CropText } from '../figure/reader/schema.ts'
import { type LineKind, lineSessionOpen } from './line-session.ts'
import type { Strip } from './line-strip.ts'

export interface LineTask {
  strips: Strip[]
  kind: LineKind
}

export type LineAnswer = { texts: CropText[] } | { fault: string }

const session = lineSessionOpen()

parentPort?.on('message', async ({ strips, kind }: LineTask) => {
  const answer: LineAnswer = await session
    .then((read) => read(strips, kind))
    .then(
      (texts) => ({ texts }),
      (why: unknown) => ({ fault: why instanceof Error ? (why.stack ?? why.message) : String(why) }),
    )
  parentPort?.postMessage(answer)
})
