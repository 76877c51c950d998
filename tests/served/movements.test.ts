import { execFile } from 'node:child_process'
import { setTimeout as pause } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { database, databaseClose } from '../../lib/db/client.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { randomInteger, randomSeeded } from '../../lib/maths/random.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { type Answered, cookieOf, movementSend, type Served, servedStart } from '../support/served.ts'

/** The program as it is served: processes of their own, spoken to over HTTP like a phone at the shelf does. */
const workshop = useWorkshop()
const running = new Set<Served>()
let nell = ''
let cookies: string[] = []

async function serve(): Promise<Served> {
  const served = await servedStart(workshop.folder)
  running.add(served)
  return served
}

async function kill(served: Served): Promise<void> {
  await served.kill()
  running.delete(served)
}

beforeAll(async () => {
  await database().$queryRawUnsafe('PRAGMA journal_mode=WAL')
  nell = await aPerson('Nell Farrow')
  const owen = await aPerson('Owen Tarrant')
  cookies = [await cookieOf(nell, ['storekeeper']), await cookieOf(owen, ['mechanic'])]
}, 60_000)
afterAll(async () => {
  for (const served of running) await served.kill()
})

async function shelved(quantity: number): Promise<{ partId: number; binId: number }> {
  const partId = await aPart()
  const binId = await aBin()
  await stockReceive(asWriter(nell), { partId, binId, quantity })
  await databaseClose()
  return { partId, binId }
}

describe('a movement sent over the network', () => {
  test('needs somebody signed in with the right, a key, our own page and a body that can be read', async () => {
    const place = await shelved(5)
    const { origin, ...served } = await serve()
    const issue = { kind: 'issue', ...place, quantity: 1, reason: 'yard use' }
    const [storekeeper, mechanic] = cookies as [string, string]
    const refused = async (cookie: string, key: string, movement: Record<string, unknown>) => {
      const answer = await movementSend(origin, cookie, key, movement)
      return [answer?.status, answer?.body.type]
    }
    const code = (name: string) => `urn:cotterbook:refusal:${name}`
    expect(await refused('', 'key-of-nobody', issue)).toEqual([401, code('people/not-signed-in')])
    expect(await refused(mechanic, 'short', issue)).toEqual([400, code('input/no-key')])
    expect(await refused(mechanic, 'key-mechanic-1', { ...issue, kind: 'receive', reason: undefined })).toEqual([
      403,
      code('people/not-allowed'),
    ])
    expect(await refused(mechanic, 'key-mechanic-2', { ...issue, quantity: -1 })).toEqual([422, code('input/invalid')])
    expect(await refused(mechanic, 'key-mechanic-3', { ...issue, colour: 'red' })).toEqual([422, code('input/invalid')])
    expect(await refused(mechanic, 'key-mechanic-4', { ...issue, quantity: 6 })).toEqual([
      409,
      code('stock/not-enough'),
    ])
    const headers = { cookie: mechanic, 'content-type': 'application/json', 'idempotency-key': 'key-mechanic-5' }
    const send = (more: Record<string, string>, body: string) =>
      fetch(`${origin}/api/v1/movements`, { method: 'POST', headers: { ...headers, ...more }, body })
    expect((await send({}, JSON.stringify(issue))).status).toBe(403)
    expect((await send({ origin: 'http://elsewhere.example' }, JSON.stringify(issue))).status).toBe(403)
    expect((await send({ origin }, '{"kind": "issue"')).status).toBe(422)
    expect((await send({ origin }, JSON.stringify({ ...issue, reason: 'x'.repeat(70_000) }))).status).toBe(422)
    // Nothing of all that moved the shelf; what is allowed does.
    const count = { kind: 'count-difference', ...place, counted: 4, expected: 5, reason: 'one was bent' }
    expect(await movementSend(origin, storekeeper, 'key-count-0001', count)).toMatchObject({
      status: 201,
      body: { balanceAfter: 4 },
    })
    await served.kill()
  }, 120_000)
})

describe('the last one on the shelf', () => {
  test('goes to one of 64 clients of two served processes, the others are told so, and nothing breaks', async () => {
    const { partId, binId } = await shelved(1)
    const [one, other] = await Promise.all([serve(), serve()])
    const answers = await Promise.all(
      Array.from({ length: 64 }, (_, at) =>
        movementSend([one, other][at % 2]!.origin, cookies[(at >> 1) % 2]!, `last-one-${at}`, {
          kind: 'issue',
          partId,
          binId,
          quantity: 1,
          reason: 'yard use',
        }),
      ),
    )
    const statuses = answers.map((answer) => answer?.status)
    expect(statuses.filter((status) => status === 201)).toHaveLength(1)
    expect(statuses.filter((status) => status === 409)).toHaveLength(63)
    for (const answer of answers)
      if (answer?.status === 409) expect(answer.body.detail).toMatch(/^Only 0 of .* Last taken by (Nell|Owen) /)
    expect(await database().movement.count({ where: { partId, kind: 'issue' } })).toBe(1)
    expect(await database().balance.findFirst({ where: { partId } })).toMatchObject({ quantity: 0 })

    // A weak signal sends the same thing again and again: one movement, whichever process hears it.
    const again = await shelved(300)
    const same = await Promise.all(
      Array.from({ length: 100 }, (_, at) =>
        movementSend([one, other][at % 2]!.origin, cookies[0]!, 'behind-the-barn', {
          kind: 'issue',
          ...again,
          quantity: 2,
          reason: 'yard use',
        }),
      ),
    )
    expect(new Set(same.map((answer) => JSON.stringify(answer))).size).toBe(1)
    expect(same[0]).toMatchObject({ status: 201, body: { balanceAfter: 298 } })
    expect(await database().movement.count({ where: { partId: again.partId, kind: 'issue' } })).toBe(1)
    await databaseClose()
    await Promise.all([kill(one), kill(other)])
  }, 120_000)
})

const ROUNDS = 10
const CLIENTS = 6

/** Clients that take one piece after the other until the server is gone; at most a bounded number each. */
async function takeUntilDead(
  served: Served,
  round: number,
  place: { partId: number; binId: number },
  delayMs: number,
): Promise<{ done: Map<string, number>; open: string[] }> {
  const done = new Map<string, number>()
  const open: string[] = []
  let begun: () => void = () => {}
  const first = new Promise<void>((resolve) => {
    begun = resolve
  })
  const client = async (name: number) => {
    for (let turn = 0; turn < 2_000; turn++) {
      const key = `served-${round}-${name}-${turn}`
      const answer: Answered | null = await movementSend(served.origin, cookies[name % 2]!, key, {
        kind: 'issue',
        ...place,
        quantity: 1,
        reason: 'bench work',
      })
      if (answer === null) {
        open.push(key)
        return
      }
      expect([key, answer.status]).toEqual([key, 201])
      done.set(key, answer.body.movementId!)
      begun()
    }
  }
  const clients = Promise.all(Array.from({ length: CLIENTS }, (_, name) => client(name)))
  // A client that was refused ends the test at once, it does not leave the others waiting.
  await Promise.race([first, clients])
  await pause(delayMs)
  await kill(served)
  await clients
  return { done, open }
}

describe('the power fails while parts are taken', () => {
  test('ten times over: started again, every acknowledged movement is there and verify finds nothing', async () => {
    const place = await shelved(1_000_000)
    const random = randomSeeded('served kill -9')
    const acknowledged = new Map<string, number>()
    const open: string[] = []
    for (let round = 0; round < ROUNDS; round++) {
      const served = await serve()
      const taken = await takeUntilDead(served, round, place, randomInteger(random, 0, 350))
      for (const [key, movementId] of taken.done) acknowledged.set(key, movementId)
      open.push(...taken.open)
      const { stdout } = await promisify(execFile)(process.execPath, ['lib/cli/cotterbook.mjs', 'verify', '--json'], {
        cwd: fileURLToPath(new URL('../../', import.meta.url)),
        env: { ...process.env, DATA_DIR: workshop.folder },
      })
      const report = JSON.parse(stdout) as { ok: boolean; checks: { ok: boolean }[] }
      expect(report.ok).toBe(true)
      expect(report.checks.length).toBeGreaterThan(10)
      const ledger = await database().movement.findMany({ where: { partId: place.partId, kind: 'issue' } })
      await databaseClose()
      const written = new Map(ledger.map((line) => [line.writeKey, line.id]))
      for (const [key, movementId] of acknowledged) expect([key, written.get(key)]).toEqual([key, movementId])
    }
    expect(acknowledged.size).toBeGreaterThan(ROUNDS)
    expect(open.length).toBeGreaterThanOrEqual(ROUNDS)

    // Whoever heard no answer sends again under the same key: one movement each, whether or not the first was written.
    const served = await serve()
    for (const key of open) {
      const answer = await movementSend(served.origin, cookies[Number(key.split('-')[2]) % 2]!, key, {
        kind: 'issue',
        ...place,
        quantity: 1,
        reason: 'bench work',
      })
      expect([key, answer?.status]).toEqual([key, 201])
    }
    await kill(served)
    const issues = await database().movement.findMany({ where: { partId: place.partId, kind: 'issue' } })
    expect(issues.map((line) => line.writeKey).sort()).toEqual([...acknowledged.keys(), ...open].sort())
    expect(await database().balance.findFirst({ where: { partId: place.partId } })).toMatchObject({
      quantity: 1_000_000 - acknowledged.size - open.length,
    })
  }, 300_000)
})
