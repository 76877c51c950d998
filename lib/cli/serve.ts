import { spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { constants } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Refusal } from '../refusal.ts'
import { type Settings, settingsMakeFolders } from '../settings.ts'
import { holdTake } from './hold.ts'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))

export interface ServeOptions {
  settings: Settings
  /** Brings the database up to date before anybody is let in. */
  prepare: (databaseFile: string) => Promise<unknown>
  say: (line: string) => void
  /** What to run instead of the screens' server; the tests' way to watch the child. */
  command?: readonly string[]
}

/**
 * Serves the screens until told to stop, holding the data folder meanwhile. Answers the server's exit code; a stop that was
 * asked for is 0. Refuses with 'workshop/not-built' and 'workshop/served'.
 */
export async function serve(options: ServeOptions): Promise<number> {
  const { settings } = options
  if (!options.command && !existsSync(join(ROOT, '.next/BUILD_ID'))) throw new Refusal('workshop/not-built')
  settingsMakeFolders(settings)
  const hold = holdTake(settings.dataDir, 'take')
  try {
    await options.prepare(settings.databaseFile)
    const next = join(ROOT, 'node_modules/next/dist/bin/next')
    const command = options.command ?? [next, 'start', '-H', settings.host, '-p', String(settings.port)]
    options.say(`Cotterbook serves http://${settings.host}:${settings.port}`)
    const child = spawn(process.execPath, command, {
      cwd: ROOT,
      stdio: 'inherit',
      env: {
        ...process.env,
        NODE_ENV: 'production',
        NEXT_TELEMETRY_DISABLED: '1',
        // The child runs in the checkout; relative folders meant the folder the command was given in.
        DATA_DIR: settings.dataDir,
        DATABASE_URL: settings.databaseUrl,
      },
    })
    if (child.pid !== undefined) hold.add(child.pid)
    let asked = false
    const stop = (signal: NodeJS.Signals) => {
      asked = true
      child.kill(signal)
    }
    process.on('SIGINT', stop)
    process.on('SIGTERM', stop)
    try {
      return await new Promise<number>((resolve, reject) => {
        child.on('error', reject)
        child.on('exit', (code, signal) => {
          if (asked) resolve(0)
          else resolve(code ?? 128 + (signal ? constants.signals[signal] : 0))
        })
      })
    } finally {
      process.off('SIGINT', stop)
      process.off('SIGTERM', stop)
    }
  } finally {
    hold.release()
  }
}
