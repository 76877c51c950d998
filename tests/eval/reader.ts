import { type ChildProcess, fork, spawn } from 'node:child_process'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { z } from 'zod'
import type { ReadPage } from './score.ts'

export interface Answer {
  /** Null when the reader failed; `fault` says how. */
  reading: ReadPage | null
  fault: string
  seconds: number
  /** Processor time of all processes of the reader; on a busy machine it tells more than the clock. */
  cpuSeconds: number | null
  /** Most memory the reading process has held so far; null where the machine does not tell. */
  peakMb: number | null
}

export interface Reader {
  /** A command is started anew for every page: its seconds hold the start, and are not judged. */
  warm: boolean
  says: string
  read: (file: string) => Promise<Answer>
  close: () => void
}

const SECONDS_MAX = 60

const Spots = z.array(z.object({ x: z.number(), y: z.number() }))
/** What `read-page` prints, and what a reading holds: the fields that are judged, whatever stands beside them. */
const Printed = z.object({
  width: z.number().positive(),
  height: z.number().positive(),
  kind: z.enum(['parts-page', 'no-parts-page']).optional(),
  callouts: z.array(
    z.object({
      item: z.string(),
      x: z.number(),
      y: z.number(),
      tipX: z.number().nullish(),
      tipY: z.number().nullish(),
      tips: Spots.optional(),
    }),
  ),
  rows: z.array(
    z.object({
      item: z.string(),
      partNumber: z.string().nullish(),
      description: z.string().nullish(),
      quantity: z.number().nullish(),
      quantityNote: z.string().nullish(),
    }),
  ),
})

export function readingOf(printed: unknown): ReadPage {
  const read = Printed.parse(printed)
  return {
    width: read.width,
    height: read.height,
    kind: read.kind ?? (read.callouts.length + read.rows.length > 0 ? 'parts-page' : 'no-parts-page'),
    callouts: read.callouts.map(({ item, x, y, tipX, tipY, tips }) => {
      // A tip on the number itself says that no leader was found.
      const first = tipX != null && tipY != null && (tipX !== x || tipY !== y) ? [{ x: tipX, y: tipY }] : []
      return { item, x, y, tips: tips ?? first }
    }),
    rows: read.rows.map((row) => ({
      item: row.item,
      partNumber: row.partNumber ?? '',
      description: row.description ?? '',
      quantity: row.quantity ?? null,
      quantityNote: row.quantityNote ?? '',
    })),
  }
}

const fault = (why: unknown): string =>
  (why instanceof Error ? why.message : String(why)).replace(/\s+/g, ' ').slice(0, 300)

/** Linux tells each process's high-water mark of memory in kilobytes. */
function peakKbOf(process: number): number {
  try {
    return Number(/VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${process}/status`, 'utf8'))?.[1] ?? 0)
  } catch {
    return 0
  }
}

/** A process and all that it started, by the parent each names in the fourth field of its stat line. */
function familyOf(head: number): number[] {
  const parents = new Map<number, number>()
  try {
    for (const name of readdirSync('/proc')) {
      if (!/^\d+$/.test(name)) continue
      try {
        const stat = readFileSync(`/proc/${name}/stat`, 'utf8')
        parents.set(Number(name), Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[1]))
      } catch {
        // It ended between the list and the look.
      }
    }
  } catch {
    return []
  }
  const family = [head]
  for (const one of family) for (const [child, parent] of parents) if (parent === one) family.push(child)
  return family
}

/** Processor seconds of the family so far: user and system time, which Linux counts in hundredths. */
function cpuSecondsOf(head: number | undefined): number | null {
  if (head === undefined) return null
  let ticks = 0
  for (const one of familyOf(head)) {
    try {
      const stat = readFileSync(`/proc/${one}/stat`, 'utf8')
      const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ')
      ticks += Number(fields[11]) + Number(fields[12])
    } catch {
      // It has ended.
    }
  }
  return ticks > 0 ? ticks / 100 : null
}

/** Most megabytes any one process of the family has held; null where the machine does not tell. */
function peakMbOf(head: number | undefined): number | null {
  const peakKb = head === undefined ? 0 : Math.max(0, ...familyOf(head).map(peakKbOf))
  return peakKb > 0 ? peakKb / 1024 : null
}

/** Any command that prints the JSON of `cotterbook read-page`; `{}` stands for the picture, or it is put at the end. */
export function commandReader(command: string): Reader {
  const read = (file: string) =>
    new Promise<Answer>((resolve) => {
      const quoted = `'${file.replaceAll("'", "'\\''")}'`
      const line = command.includes('{}') ? command.replaceAll('{}', quoted) : `${command} ${quoted}`
      const began = performance.now()
      const child = spawn('/bin/sh', ['-c', line], { stdio: ['ignore', 'pipe', 'pipe'], detached: true })
      const out: Buffer[] = []
      const complaints: Buffer[] = []
      let peakMb: number | null = null
      const look = setInterval(() => {
        peakMb = Math.max(peakMb ?? 0, peakMbOf(child.pid) ?? 0) || null
      }, 100)
      let late = false
      const stop = setTimeout(() => {
        late = true
        if (child.pid) process.kill(-child.pid, 'SIGKILL')
      }, SECONDS_MAX * 1000)
      child.stdout.on('data', (piece: Buffer) => out.push(piece))
      child.stderr.on('data', (piece: Buffer) => complaints.push(piece))
      child.on('close', (status) => {
        clearInterval(look)
        clearTimeout(stop)
        const seconds = (performance.now() - began) / 1000
        try {
          const reading = readingOf(JSON.parse(Buffer.concat(out).toString('utf8')))
          resolve({ reading, fault: '', seconds, cpuSeconds: null, peakMb })
        } catch (why) {
          const said = Buffer.concat(complaints).toString('utf8').trim()
          const reason = late ? `longer than ${SECONDS_MAX} s` : said || `answered ${status}: ${fault(why)}`
          resolve({ reading: null, fault: fault(reason), seconds, cpuSeconds: null, peakMb })
        }
      })
    })
  return { warm: false, says: command, read, close: () => undefined }
}

export interface Asked {
  file: string
}
export type Told = { ready: string } | { reading: unknown; seconds: number } | { fault: string; seconds: number }

/** The reader of a checkout, kept alive in a process of its own, so that its memory is its own. */
export async function treeReader(tree: string): Promise<Reader> {
  let child: ChildProcess | null = null
  let says = ''
  const begin = () =>
    new Promise<ChildProcess>((resolve, reject) => {
      const begun = fork(fileURLToPath(new URL('reader-process.ts', import.meta.url)), [tree], {
        execArgv: ['--import', 'tsx'],
        stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
      })
      const stop = setTimeout(() => {
        begun.kill('SIGKILL')
        reject(new Error(`the reader of ${tree} did not start within ${SECONDS_MAX} s`))
      }, SECONDS_MAX * 1000)
      begun.once('message', (told: Told) => {
        clearTimeout(stop)
        if ('ready' in told) {
          says = told.ready
          resolve(begun)
        } else reject(new Error('fault' in told ? told.fault : 'the reader began with an answer'))
      })
      begun.once('exit', (status) => {
        clearTimeout(stop)
        reject(new Error(`the reader of ${tree} ended with ${status} before it began`))
      })
    })
  child = await begin()
  const read = async (file: string): Promise<Answer> => {
    child ??= await begin()
    const mine = child
    const began = performance.now()
    const before = cpuSecondsOf(mine.pid)
    const told = await new Promise<Told>((resolve) => {
      const done = (answer: Told) => {
        clearTimeout(stop)
        mine.off('message', done)
        mine.off('exit', ended)
        resolve(answer)
      }
      const ended = (status: number | null) => {
        child = null
        done({ fault: `the reading process ended (${status})`, seconds: (performance.now() - began) / 1000 })
      }
      const stop = setTimeout(() => {
        child = null
        done({ fault: `longer than ${SECONDS_MAX} s`, seconds: SECONDS_MAX })
        mine.kill('SIGKILL')
      }, SECONDS_MAX * 1000)
      mine.on('message', done)
      mine.on('exit', ended)
      mine.send({ file } satisfies Asked)
    })
    const peakMb = peakMbOf(mine.pid)
    const after = cpuSecondsOf(mine.pid)
    const cpuSeconds = before === null || after === null ? null : Math.max(0, after - before)
    if (!('reading' in told)) {
      const seconds = 'seconds' in told ? told.seconds : 0
      return { reading: null, fault: fault('fault' in told ? told.fault : 'no answer'), seconds, cpuSeconds, peakMb }
    }
    try {
      return { reading: readingOf(told.reading), fault: '', seconds: told.seconds, cpuSeconds, peakMb }
    } catch (why) {
      return { reading: null, fault: `not a reading: ${fault(why)}`, seconds: told.seconds, cpuSeconds, peakMb }
    }
  }
  return { warm: true, says: `${says} of ${join(tree)}`, read, close: () => child?.kill() }
}
