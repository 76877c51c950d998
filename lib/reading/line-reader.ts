import { availableParallelism } from 'node:os'
import { Worker } from 'node:worker_threads'
import type { CropText, GreyPage, PageBox } from '../figure/reader/schema.ts'
import type { LineAnswer, LineTask } from './line-hand.ts'
import type { LineKind } from './line-session.ts'
import { STRIP_HEIGHT, type Strip, stripOf } from './line-strip.ts'

/** Strips of one width are read together, as many as keep the net's own memory small. */
const PIXELS_TOGETHER = STRIP_HEIGHT * 1280

/**
 * So many nets read at once, each on a thread of its own: a person waits for the page, and this takes most of the time. One net
 * on two threads takes up to half as much again of the processor; more nets than two take too much memory.
 */
const HANDS = 2

export interface LineReader {
  /** Text of each box, in order. @throws Error when the net fails; the reader is of no use after that. */
  read(page: GreyPage, boxes: readonly PageBox[], kind: LineKind): Promise<CropText[]>
  close(): Promise<void>
}

/** Starts the threads; each opens its net at once. */
export function lineReaderOpen(): LineReader {
  const hands = Array.from({ length: Math.min(HANDS, availableParallelism()) }, () => new Hand())
  return {
    async read(page, boxes, kind) {
      const texts: CropText[] = boxes.map(() => ({ text: '', confidence: 0 }))
      const strips = boxes.map((box) => stripOf(page, box))
      const batches = batchesOf(strips)
      const work = async (hand: Hand) => {
        for (let batch = batches.shift(); batch; batch = batches.shift()) {
          const read = await hand.read({ strips: batch.map((at) => strips[at]!), kind })
          for (const [n, at] of batch.entries()) texts[at] = read[n]!
        }
      }
      await Promise.all(hands.map(work))
      return texts
    },
    async close() {
      await Promise.all(hands.map((hand) => hand.close()))
    },
  }
}

/** Places of strips of one width, the widest first, so that all threads end at about the same time. */
function batchesOf(strips: readonly Strip[]): number[][] {
  const byWidth = new Map<number, number[]>()
  for (const [at, { width }] of strips.entries()) byWidth.set(width, [...(byWidth.get(width) ?? []), at])
  return [...byWidth]
    .sort(([a], [b]) => b - a)
    .flatMap(([width, members]) => {
      const together = Math.max(1, Math.floor(PIXELS_TOGETHER / (STRIP_HEIGHT * width)))
      return Array.from({ length: Math.ceil(members.length / together) }, (_, n) =>
        members.slice(n * together, (n + 1) * together),
      )
    })
}

/** One thread with one net; it is asked one thing at a time. */
class Hand {
  private readonly worker = new Worker(new URL('./line-hand.mjs', import.meta.url))
  private broken: Error | null = null

  constructor() {
    this.worker.on('error', (why) => {
      this.broken = why instanceof Error ? why : new Error(String(why))
    })
  }

  read(task: LineTask): Promise<CropText[]> {
    return new Promise((resolve, reject) => {
      if (this.broken) {
        reject(this.broken)
        return
      }
      const settle = (run: () => void) => {
        this.worker.off('message', heard)
        this.worker.off('error', reject)
        this.worker.off('exit', gone)
        run()
      }
      const heard = (answer: LineAnswer) =>
        settle(() => ('texts' in answer ? resolve(answer.texts) : reject(new Error(answer.fault))))
      const gone = (code: number) => settle(() => reject(new Error(`The thread that reads lines ended with ${code}.`)))
      this.worker.once('message', heard)
      this.worker.once('error', reject)
      this.worker.once('exit', gone)
      this.worker.postMessage(task)
    })
  }

  async close(): Promise<void> {
    await this.worker.terminate()
  }
}
