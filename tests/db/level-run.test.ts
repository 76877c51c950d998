import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { partLevelFacts } from '../../lib/db/level-proposal.ts'
import {
  levelRunBegin,
  levelRunBeginUnasked,
  levelRunCancel,
  levelRunReckon,
  levelRunStanding,
} from '../../lib/db/level-run.ts'
import { levelSettings, levelSettingsSave } from '../../lib/db/level-settings.ts'
import { supersessionPlace } from '../../lib/db/part.ts'
import { partDiscontinue } from '../../lib/db/part-edit.ts'
import { stockIssue, stockReceive, stockSetLevel } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { LEVEL_SETTINGS } from '../../lib/replenish/level-settings.ts'
import { levelReckon } from '../../lib/replenish/proposal.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aFigureLine } from '../support/figure-line.ts'

useWorkshop()
const NOW = new Date('2026-11-02T08:15:00Z')
const on = (day: string) => asWriter(nell, { now: new Date(`${day}T09:00:00Z`) })
let nell = ''
let barn = 0
let machineId = 0
let parts: Record<'shoe' | 'bolt' | 'oil' | 'fresh' | 'old' | 'newer' | 'gone', number>

/** Taken in these months of 2026, one after the other. */
async function used(partId: number, quantities: readonly number[]): Promise<void> {
  await stockReceive(on('2026-01-02'), { partId, binId: barn, quantity: 100_000 })
  for (const [at, quantity] of quantities.entries())
    if (quantity > 0)
      await stockIssue(on(`2026-${String(at + 1).padStart(2, '0')}-15`), { partId, binId: barn, quantity, machineId })
}

async function reckonAll(): Promise<void> {
  const { state } = await levelRunReckon(await levelRunBeginUnasked(NOW), () => NOW)
  expect(state).toBe('done')
}

const proposal = (partId: number) => database().levelProposal.findUnique({ where: { partId } })

beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  barn = await aBin('A1-03', 'Long barn')
  machineId = await aMachine('M-A')
  for (const [day, hours] of [
    ['2025-10-01', 100],
    ['2026-11-01', 1500],
  ] as const)
    await inTransaction((tx) =>
      tx.hourReading.create({ data: { machineId, hourTenths: hours * 10, at: new Date(`${day}T00:00:00Z`) } }),
    )
  const brakes = { partClass: 'brake-shoe', costMinor: 2500 } as const
  parts = {
    shoe: await aPart(brakes),
    bolt: await aPart({ partClass: 'bolt', costMinor: 40 }),
    oil: await aPart({ partClass: 'gear-oil', unit: 'litre', costMinor: 600 }),
    fresh: await aPart(brakes),
    old: await aPart({ partClass: 'filter', costMinor: 900 }),
    newer: await aPart({ partClass: 'filter', costMinor: 950 }),
    gone: await aPart(brakes),
  }
  await inTransaction((tx) =>
    supersessionPlace(tx, new Date('2026-06-01T00:00:00Z'), {
      oldPartId: parts.old,
      newPartId: parts.newer,
      ratio: 1,
      interchange: 'one-way',
    }),
  )
  for (const partId of [parts.shoe, parts.fresh, parts.newer]) await aFigureLine(machineId, partId, 2)
  await used(parts.shoe, [2, 0, 2, 2, 0, 4, 2, 0, 2, 2])
  await used(parts.bolt, [8, 0, 0, 4, 0, 0, 12, 0, 4, 0])
  await used(parts.oil, [2500, 0, 1000, 2500, 0, 500, 2500, 0, 1000, 0])
  await used(parts.old, [1, 1, 0, 1, 1, 0, 1, 0, 1, 1])
  await used(parts.gone, [2, 2, 2])
  await partDiscontinue(on('2026-10-01'), { partId: parts.gone, on: '2026-10-01', note: 'no longer made' })
  await reckonAll()
})

describe('a reckoning of all levels', () => {
  test('comes to the same levels as the screen of each part, to the piece', async () => {
    for (const name of ['shoe', 'bolt', 'oil', 'fresh', 'newer'] as const) {
      const { facts, choice } = await partLevelFacts(parts[name], '2026-11-02', NOW)
      const own = levelReckon(facts, choice)
      const kept = await proposal(parts[name])
      expect(kept, name).toMatchObject({ freeReorderPoint: own.reorderPoint, freeOrderUpTo: own.orderUpTo })
      expect(own.method).toBe('installed-base')
      expect(own.perYear, name).toBeGreaterThan(0)
    }
  })

  test('foresees a part that was never taken from its class and the machines that have it, and says so', async () => {
    const kept = (await proposal(parts.fresh))!
    expect(kept.reason).toMatch(
      /^never taken yet, so foreseen from the class brake shoe and the 1 machine that has it: /,
    )
    expect(JSON.parse(kept.forecast)).toMatchObject({ newOf: { partClass: 'brake-shoe', machines: 1 } })
  })

  test('counts what was used of a replaced part for the newer one, and sets no level for it or for one no longer made', async () => {
    expect(await proposal(parts.old)).toBeNull()
    expect(await proposal(parts.gone)).toBeNull()
    const { withPlanned } = JSON.parse((await proposal(parts.newer))!.forecast) as { withPlanned: { mean: number } }
    // Seven were taken in ten months.
    expect(withPlanned.mean).toBeGreaterThan(0.4)
    expect(withPlanned.mean).toBeLessThan(1.2)
  })

  test('changes no level, and says what the change would bind and how many it would change', async () => {
    expect(await database().stockLevel.count()).toBe(0)
    const { state, classes, ...run } = (await levelRunStanding(NOW))!
    expect(state).toBe('done')
    expect(run).toMatchObject({ by: null, parts: 5 })
    expect(run.changes).toBe(await database().levelProposal.count({ where: { state: 'change' } }))
    expect(classes.find((one) => one.partClass === 'brake-shoe')).toMatchObject({ parts: 2, asked: 7 })
    const { reorderPoint, orderUpTo, moneyMinor } = (await proposal(parts.shoe))!
    expect(moneyMinor).toBe(Math.round(((reorderPoint + orderUpTo) / 2) * 2500))
  })

  test('moves a level by no more than the step that is allowed, and says what it would be without', async () => {
    await stockSetLevel(on('2026-11-01'), { partId: parts.shoe, reorderPoint: 40, orderUpTo: 80, reason: 'to try it' })
    await reckonAll()
    const kept = (await proposal(parts.shoe))!
    expect(kept).toMatchObject({
      state: 'change',
      oldReorderPoint: 40,
      oldOrderUpTo: 80,
      reorderPoint: 20,
      orderUpTo: 40,
    })
    expect(kept.freeOrderUpTo).toBeLessThan(40)
    expect(kept.moneyMinor).toBe(-30 * 2500)
    expect(kept.reason).toContain('in one step a number goes to 2 times what it was at most')
  })

  test('goes by the settings of the workshop: more is kept where more is to be there at once', async () => {
    const before = (await proposal(parts.bolt))!
    await levelSettingsSave(on('2026-11-01'), { ...LEVEL_SETTINGS, fillEssential: 99.5, reviewDays: 30 })
    await reckonAll()
    expect((await proposal(parts.bolt))!.freeReorderPoint).toBeGreaterThan(before.freeReorderPoint)
    await levelSettingsSave(on('2026-11-01'), LEVEL_SETTINGS)
  })

  test('aims at looks at the shelf where the settings say so, on the screen of a part and for all', async () => {
    await levelSettingsSave(on('2026-11-01'), { ...LEVEL_SETTINGS, aimEssential: 'cycle' })
    await reckonAll()
    const kept = (await proposal(parts.bolt))!
    expect(kept.reason).toContain('aim nobody waiting after 95 of 100 looks at the shelf until the order of the next')
    const { facts, choice } = await partLevelFacts(parts.bolt, '2026-11-02', NOW)
    expect(choice.aim).toEqual({ kind: 'cycle', share: 0.95 })
    expect(levelReckon(facts, choice).reorderPoint).toBe(kept.freeReorderPoint)
    await levelSettingsSave(on('2026-11-01'), LEVEL_SETTINGS)
  })

  test('settings from before there was a choice of aims hold as they were', async () => {
    const { aimVital, aimEssential, aimDesirable, ...old } = { ...LEVEL_SETTINGS, fillVital: 97 }
    const value = JSON.stringify(old)
    const row = { where: { name: 'levels' }, create: { name: 'levels', value }, update: { value } }
    await database().setting.upsert(row)
    expect(await levelSettings()).toEqual({ ...LEVEL_SETTINGS, fillVital: 97 })
    expect([aimVital, aimEssential, aimDesirable]).toEqual(['fill', 'fill', 'fill'])
    await levelSettingsSave(on('2026-11-01'), LEVEL_SETTINGS)
  })
})

describe('one reckoning at a time', () => {
  test('a second is refused, a cancelled one ends without a word about parts', async () => {
    const { runId } = await levelRunBegin(on('2026-11-02'))
    const begun = new Date('2026-11-02T09:00:30Z')
    await expect(levelRunBeginUnasked(begun)).rejects.toMatchObject({ code: 'level/running' })
    await levelRunCancel(on('2026-11-02'), { runId })
    expect(await levelRunReckon(runId, () => begun)).toMatchObject({ state: 'cancelled', parts: 0 })
    expect((await levelRunStanding(begun))!.state).toBe('cancelled')
  })

  test('one whose process is gone shows as such and makes room for the next', async () => {
    const { runId } = await levelRunBegin(on('2026-11-02'))
    const later = new Date('2026-11-02T09:10:00Z')
    const died = (await levelRunStanding(later))!
    expect(died).toMatchObject({ runId, state: 'failed', by: 'Nell Farrow' })
    expect(died.words).toContain('No level was changed')
    const next = await levelRunBeginUnasked(later)
    expect(await database().levelRun.findUnique({ where: { id: runId } })).toMatchObject({ state: 'failed' })
    expect((await levelRunReckon(next, () => later)).state).toBe('done')
  })
})
