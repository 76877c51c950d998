import { beforeAll, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { ledgerFaults } from '../../lib/stock/ledger.ts'
import type { MovementKind } from '../../lib/stock/movement.ts'
import { useWorkshop } from '../support/database.ts'
import { WorkshopRun } from './workshop-run.ts'

useWorkshop()
const STEPS = 2_500
beforeAll(async () => {
  await database().$queryRawUnsafe('PRAGMA journal_mode=WAL')
})

test('thousands of requests of a random workshop leave shelf, promises and values as a plain model has them', async () => {
  const run = new WorkshopRun('winter')
  await run.open()
  const { answered, movements } = await run.work(STEPS)
  expect(movements).toBeGreaterThan(STEPS / 3)
  const rows = await database().movement.findMany({ orderBy: { id: 'asc' } })
  expect(ledgerFaults(rows.map((row) => ({ ...row, kind: row.kind as MovementKind })))).toEqual([])
  // Every kind of answer came up, so none of the judgements is idle.
  for (const name of [
    'receive done',
    'issue done',
    'issue stock/not-enough',
    'issue stock/reserved',
    'count done',
    'count stock/moved-since',
    'transfer done',
    'transfer input/invalid',
    'transfer stock/not-enough',
    'reverse done',
    'reverse stock/already-reversed',
    'reverse stock/not-reversible',
    'reverse stock/not-enough',
    'want done',
    'take done',
    'take stock/not-enough',
    'take stock/reserved',
    'put-back done',
    'put-back input/invalid',
    'again',
    'key reused',
    'compared',
  ])
    expect([name, answered.get(name) ?? 0]).not.toEqual([name, 0])
}, 300_000)

test('a model that is one minor unit off is found out', async () => {
  const run = new WorkshopRun('faulty-twin')
  await run.open()
  await run.work(60)
  for (const part of run.model.parts) part.value += 1n
  await expect(run.work(60)).rejects.toThrow(/part \d .*the model says/)
}, 60_000)
