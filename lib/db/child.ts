import { type ChildProcess, type SpawnOptions, spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { settingsRead } from '../settings.ts'

/** Only what a process of ours needs; the server may hold secrets that a file has no business near. */
const ENVIRONMENT = ['PATH', 'HOME', 'TMPDIR', 'TEMP', 'TMP', 'SystemRoot', 'LANG', 'LD_LIBRARY_PATH', 'CURRENCY']

/** A built server bundles this module, so its own address says nothing there; such a server runs in the project's folder. */
function projectFolder(): string {
  const here = process.cwd()
  if (existsSync(/*turbopackIgnore: true*/ join(here, 'lib', 'db', 'child.ts'))) return here
  return dirname(dirname(dirname(fileURLToPath(import.meta.url))))
}

/** Starts a process on the data set of this one: a file of the project (its path from the project's folder) with its arguments. */
export function childStart(
  file: readonly string[],
  args: readonly string[],
  { flags = [], stdio = 'ignore' }: { flags?: readonly string[]; stdio?: SpawnOptions['stdio'] } = {},
): ChildProcess {
  const root = projectFolder()
  const settings = settingsRead()
  const kept = ENVIRONMENT.flatMap((name) => (process.env[name] === undefined ? [] : [[name, process.env[name]]]))
  return spawn(process.execPath, [...flags, '--import', 'tsx', join(root, ...file), ...args], {
    cwd: root,
    env: {
      ...(Object.fromEntries(kept) as Record<string, string>),
      NODE_ENV: 'production',
      DATA_DIR: settings.dataDir,
      DATABASE_URL: settings.databaseUrl,
    },
    stdio,
    windowsHide: true,
  })
}

/** Whether a process of that id runs, ours or another's. */
export function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return error instanceof Error && 'code' in error && error.code === 'EPERM'
  }
}
