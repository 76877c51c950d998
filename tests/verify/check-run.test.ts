import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { checkStanding, checkStart } from '../../lib/db/check-run.ts'
import { database } from '../../lib/db/client.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { type CheckKept, checkIsDue, checkResult } from '../../lib/verify/kept.ts'
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
    expect(existsSync(join(workshop.folder, 'check.json'))).toBe(true)
    const kept = JSON.parse(readFileSync(join(workshop.folder, 'check.json'), 'utf8')) as CheckKept
    expect(kept.before?.ok).toBe(true)
  }, 120_000)
})

describe('when the next check is due', () => {
  const held = {
    startedAt: '2026-11-26T02:00:00Z',
    endedAt: '2026-11-26T02:01:00Z',
    pid: 7,
    ok: true,
    checks: [],
    before: null,
  }
  const at = (instant: string) => Date.parse(instant)

  test('a day after the last one came to its end, and at once where none ever did', () => {
    expect(checkIsDue(null, at('2026-11-27T00:00:00Z'))).toBe(true)
    expect(checkIsDue(held, at('2026-11-27T02:00:59Z'))).toBe(false)
    expect(checkIsDue(held, at('2026-11-27T02:01:00Z'))).toBe(true)
  })

  test('one that was broken off counts for nothing: the last that came to its end does', () => {
    const { endedAt, ok, checks } = held
    const broken = { ...held, startedAt: '2026-11-27T02:00:00Z', endedAt: null, before: { endedAt, ok, checks } }
    expect(checkResult(broken)).toEqual({ endedAt, ok, checks })
    expect(checkIsDue(broken, at('2026-11-27T02:30:00Z'))).toBe(true)
  })
})
