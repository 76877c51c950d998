import { execFile } from 'node:child_process'
import { createHash, scryptSync } from 'node:crypto'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { beforeEach, describe, expect, test } from 'vitest'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { database } from '../../lib/db/client.ts'
import { personCreate, personSetSecret } from '../../lib/db/people.ts'
import {
  SESSION_IDLE_MS,
  SESSION_LONGEST_MS,
  SESSION_TOUCH_MS,
  sessionEnd,
  sessionRead,
  signIn,
} from '../../lib/db/session.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { seededBytes } from './seeded-bytes.ts'

const workshop = useWorkshop()
const random = seededBytes('session')
const NOW = new Date('2026-11-02T08:15:00Z')
const later = (ms: number) => new Date(NOW.getTime() + ms)
const SECOND = 1000

/** A PIN kept at a five-hundredth of the usual cost: what is looked at here is the counting, not the hash. */
function cheaply(secret: string): string {
  const salt = random(16)
  const hash = scryptSync(secret, salt, 32, { N: 64, r: 8, p: 1 })
  return `scrypt$64$8$1$${Buffer.from(salt).toString('base64url')}$${hash.toString('base64url')}`
}

beforeEach(() =>
  inTransaction(async (tx) => {
    await tx.session.deleteMany()
    await tx.signInTry.deleteMany()
    await tx.person.deleteMany()
    const people = [
      { id: 'person-ida', name: 'Ida Marsh', secretHash: cheaply('7391'), roles: ['mechanic', 'buyer'] },
      { id: 'person-bram', name: 'Bram Oakes', secretHash: cheaply('2580'), roles: ['manager'] },
    ]
    for (const { roles, ...person } of people)
      await tx.person.create({
        data: {
          ...person,
          nameKey: nameKey(person.name),
          createdAt: NOW,
          roles: { create: roles.map((role) => ({ role })) },
        },
      })
  }),
)

const enter = (secret: string, more: { name?: string; address?: string; now?: Date } = {}) =>
  signIn({ name: more.name ?? 'Ida Marsh', secret, address: more.address ?? '192.0.2.7' }, more.now ?? NOW, random)

const answer = (attempt: Promise<string>) =>
  attempt.then(
    () => 'in',
    (error: unknown) => (isRefusal(error) ? error.code : String(error)),
  )

async function wrongTries(count: number, more: Parameters<typeof enter>[1] = {}) {
  const answers: string[] = []
  for (let at = 0; at < count; at++) answers.push(await answer(enter('0001', more)))
  return answers
}

describe('signing in', () => {
  test('with the right PIN answers who it is, with name and roles', async () => {
    expect(await sessionRead(await enter('7391'), NOW)).toMatchObject({
      name: 'Ida Marsh',
      roles: ['mechanic', 'buyer'],
    })
  })

  test('takes the name in any case and spacing', async () => {
    expect(await answer(enter('7391', { name: ' ida  MARSH ' }))).toBe('in')
  })

  test('answers a wrong PIN and a name nobody has in the same words', async () => {
    const refusals = await Promise.all(
      [enter('7392'), enter('7391', { name: 'No Body' })].map((one) => one.catch((error: unknown) => error)),
    )
    const words = refusals.map((one) => (isRefusal(one) ? [one.code, one.happened, one.next] : one))
    expect(words[0]).toEqual(words[1])
    expect(words[0]).toContain('people/wrong-secret')
  })

  test('gives a token of 32 random bytes, of which the database has only the SHA-256', async () => {
    const token = await enter('7391')
    expect(Buffer.from(token, 'base64url')).toHaveLength(32)
    const rows = await database().session.findMany()
    expect(rows.map((row) => row.id)).toEqual([createHash('sha256').update(token).digest('hex')])
    // What is stolen from the database opens nothing.
    expect(await sessionRead(rows[0]?.id ?? '', NOW)).toBeNull()
  })

  test('gives another token each time', async () => {
    expect(await enter('7391')).not.toBe(await enter('7391'))
  })

  test('of 64 at once, at the full cost of 32 MiB each, is answered for all within 200 MiB', async () => {
    const wren = { name: 'Wren Tull', secret: '480615', roles: ['buyer' as const] }
    await personCreate(asWriter('somebody'), wren, random)
    const before = process.memoryUsage().rss
    let most = before
    const watch = setInterval(() => {
      most = Math.max(most, process.memoryUsage().rss)
    }, 10)
    const tokens = await Promise.all(Array.from({ length: 64 }, () => enter('480615', { name: 'Wren Tull' })))
    clearInterval(watch)
    expect(new Set(tokens).size).toBe(64)
    // All of them together would take 2 GiB; the runtime's four threads alone 128 MiB and what the collector leaves lying.
    expect((most - before) / 2 ** 20).toBeLessThan(200)
  }, 60_000)

  test('with a PIN that is replaced in the same moment does not succeed', async () => {
    const ida = await database().person.findUniqueOrThrow({ where: { nameKey: 'ida marsh' } })
    const attempt = answer(enter('7391'))
    await personSetSecret(asWriter('somebody'), { personId: ida.id, secret: '480615' }, random)
    await attempt
    // Whichever came first: nothing that the old PIN opened is open now.
    expect(await database().session.count({ where: { personId: ida.id } })).toBe(0)
  })
})

describe('wrong tries', () => {
  test('five are answered, then the name has to wait five seconds, with the right PIN too', async () => {
    expect(await wrongTries(5)).toEqual(Array(5).fill('people/wrong-secret'))
    await expect(enter('7391')).rejects.toMatchObject({
      code: 'people/wait',
      status: 429,
      next: 'Wait 5 seconds, then try again.',
    })
    expect(await answer(enter('7391', { now: later(4.9 * SECOND) }))).toBe('people/wait')
    expect(await answer(enter('7391', { now: later(5 * SECOND) }))).toBe('in')
  })

  test('for one name do not keep another person out', async () => {
    await wrongTries(6)
    expect(await answer(enter('2580', { name: 'Bram Oakes' }))).toBe('in')
  })

  test('count from whatever address they come', async () => {
    for (const at of [1, 2, 3, 4, 5]) await wrongTries(1, { address: `198.51.100.${at}` })
    expect(await answer(enter('7391', { address: '203.0.113.9' }))).toBe('people/wait')
  })

  test('are slowed for names nobody has, as for others', async () => {
    const answers = await wrongTries(6, { name: 'No Body' })
    expect(answers).toEqual([...Array(5).fill('people/wrong-secret'), 'people/wait'])
  })

  test('are forgotten by signing in', async () => {
    await wrongTries(4)
    expect(await answer(enter('7391'))).toBe('in')
    expect(await wrongTries(5)).toEqual(Array(5).fill('people/wrong-secret'))
  })

  test('while waiting are not counted, so the wait does not grow', async () => {
    await wrongTries(5)
    await wrongTries(3, { now: later(2 * SECOND) })
    expect(await answer(enter('7391', { now: later(5 * SECOND) }))).toBe('in')
  })

  test('twenty at once are five answers and fifteen waits', async () => {
    const answers = await Promise.all(Array.from({ length: 20 }, (_, at) => answer(enter(`90${10 + at}`))))
    expect(answers.filter((one) => one === 'people/wrong-secret')).toHaveLength(5)
    expect(answers.filter((one) => one === 'people/wait')).toHaveLength(15)
  })

  test('nineteen at once with the right PIN behind them do not let it through', async () => {
    const guesses = [...Array.from({ length: 19 }, (_, at) => `90${10 + at}`), '7391']
    const answers = await Promise.all(guesses.map((guess) => answer(enter(guess))))
    expect(answers).not.toContain('in')
    expect(answers.at(-1)).toBe('people/wait')
  })

  test('from four processes at once are five answers in all', async () => {
    const worker = fileURLToPath(new URL('./guess-worker.ts', import.meta.url))
    const args = ['--import', 'tsx', worker, 'Ida Marsh', '6', NOW.toISOString()]
    const env = { ...process.env, DATA_DIR: workshop.folder }
    const runs = await Promise.all(
      Array.from({ length: 4 }, () => promisify(execFile)(process.execPath, args, { env })),
    )
    const answers = runs.flatMap((run) => JSON.parse(run.stdout) as string[])
    expect(answers).toHaveLength(24)
    expect(answers.filter((one) => one === 'people/wrong-secret')).toHaveLength(5)
    expect(answers.filter((one) => one === 'people/wait')).toHaveLength(19)
  })

  test('for thirty names from one address keep that address out, and no other', async () => {
    for (let at = 0; at < 30; at++) await wrongTries(1, { name: `Guess ${at}`, now: later(at * SECOND) })
    await expect(enter('7391', { now: later(60 * SECOND) })).rejects.toMatchObject({
      code: 'people/wait',
      happened: 'Too many wrong tries for this device or network.',
      next: 'Wait 840 seconds, then try again.',
    })
    expect(await answer(enter('7391', { address: '192.0.2.8', now: later(60 * SECOND) }))).toBe('in')
    expect(await answer(enter('7391', { now: later(900 * SECOND) }))).toBe('in')
  })

  test('that count for nothing any more are swept away', async () => {
    await wrongTries(1, { name: 'No Body' })
    await wrongTries(1, { now: later(9 * 3600 * SECOND) })
    expect((await database().signInTry.findMany()).map((row) => row.id).sort()).toEqual([
      'address:192.0.2.7',
      'name:ida marsh',
    ])
  })
})

describe('a session', () => {
  test('left alone ends after twelve hours, to the second', async () => {
    const token = await enter('7391')
    expect(await sessionRead(token, later(SESSION_IDLE_MS))).toBeNull()
    expect(await sessionRead(token, later(SESSION_IDLE_MS - 1))).not.toBeNull()
  })

  test('in use goes on', async () => {
    const token = await enter('7391')
    await sessionRead(token, later(11 * 3600 * SECOND))
    expect(await sessionRead(token, later(20 * 3600 * SECOND))).not.toBeNull()
  })

  test('writes that it is in use at most every ten minutes', async () => {
    const token = await enter('7391')
    const until = async () => (await database().session.findFirstOrThrow()).expiresAt.getTime()
    const first = await until()
    await sessionRead(token, later(SESSION_TOUCH_MS - 1))
    expect(await until()).toBe(first)
    await sessionRead(token, later(SESSION_TOUCH_MS))
    expect(await until()).toBe(first + SESSION_TOUCH_MS)
  })

  test('ends after thirty days in spite of daily use', async () => {
    const token = await enter('7391')
    const step = 6 * 3600 * SECOND
    for (let at = step; at < SESSION_LONGEST_MS; at += step) expect(await sessionRead(token, later(at))).not.toBeNull()
    expect(await sessionRead(token, later(SESSION_LONGEST_MS))).toBeNull()
  })

  test('is ended by signing out, and the others of the same person are not', async () => {
    const [tablet, desk] = [await enter('7391'), await enter('7391')]
    await sessionEnd(tablet)
    expect(await sessionRead(tablet, NOW)).toBeNull()
    expect(await sessionRead(desk, NOW)).not.toBeNull()
    await sessionEnd(tablet)
  })

  test('that nobody has heard of is nobody', async () => {
    expect(await sessionRead('', NOW)).toBeNull()
    expect(await sessionRead('x'.repeat(43), NOW)).toBeNull()
  })

  test('past its end is swept away when somebody signs in', async () => {
    await enter('7391')
    await enter('2580', { name: 'Bram Oakes', now: later(SESSION_IDLE_MS) })
    expect(await database().session.count()).toBe(1)
  })
})
