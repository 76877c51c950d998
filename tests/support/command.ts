import { spawnSync } from 'node:child_process'
import { tmpdir } from 'node:os'
import { fileURLToPath } from 'node:url'
import { vi } from 'vitest'
import { main } from '../../lib/cli/main.ts'

export const COMMAND = fileURLToPath(new URL('../../lib/cli/cotterbook.mjs', import.meta.url))

export interface CommandDone {
  status: number | null
  out: string
  err: string
}

/** The command as it is installed: a process of its own, begun in a folder that is not the program's. */
export function commandInstalled(words: readonly string[], env: NodeJS.ProcessEnv = process.env): CommandDone {
  const done = spawnSync(process.execPath, [COMMAND, ...words], { env, encoding: 'utf8', cwd: tmpdir() })
  return { status: done.status, out: done.stdout, err: done.stderr }
}

/** The same words said to the command in this process, which has it loaded: a new process takes two seconds to do so. */
export async function commandHere(words: readonly string[]): Promise<CommandDone> {
  const said = { out: '', err: '' }
  const heard = (stream: 'out' | 'err') => (piece: string | Uint8Array) => {
    said[stream] += typeof piece === 'string' ? piece : Buffer.from(piece).toString()
    return true
  }
  const ears = [
    vi.spyOn(process.stdout, 'write').mockImplementation(heard('out')),
    vi.spyOn(process.stderr, 'write').mockImplementation(heard('err')),
  ]
  try {
    return { status: await main([...words]), ...said }
  } finally {
    for (const ear of ears) ear.mockRestore()
  }
}
