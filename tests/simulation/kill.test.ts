import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { setTimeout as pause } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { beforeAll, expect, test } from 'vitest'
import { database, databaseClose } from '../../lib/db/client.ts'
import { stockIssue, stockReceive } from '../../lib/db/stock.ts'
import { randomSeeded } from '../../lib/maths/random.ts'
import { ledgerBalances, ledgerFaults } from '../../lib/stock/ledger.ts'
import type { MovementKind } from '../../lib/stock/movement.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

const ROUNDS = 8
const DELIVERED = 1_000_000

const workshop = useWorkshop()
let personId = ''
let partId = 0
let binId = 0
beforeAll(async () => {
  await database().$queryRawUnsafe('PRAGMA journal_mode=WAL')
  personId = await aPerson('Nell Farrow')
  partId = await aPart()
  binId = await aBin()
  await stockReceive(asWriter(personId), { partId, binId, quantity: DELIVERED })
})

/** Lets a worker take parts and kills it `delayMs` after its first acknowledged movement. */
async function workUntilKilled(round: number, delayMs: number): Promise<{ sent: string[]; done: Map<string, number> }> {
  const worker = fileURLToPath(new URL('./kill-worker.ts', import.meta.url))
  const child = spawn(
    process.execPath,
    ['--import', 'tsx', worker, personId, String(partId), String(binId), String(round)],
    {
      env: { ...process.env, DATA_DIR: workshop.folder },
      cwd: fileURLToPath(new URL('../../', import.meta.url)),
      stdio: ['ignore', 'pipe', 'pipe'],
    },
  )
  let said = ''
  let complaint = ''
  child.stderr.on('data', (chunk: Buffer) => {
    complaint += chunk.toString()
  })
  const begun = new Promise<void>((resolve, reject) => {
    child.stdout.on('data', (chunk: Buffer) => {
      said += chunk.toString()
      if (said.includes('done ')) resolve()
    })
    child.once('exit', (code) => reject(new Error(`the worker ended by itself (${code}): ${complaint}`)))
  })
  const over = once(child, 'close')
  await begun
  await pause(delayMs)
  child.kill('SIGKILL')
  const [, signal] = (await over) as [number | null, NodeJS.Signals | null]
  expect(signal).toBe('SIGKILL')
  // A line cut short by the kill was not said.
  const lines = said.slice(0, said.lastIndexOf('\n') + 1).split('\n')
  const done = new Map<string, number>()
  for (const line of lines) {
    const [word, key = '', movementId] = line.split(' ')
    if (word === 'done') done.set(key, Number(movementId))
  }
  return { sent: lines.flatMap((line) => (line.startsWith('sent ') ? [line.slice(5)] : [])), done }
}

test('a process killed in the middle of its work loses no acknowledged movement and leaves none half done', async () => {
  const random = randomSeeded('kill -9')
  const acknowledged = new Map<string, number>()
  const open: string[] = []
  for (let round = 0; round < ROUNDS; round++) {
    await databaseClose()
    const { sent, done } = await workUntilKilled(round, Math.floor(random() * 350))
    for (const [key, movementId] of done) acknowledged.set(key, movementId)
    open.push(...sent.filter((key) => !done.has(key)))
    const db = database()
    const whole = await db.$queryRawUnsafe<{ integrity_check: string }[]>('PRAGMA integrity_check')
    expect(whole).toEqual([{ integrity_check: 'ok' }])
    expect(await db.$queryRawUnsafe('PRAGMA foreign_key_check')).toEqual([])
    const ledger = await db.movement.findMany({ orderBy: { id: 'asc' } })
    const written = new Map(ledger.map((line) => [line.writeKey, line.id]))
    for (const [key, movementId] of acknowledged) expect([key, written.get(key)]).toEqual([key, movementId])
    expect(ledgerFaults(ledger.map((line) => ({ ...line, kind: line.kind as MovementKind })))).toEqual([])
    const balance = await db.balance.findUniqueOrThrow({ where: { partId_binId: { partId, binId } } })
    expect(balance.quantity).toBe(ledgerBalances(ledger).get(`${partId}:${binId}`))
    // Movement and key come together or not at all.
    const keys = await db.write.findMany({ select: { key: true } })
    expect(keys.map((row) => row.key).sort()).toEqual([...written.keys()].sort())
  }
  expect(acknowledged.size).toBeGreaterThan(ROUNDS)
  // The kills fell into running work: with four clients something was always under way.
  expect(open.length).toBeGreaterThanOrEqual(ROUNDS)

  // Whoever heard no answer sends again under the same key: one movement each, whether or not the first was written.
  for (const key of open)
    await stockIssue(asWriter(personId, { key }), { partId, binId, quantity: 1, reason: 'bench work' })
  const issues = await database().movement.findMany({ where: { kind: 'issue' }, select: { writeKey: true } })
  expect(issues.map((line) => line.writeKey).sort()).toEqual([...acknowledged.keys(), ...open].sort())
  const balance = await database().balance.findUniqueOrThrow({ where: { partId_binId: { partId, binId } } })
  expect(balance.quantity).toBe(DELIVERED - acknowledged.size - open.length)
}, 180_000)
