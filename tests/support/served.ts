import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync } from 'node:fs'
import { createServer } from 'node:net'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { signIn } from '../../lib/db/session.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { secretHash } from '../../lib/people/secret.ts'

const ROOT = fileURLToPath(new URL('../../', import.meta.url))
const PIN = '604183'

/** The built screens as one process of their own on a port of 127.0.0.1. */
export interface Served {
  origin: string
  child: ChildProcess
  /** Ends it the hard way, as a power cut does, and waits until it is gone. */
  kill(): Promise<void>
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1')
  await once(server, 'listening')
  const address = server.address()
  server.close()
  await once(server, 'close')
  if (address === null || typeof address === 'string') throw new Error('no port was given')
  return address.port
}

/** Serves the data folder with the build that `npm start` serves, and answers once it answers. */
export async function servedStart(dataDir: string): Promise<Served> {
  if (!existsSync(join(ROOT, '.next/BUILD_ID')))
    throw new Error('The screens are not built. `npm test` builds them before these tests.')
  const port = await freePort()
  const origin = `http://127.0.0.1:${port}`
  const next = join(ROOT, 'node_modules/next/dist/bin/next')
  const child = spawn(process.execPath, [next, 'start', '-H', '127.0.0.1', '-p', String(port)], {
    cwd: ROOT,
    env: { ...process.env, NODE_ENV: 'production', NEXT_TELEMETRY_DISABLED: '1', DATA_DIR: dataDir },
    stdio: ['ignore', 'ignore', 'pipe'],
  })
  let complaint = ''
  child.stderr?.on('data', (chunk: Buffer) => {
    complaint = `${complaint}${chunk.toString()}`.slice(-2000)
  })
  const gone = once(child, 'close')
  for (let attempt = 0; attempt < 300; attempt++) {
    if (child.exitCode !== null) throw new Error(`the server ended by itself: ${complaint}`)
    const answered = await fetch(`${origin}/sign-in`).then(
      (response) => response.ok,
      () => false,
    )
    if (answered) {
      return {
        origin,
        child,
        kill: async () => {
          child.kill('SIGKILL')
          await gone
        },
      }
    }
    await pause(100)
  }
  child.kill('SIGKILL')
  throw new Error(`the server did not answer within 30 seconds: ${complaint}`)
}

/** Signs a person of the test in and answers the Cookie header that says so. */
export async function cookieOf(personId: string, roles: readonly string[]): Promise<string> {
  const hash = await secretHash(PIN, Buffer.alloc(16, personId))
  const { name } = await inTransaction(async (tx) => {
    for (const role of roles) await tx.personRole.create({ data: { personId, role } })
    return tx.person.update({ where: { id: personId }, data: { secretHash: hash }, select: { name: true } })
  })
  const token = await signIn({ name, secret: PIN, address: '127.0.0.1' }, new Date(), (bytes) =>
    crypto.getRandomValues(new Uint8Array(bytes)),
  )
  return `cotterbook-session=${token}`
}

export interface Answered {
  status: number
  body: { movementId?: number; balanceAfter?: number; type?: string; detail?: string }
}

/** Sends one movement; null when the line went dead before the answer. */
export async function movementSend(
  origin: string,
  cookie: string,
  key: string,
  movement: Record<string, unknown>,
): Promise<Answered | null> {
  try {
    const response = await fetch(`${origin}/api/v1/movements`, {
      method: 'POST',
      headers: { cookie, origin, 'content-type': 'application/json', 'idempotency-key': key },
      body: JSON.stringify(movement),
    })
    return { status: response.status, body: (await response.json()) as Answered['body'] }
  } catch {
    return null
  }
}
