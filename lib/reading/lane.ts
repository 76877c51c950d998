import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { readFile } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Refusal } from '../refusal.ts'
import type { ReadingAnswers, ReadingReply, ReadingTask } from './message.ts'

export interface LaneOptions {
  /** File that the process runs; lib/reading/child.ts when not said. */
  childFile?: string
  /** A task that takes longer is stopped. */
  seconds: number
  /** Memory of the process (resident), in megabytes, above which it is stopped. */
  megabytes: number
  /** Idle time after which the process is let go. */
  idleSeconds: number
}

interface Waiting {
  id: number
  task: ReadingTask
  onStep: (share: number, step: string) => void
  done: (answer: ReadingAnswers[keyof ReadingAnswers]) => void
  refused: (error: Error) => void
}

const HEAP_MEGABYTES = 512
const WATCH_MILLISECONDS = 300

/**
 * Folder of the project. A built server bundles this module, so its own address says nothing there; such a server runs in
 * the project's folder. The command line may be called from anywhere.
 */
function projectFolder(): string {
  const here = process.cwd()
  if (existsSync(join(here, 'lib', 'reading', 'child.ts'))) return here
  return dirname(dirname(dirname(fileURLToPath(import.meta.url))))
}

/** Only what a process needs to run: no settings, no secrets of the server. */
function bareEnvironment(): NodeJS.ProcessEnv {
  const names = ['PATH', 'HOME', 'TMPDIR', 'TEMP', 'TMP', 'SystemRoot', 'LANG', 'LD_LIBRARY_PATH']
  const kept = names.flatMap((name) => (process.env[name] === undefined ? [] : [[name, process.env[name]]]))
  return { ...(Object.fromEntries(kept) as Record<string, string>), NODE_ENV: 'production' }
}

/**
 * Tasks done one after another by a process of their own, which is started with the first, kept warm, and ended by its own
 * number when a task is cancelled, takes too long or eats memory. What happens to it is a refusal of that one task.
 */
export class Lane {
  private readonly options: LaneOptions
  private child: ChildProcess | null = null
  private readonly queue: Waiting[] = []
  private active: Waiting | null = null
  private idle: NodeJS.Timeout | null = null
  private limit: NodeJS.Timeout | null = null
  private watch: NodeJS.Timeout | null = null
  private count = 0

  constructor(options: LaneOptions) {
    this.options = options
  }

  /** Number of the running process; null when there is none. */
  get pid(): number | null {
    return this.child?.pid ?? null
  }

  run<K extends ReadingTask['kind']>(
    task: ReadingTask & { kind: K },
    more: { signal?: AbortSignal | undefined; onStep?: ((share: number, step: string) => void) | undefined } = {},
  ): Promise<ReadingAnswers[K]> {
    const { signal, onStep = () => {} } = more
    return new Promise((resolve, reject) => {
      if (signal?.aborted) {
        reject(cancelled(task))
        return
      }
      const waiting: Waiting = { id: ++this.count, task, onStep, done: () => {}, refused: () => {} }
      const onAbort = () => this.cancel(waiting)
      waiting.done = (answer) => {
        signal?.removeEventListener('abort', onAbort)
        // The process answers with the number of the task, and a task has one kind of answer.
        resolve(answer as ReadingAnswers[K])
      }
      waiting.refused = (error) => {
        signal?.removeEventListener('abort', onAbort)
        reject(error)
      }
      signal?.addEventListener('abort', onAbort, { once: true })
      this.queue.push(waiting)
      this.next()
    })
  }

  /** Ends the process; whatever waits is refused as cancelled. */
  close(): void {
    for (const waiting of this.queue.splice(0)) waiting.refused(cancelled(waiting.task))
    if (this.active) this.end(cancelled(this.active.task))
    else this.letGo()
  }

  private next(): void {
    if (this.active || this.queue.length === 0) return
    const waiting = this.queue.shift()!
    this.active = waiting
    if (this.idle) clearTimeout(this.idle)
    const { seconds } = this.options
    try {
      const child = this.child ?? this.start()
      child.ref()
      child.channel?.ref()
      this.limit = setTimeout(
        () => this.end(new Refusal('page/too-long', { ...named(waiting.task), seconds })),
        seconds * 1000,
      )
      this.watch = setInterval(() => void this.weigh(child), WATCH_MILLISECONDS)
      child.send({ id: waiting.id, task: waiting.task }, (error) => {
        if (error && this.active === waiting) this.end(died(waiting.task, 'it could not be reached'))
      })
    } catch (error) {
      this.end(died(waiting.task, error instanceof Error ? error.message : String(error)))
    }
  }

  private start(): ChildProcess {
    const root = projectFolder()
    const file = this.options.childFile ?? join(root, 'lib', 'reading', 'child.ts')
    const words = [`--max-old-space-size=${HEAP_MEGABYTES}`, '--import', 'tsx', file]
    const child = spawn(process.execPath, words, {
      cwd: root,
      env: bareEnvironment(),
      stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
      serialization: 'advanced',
      windowsHide: true,
    })
    this.child = child
    child.on('message', (message) => this.hear(child, message as ReadingReply))
    const gone = (why: string) => {
      if (this.child !== child) return
      this.child = null
      if (this.active) this.end(died(this.active.task, why))
    }
    child.on('error', (error) => gone(error.message))
    child.on('exit', (code, signal) => gone(signal ? `it was ended by ${signal}` : `it ended with code ${code}`))
    return child
  }

  private hear(child: ChildProcess, message: ReadingReply): void {
    const waiting = this.active
    if (child !== this.child || !waiting || message.id !== waiting.id) return
    if (message.says === 'step') waiting.onStep(message.share, message.step)
    else if (message.says === 'done') this.finish(() => waiting.done(message.answer))
    else if (message.says === 'refused')
      this.finish(() => waiting.refused(new Refusal(message.code, message.details, { faults: message.faults })))
    // Not foreseen: the process may be in any state, so it does not read another page.
    else this.end(died(waiting.task, message.why.split('\n')[0]!.slice(0, 160)))
  }

  /** Ends the task that runs; the process stays for the next one. */
  private finish(tell: () => void): void {
    this.active = null
    if (this.limit) clearTimeout(this.limit)
    if (this.watch) clearInterval(this.watch)
    tell()
    if (this.queue.length > 0) {
      this.next()
      return
    }
    this.child?.unref()
    this.child?.channel?.unref()
    this.idle = setTimeout(() => this.letGo(), this.options.idleSeconds * 1000).unref()
  }

  /** Ends the process and the task that runs with it. */
  private end(error: Error): void {
    this.letGo()
    const waiting = this.active
    this.finish(() => waiting?.refused(error))
  }

  private letGo(): void {
    const child = this.child
    this.child = null
    child?.kill('SIGKILL')
  }

  private cancel(waiting: Waiting): void {
    const at = this.queue.indexOf(waiting)
    if (at >= 0) {
      this.queue.splice(at, 1)
      waiting.refused(cancelled(waiting.task))
    } else if (this.active === waiting) this.end(cancelled(waiting.task))
  }

  /** Memory that decoders take lies outside the bounded heap; where the system tells it, it is watched. */
  private async weigh(child: ChildProcess): Promise<void> {
    const text = await readFile(`/proc/${child.pid}/status`, 'utf8').catch(() => '')
    const megabytes = Number(/^VmRSS:\s+(\d+) kB/m.exec(text)?.[1] ?? 0) / 1024
    if (megabytes > this.options.megabytes && child === this.child && this.active)
      this.end(died(this.active.task, `it needed more than ${this.options.megabytes} MB of memory`))
  }
}

function named(task: ReadingTask): { file: string; page: number } {
  if (task.kind === 'warm') return { file: 'none', page: 1 }
  return { file: basename(task.path), page: task.kind === 'open' ? 1 : task.page }
}

function died(task: ReadingTask, why: string): Refusal {
  return new Refusal('page/reader-died', { ...named(task), why })
}

function cancelled(task: ReadingTask): Refusal {
  return new Refusal('page/cancelled', named(task))
}
