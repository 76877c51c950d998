import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { checkStanding, checkStart } from '../../lib/db/check-run.ts'
import { database } from '../../lib/db/client.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { checkIsDue } from '../../lib/verify/kept.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

const workshop = useWorkshop()
const NOW = new Date('2026-11-27T03:00:00Z')

/** Starts a check and waits for its end, at most a minute. */
async function checked() {
  checkStart(() => NOW)
  for (let at = 0; at < 300 && checkStanding().workingSince !== null; at++)
    await new Promise((go) => setTimeout(go, 200))
  const { last } = checkStanding()
  return { ok: last?.ok, wrong: last?.checks.filter((check) => !check.ok) }
}

describe('the daily check of the books', () => {
  test('is kept with what it found: sound books hold; a balance that was bent past the ledger is named', async () => {
    expect(checkStanding()).toEqual({ workingSince: null, last: null })
    const nell = await aPerson('Nell Farrow')
    const [partId, binId] = [await aPart({}), await aBin()]
    await stockReceive(asWriter(nell), { partId, binId, quantity: 4 })
    // The template of the tests keeps its log beside it as a running workshop does.
    await database().$queryRawUnsafe('PRAGMA journal_mode=WAL')
    expect(await checked()).toEqual({ ok: true, wrong: [] })
    await database().balance.updateMany({ data: { quantity: 5 } })
    const bent = await checked()
    expect(bent.ok).toBe(false)
    expect(JSON.stringify(bent.wrong)).toContain(`part ${partId} in bin ${binId}`)
  }, 120_000)
})

describe('a check that was broken off', () => {
  test('leaves what the last one found, and another may begin', () => {
    const last = { endedAt: '2026-11-26T02:01:00Z', ok: true, checks: [] }
    // No process has this number: the highest a kernel gives is far below.
    const working = { startedAt: '2026-11-27T02:00:00Z', pid: 2 ** 30 }
    writeFileSync(join(workshop.folder, 'check.json'), JSON.stringify({ working, last }))
    expect(checkStanding()).toEqual({ workingSince: null, last })
  })
})

test('the next check is due a day after the last one came to its end, and at once where none ever did', () => {
  const last = { endedAt: '2026-11-26T02:01:00Z', ok: true, checks: [] }
  expect(checkIsDue(null, Date.parse('2026-11-27T00:00:00Z'))).toBe(true)
  expect(checkIsDue(last, Date.parse('2026-11-27T02:00:59Z'))).toBe(false)
  expect(checkIsDue(last, Date.parse('2026-11-27T02:01:00Z'))).toBe(true)
})
