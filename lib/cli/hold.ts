import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { Refusal } from '../refusal.ts'

/** Who uses the data: the process ids of a server (or of a restore), one a line, in DATA_DIR/serving.pid. */
export function holdFile(dataDir: string): string {
  return join(dataDir, 'serving.pid')
}

/** True while the process lives and is one of ours: after a restart of the machine its number may belong to another. */
function alive(pid: number): boolean {
  if (!Number.isSafeInteger(pid) || pid <= 1 || pid === process.pid) return false
  try {
    process.kill(pid, 0)
  } catch (error) {
    return error instanceof Error && 'code' in error && error.code === 'EPERM'
  }
  const commandLine = `/proc/${pid}/cmdline`
  if (!existsSync('/proc/self/cmdline')) return true
  try {
    return /cotterbook|next/.test(readFileSync(commandLine, 'utf8'))
  } catch {
    return false
  }
}

function pidsIn(file: string): number[] {
  if (!existsSync(file)) return []
  return readFileSync(file, 'utf8').split('\n').filter(Boolean).map(Number)
}

export interface Hold {
  /** Adds a process that uses the data too: it may outlive this one. */
  add(pid: number): void
  release(): void
}

/**
 * Takes the data folder for this process. Refuses while a server holds it. What a server left behind that did not end
 * properly is taken over with `stale: 'take'`, and refused with `stale: 'refuse'`, because the server may run on another
 * machine that shares the folder.
 */
export function holdTake(dataDir: string, stale: 'take' | 'refuse'): Hold {
  const file = holdFile(dataDir)
  const pids = pidsIn(file)
  const pid = pids.find(alive)
  if (pid !== undefined) throw new Refusal('workshop/served', { folder: dataDir, pid })
  if (existsSync(file)) {
    if (stale === 'refuse') throw new Refusal('workshop/stale-hold', { file, pid: pids.join(', ') || 'unknown' })
    rmSync(file, { force: true })
  }
  mkdirSync(dataDir, { recursive: true })
  try {
    // 'wx' makes it or fails: of two that start at once, one gets it.
    writeFileSync(file, `${process.pid}\n`, { flag: 'wx' })
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'EEXIST')
      throw new Refusal('workshop/served', { folder: dataDir, pid: pidsIn(file)[0] ?? 'unknown' })
    throw error
  }
  return {
    add: (more) => writeFileSync(file, `${process.pid}\n${more}\n`),
    release: () => rmSync(file, { force: true }),
  }
}
