import { describe, expect, test } from 'vitest'
import { bulkApply, bulkPreview } from '../../lib/db/bulk.ts'
import { database } from '../../lib/db/client.ts'
import { stockReceive, stockSetLevel } from '../../lib/db/stock.ts'
import { bulkRow } from '../../lib/stock/bulk.ts'
import { TableQuestionRead } from '../../lib/stock/table.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

const part = {
  partId: 7,
  number: 'QX-1',
  description: 'Brake fluid',
  partClass: 'other',
  criticality: 'essential',
  unit: 'litre' as const,
  reorderPoint: 500,
  orderUpTo: 2000,
}

describe('what one change would make of a part', () => {
  test('says what stands there now and what would stand there, or that it is so already', () => {
    expect(bulkRow(part, { what: 'criticality', to: 'vital' })).toMatchObject({
      before: 'essential',
      after: 'vital',
      state: 'change',
    })
    expect(bulkRow(part, { what: 'criticality', to: 'essential' }).state).toBe('same')
  })

  test('reads levels in the unit of each part, and says of which it cannot be', () => {
    const levels = (reorder: string, upTo: string, unit: 'litre' | 'each' = 'litre') =>
      bulkRow({ ...part, unit }, { what: 'levels', reorder, upTo })
    expect(levels('1', '4')).toMatchObject({
      before: '500 ml, up to 2 l',
      after: '1 l, up to 4 l',
      level: { reorderPoint: 1000, orderUpTo: 4000 },
    })
    expect(levels('0.5', '2')).toMatchObject({ state: 'same' })
    expect(levels('0.5', '2', 'each')).toMatchObject({ state: 'cannot', after: expect.stringContaining('0.5') })
    expect(levels('4', '4')).toMatchObject({ state: 'cannot', after: expect.stringContaining('above') })
  })
})

describe('changing many parts in one go', () => {
  test('changes what was agreed to and nothing else; what changed meanwhile is left as it is, with all the rest', async () => {
    const nell = await aPerson('Nell Farrow')
    const binId = await aBin()
    const ids: number[] = []
    for (const n of [1, 2, 3]) {
      const partId = await aPart({ number: `BULK-${n}`, description: 'Skid shoe' })
      await stockReceive(asWriter(nell), { partId, binId, quantity: n })
      ids.push(partId)
    }
    const change = { what: 'levels', reorder: '2', upTo: '6' } as const
    const rows = (await bulkPreview(TableQuestionRead.parse({ search: 'skid shoe' }), change))!
    expect(rows.map((row) => [row.number, row.before, row.after])).toEqual(
      [1, 2, 3].map((n) => [`BULK-${n}`, 'no levels', '2, up to 6']),
    )
    const ticked = rows.slice(0, 2).map(({ partId, before }) => ({ partId, before }))
    await stockSetLevel(asWriter(nell), { partId: ids[0]!, reorderPoint: 1, orderUpTo: 3, reason: 'set for the test' })
    const agree = () => bulkApply(asWriter(nell), { change, parts: ticked, reason: 'before the mowing' })
    await expect(agree()).rejects.toMatchObject({
      code: 'stock/bulk-changed',
      happened: expect.stringContaining('BULK-1'),
    })
    expect(await database().stockLevel.count()).toBe(1)
    ticked[0]!.before = '1, up to 3'
    expect(await agree()).toEqual({ changed: 2 })
    const levels = await database().stockLevel.findMany({ orderBy: { partId: 'asc' } })
    expect(levels.map((level) => [level.partId, level.reorderPoint, level.orderUpTo])).toEqual([
      [ids[0], 2, 6],
      [ids[1], 2, 6],
    ])
  })
})
