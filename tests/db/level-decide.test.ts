import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { levelChanges } from '../../lib/db/level-change.ts'
import { levelDecide, levelHold, levelHoldLift } from '../../lib/db/level-decide.ts'
import { levelClasses, levelList, partLevelStanding } from '../../lib/db/level-list.ts'
import { levelRunBeginUnasked, levelRunReckon } from '../../lib/db/level-run.ts'
import { stockIssue, stockReceive, stockSetLevel } from '../../lib/db/stock.ts'
import type { LevelDecision } from '../../lib/replenish/decide.ts'
import { levelsSeen } from '../../lib/replenish/decide.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
const ALL = { way: 'all', partClass: null } as const
let odile = ''
let shoe = 0
let filter = 0
let drum = 0
const by = (day = '2026-11-02') => asWriter(odile, { now: new Date(`${day}T08:15:00Z`) })

async function reckonAll(day = '2026-11-02'): Promise<number> {
  const now = new Date(`${day}T03:00:00Z`)
  return (await levelRunReckon(await levelRunBeginUnasked(now), () => now)).runId
}

/** A decision on the parts as the list shows them now. */
async function decision(parts: readonly number[], more: Partial<LevelDecision> = {}): Promise<LevelDecision> {
  const { rows, runId } = await levelList(ALL, 1)
  return {
    decision: 'confirm',
    all: false,
    question: ALL,
    runId,
    parts: rows
      .filter((row) => parts.includes(row.partId))
      .map((row) => ({ partId: row.partId, seen: levelsSeen(row.after) })),
    reason: '',
    ...more,
  }
}

beforeAll(async () => {
  odile = await aPerson('Odile Farrow')
  const binId = await aBin('A1-03', 'Long barn')
  shoe = await aPart({ partClass: 'brake-shoe', costMinor: 2500 })
  filter = await aPart({ partClass: 'filter', costMinor: 900 })
  drum = await aPart({ partClass: 'brake-drum', costMinor: 30_000 })
  for (const partId of [shoe, filter, drum]) {
    await stockReceive(by('2026-01-02'), { partId, binId, quantity: 500 })
    for (const month of ['02', '03', '05', '06', '08', '10'])
      await stockIssue(by(`2026-${month}-15`), { partId, binId, quantity: 2, costCentre: 'yard' })
  }
  await stockSetLevel(by('2026-02-01'), { partId: filter, reorderPoint: 30, orderUpTo: 60, reason: 'a full rack' })
  await reckonAll()
})

describe('the list of changes', () => {
  test('has first what moves most money, and says what all of it binds and frees', async () => {
    const { rows, count, bindsMinor, freesMinor } = await levelList(ALL, 1)
    expect(rows.map((row) => row.partId)).toEqual([drum, filter, shoe])
    expect(count).toBe(3)
    expect(bindsMinor).toBe(rows[0]!.moneyMinor + rows[2]!.moneyMinor)
    expect(freesMinor).toBe(-rows[1]!.moneyMinor)
    expect(await levelClasses()).toEqual(['brake-drum', 'brake-shoe', 'filter'])
  })

  test('is narrowed to first levels, to those that keep less, and to a class', async () => {
    const ids = async (question: Parameters<typeof levelList>[0]) =>
      (await levelList(question, 1)).rows.map((row) => row.partId)
    expect(await ids({ way: 'new', partClass: null })).toEqual([drum, shoe])
    expect(await ids({ way: 'fall', partClass: null })).toEqual([filter])
    expect(await ids({ way: 'rise', partClass: null })).toEqual([])
    expect(await ids({ way: 'all', partClass: 'brake-shoe' })).toEqual([shoe])
    expect((await levelList(ALL, 2)).rows).toEqual([])
  })
})

describe('a yes and a no', () => {
  test('a level that somebody changed meanwhile is refused by name, and nothing of the rest is kept', async () => {
    const asked = await decision([filter, shoe])
    await stockSetLevel(by(), { partId: filter, reorderPoint: 4, orderUpTo: 9, reason: 'counted on the rack' })
    const number = (await database().part.findUniqueOrThrow({ where: { id: filter } })).number
    const refused = levelDecide(by(), asked)
    await expect(refused).rejects.toMatchObject({ code: 'level/stale' })
    await expect(refused).rejects.toThrow(number)
    expect(await database().stockLevel.findUnique({ where: { partId: shoe } })).toBeNull()
    expect((await levelList(ALL, 1)).rows.find((row) => row.partId === filter)?.isStale).toBe(true)
    // Of the whole list the stale one is left out.
    expect(
      await levelDecide(by(), await decision([], { all: true, question: { way: 'fall', partClass: null } })),
    ).toEqual({
      decided: 0,
      left: 1,
    })
  })

  test('a yes keeps the level and writes down who, from what, to what and that it was reckoned', async () => {
    const asked = await decision([shoe])
    expect(await levelDecide(by(), asked)).toEqual({ decided: 1, left: 0 })
    const level = await database().stockLevel.findUniqueOrThrow({ where: { partId: shoe } })
    expect(levelsSeen(level)).toBe(asked.parts[0]!.seen)
    const [change] = await levelChanges(shoe, 5)
    expect(change).toMatchObject({ by: 'Odile Farrow', kind: 'run', from: null, to: { orderUpTo: level.orderUpTo } })
    expect(change!.reason).toContain('a year')
    await reckonAll()
    expect((await database().levelProposal.findUniqueOrThrow({ where: { partId: shoe } })).state).toBe('same')
    const lines = await levelChanges(filter, 5)
    expect(lines.map(({ kind, reason }) => [kind, reason])).toEqual([
      ['hand', 'counted on the rack'],
      ['hand', 'a full rack'],
    ])
  })

  test('a no is not proposed again until something else is reckoned', async () => {
    await levelDecide(by(), await decision([drum], { decision: 'refuse', reason: 'sold next spring' }))
    await reckonAll('2026-11-03')
    expect((await levelList(ALL, 1)).rows.map((row) => row.partId)).not.toContain(drum)
    expect((await partLevelStanding(drum, '2026-11-03')).proposal?.refused).toMatchObject({
      by: 'Odile Farrow',
      words: 'sold next spring',
    })
    await stockSetLevel(by(), { partId: drum, reorderPoint: 50, orderUpTo: 90, reason: 'to try it' })
    await reckonAll('2026-11-04')
    expect((await levelList(ALL, 1)).rows.map((row) => row.partId)).toContain(drum)
  })

  test('a list that was opened before another reckoning is refused', async () => {
    const asked = await decision([drum])
    await reckonAll('2026-11-05')
    await expect(levelDecide(by(), asked)).rejects.toMatchObject({ code: 'level/other-run' })
  })
})

describe('a level kept by hand', () => {
  test('is not proposed until its last day is over, which the part’s screen shows', async () => {
    await levelHold(by(), { partId: drum, untilOn: '2026-11-20', reason: 'big job in spring' })
    expect((await levelList(ALL, 1)).rows.map((row) => row.partId)).not.toContain(drum)
    await reckonAll('2026-11-20')
    expect((await levelList(ALL, 1)).rows.map((row) => row.partId)).not.toContain(drum)
    expect((await partLevelStanding(drum, '2026-11-20')).hold).toMatchObject({ by: 'Odile Farrow' })
    expect((await partLevelStanding(drum, '2026-11-21')).hold).toBeNull()
    await reckonAll('2026-11-21')
    expect((await levelList(ALL, 1)).rows.map((row) => row.partId)).toContain(drum)
  })

  test('may be let go of before, and cannot be kept until a day that is over', async () => {
    await levelHold(by(), { partId: drum, untilOn: '2027-01-31', reason: 'big job in spring' })
    await levelHoldLift(by(), { partId: drum })
    expect((await levelList(ALL, 1)).rows.map((row) => row.partId)).toContain(drum)
    await expect(levelHold(by(), { partId: drum, untilOn: '2026-11-01', reason: 'too late' })).rejects.toMatchObject({
      code: 'level/hold-over',
    })
  })
})
