import { execFile } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { beforeAll, describe, expect, test } from 'vitest'
import { database, databaseClose } from '../../lib/db/client.ts'
import { stockIssue, stockReceive } from '../../lib/db/stock.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

const workshop = useWorkshop()
let owen = ''
let nell = ''
beforeAll(async () => {
  // As the workshop runs it: readers do not wait for the writer.
  await database().$queryRawUnsafe('PRAGMA journal_mode=WAL')
  nell = await aPerson('Nell Farrow')
  owen = await aPerson('Owen Tarrant')
})

interface RaceAnswer {
  placed?: { movementId: number; balanceAfter: number }
  refused?: string
  says?: string
  fault?: string
}

async function race(personId: string, partId: number, binId: number): Promise<RaceAnswer[]> {
  const worker = fileURLToPath(new URL('./race-worker.ts', import.meta.url))
  const args = ['--import', 'tsx', worker, personId, String(partId), String(binId), '32']
  const { stdout } = await promisify(execFile)(process.execPath, args, {
    env: { ...process.env, DATA_DIR: workshop.folder },
    cwd: fileURLToPath(new URL('../../', import.meta.url)),
  })
  return JSON.parse(stdout) as RaceAnswer[]
}

describe('the last one on the shelf', () => {
  test('goes to one of 64 clients in two processes, and the others hear who took it', async () => {
    const partId = await aPart({ number: 'QX-9', description: 'Brake shoe' })
    const binId = await aBin('R-9')
    await stockReceive(asWriter(nell), { partId, binId, quantity: 1 })
    await databaseClose()
    const answers = (await Promise.all([race(nell, partId, binId), race(owen, partId, binId)])).flat()
    expect(answers).toHaveLength(64)
    expect(answers.filter((one) => one.fault !== undefined)).toEqual([])
    const got = answers.filter((one) => one.placed)
    expect(got).toHaveLength(1)
    expect(got[0]!.placed!.balanceAfter).toBe(0)
    const issues = await database().movement.findMany({ where: { partId, kind: 'issue' } })
    expect(issues.map((line) => line.id)).toEqual([got[0]!.placed!.movementId])
    const winner = issues[0]!.personId === nell ? 'Nell Farrow' : 'Owen Tarrant'
    const refused = answers.filter((one) => !one.placed)
    expect(new Set(refused.map((one) => one.refused))).toEqual(new Set(['stock/not-enough']))
    expect(new Set(refused.map((one) => one.says))).toEqual(
      new Set([`Only 0 of QX-9 Brake shoe left in R-9; 1 wanted. Last taken by ${winner}, 1. None on order.`]),
    )
    expect(await database().balance.findFirst({ where: { partId } })).toMatchObject({ quantity: 0 })
    expect(await database().write.count({ where: { key: { startsWith: 'race-' } } })).toBe(1)
  }, 180_000)
})

describe('the same request a hundred times at once', () => {
  test('is one movement, and everybody gets the same answer', async () => {
    const partId = await aPart()
    const binId = await aBin()
    await stockReceive(asWriter(nell), { partId, binId, quantity: 300 })
    const context = asWriter(owen, { key: 'weak-signal-behind-the-barn' })
    const taking = { partId, binId, quantity: 2, reason: 'yard use' }
    const answers = await Promise.all(Array.from({ length: 100 }, () => stockIssue(context, taking)))
    expect(new Set(answers.map((one) => JSON.stringify(one))).size).toBe(1)
    expect(answers[0]!.balanceAfter).toBe(298)
    expect(await database().movement.count({ where: { partId, kind: 'issue' } })).toBe(1)
  }, 180_000)

  test('under a hundred keys for sixty parts is sixty movements and forty refusals', async () => {
    const partId = await aPart()
    const binId = await aBin()
    await stockReceive(asWriter(nell), { partId, binId, quantity: 60 })
    const answers = await Promise.allSettled(
      Array.from({ length: 100 }, () => stockIssue(asWriter(owen), { partId, binId, quantity: 1, reason: 'yard use' })),
    )
    const left = answers.flatMap((one) => (one.status === 'fulfilled' ? [one.value.balanceAfter] : []))
    expect(left.sort((a, b) => b - a)).toEqual(Array.from({ length: 60 }, (_, at) => 59 - at))
    for (const one of answers)
      if (one.status === 'rejected') expect(one.reason).toMatchObject({ code: 'stock/not-enough' })
  }, 180_000)
})
