import { spawn } from 'node:child_process'
import { createRequire } from 'node:module'
import { dirname } from 'node:path'
import type { Database } from 'sqlite3'
import { Refusal } from '../refusal.ts'

type Sqlite3 = typeof import('sqlite3')

const require = createRequire(import.meta.url)
const BUILD_MS_MAX = 240_000
/** The last lines of a failed build are the ones that say why. */
const LOG_MAX = 600

function reason(error: unknown): string {
  return (error instanceof Error ? error.message : String(error)).split('\n')[0]!
}

/**
 * The second database driver. It is optional and not built at install; when its binary is missing it is built now, which
 * takes a minute or two, and `say` is told so. Refuses with 'verify/not-checked' when it cannot be had.
 */
export async function secondReaderLoad(file: string, say: (line: string) => void): Promise<Sqlite3> {
  let folder: string
  try {
    folder = dirname(require.resolve('sqlite3/package.json'))
  } catch {
    throw new Refusal('verify/not-checked', {
      file,
      why: 'the optional package sqlite3 is not installed (npm install --include=optional).',
    })
  }
  try {
    return require('sqlite3') as Sqlite3
  } catch {
    say('The second database driver is built now, once; that takes a minute or two ...')
  }
  const failed = await build(folder)
  try {
    return require('sqlite3') as Sqlite3
  } catch (error) {
    throw new Refusal('verify/not-checked', {
      file,
      why: `the second database driver could not be built (it needs a C++ compiler, make and Python): ${failed ?? reason(error)}`,
    })
  }
}

/** Runs the package's own install script; npm's rebuild would not, because no script runs at install. Null when it ended well. */
function build(folder: string): Promise<string | null> {
  return new Promise((resolve) => {
    const npm = process.env.npm_execpath
    const args = ['run', 'install', '--prefix', folder, '--ignore-scripts=false']
    const options = { cwd: folder, stdio: ['ignore', 'pipe', 'pipe'] as ['ignore', 'pipe', 'pipe'] }
    const child = npm?.endsWith('.js')
      ? spawn(process.execPath, [npm, ...args], { ...options, detached: process.platform !== 'win32' })
      : spawn('npm', args, { ...options, shell: process.platform === 'win32', detached: process.platform !== 'win32' })
    let log = ''
    const keep = (chunk: Buffer) => {
      log = (log + chunk.toString()).slice(-LOG_MAX)
    }
    child.stdout.on('data', keep)
    child.stderr.on('data', keep)
    const timer = setTimeout(() => {
      log = `it took longer than ${BUILD_MS_MAX / 1000} seconds`
      // The compiler is a grandchild: the whole group must end, or it goes on by itself.
      if (child.pid !== undefined && process.platform !== 'win32') process.kill(-child.pid, 'SIGKILL')
      else child.kill('SIGKILL')
    }, BUILD_MS_MAX)
    const end = (why: string | null) => {
      clearTimeout(timer)
      resolve(why)
    }
    child.on('error', (error) => end(reason(error)))
    child.on('close', (code) => end(code === 0 ? null : log.trim()))
  })
}

/** Opens a database file for reading only. */
export function secondReaderOpen(sqlite3: Sqlite3, file: string): Promise<Database> {
  return new Promise((resolve, reject) => {
    const open = new sqlite3.Database(file, sqlite3.OPEN_READONLY, (error) => (error ? reject(error) : resolve(open)))
  })
}

export function secondReaderAsk<T>(open: Database, sql: string): Promise<T[]> {
  return new Promise((resolve, reject) => {
    open.all<T>(sql, (error, rows) => (error ? reject(error) : resolve(rows)))
  })
}

export function secondReaderClose(open: Database): Promise<void> {
  return new Promise((resolve) => {
    open.close(() => resolve())
  })
}
