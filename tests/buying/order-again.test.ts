import { beforeAll, expect, test } from 'vitest'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { orderPlace } from '../../lib/db/buying.ts'
import { draftMerge, orderRepeat } from '../../lib/db/order-again.ts'
import { draftDiscard, draftKeep } from '../../lib/db/order-draft.ts'
import { draftRead, draftsList } from '../../lib/db/order-draft-read.ts'
import { orderRecord } from '../../lib/db/order-event.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
const NOW = new Date('2026-11-02T10:00:00Z')
let buyer = ''
beforeAll(async () => {
  buyer = await aPerson('Nell Harrow')
})

const aSupplier = (name: string) =>
  inTransaction(
    async (tx) => (await tx.supplier.create({ data: { name, nameKey: nameKey(name), leadTimeDays: 3 } })).id,
  )
async function offered(supplierId: number, priceMinor = 900) {
  const partId = await aPart()
  await inTransaction((tx) => tx.offer.create({ data: { supplierId, partId, priceMinor } }))
  return partId
}
const linesOf = async (draftId: number) =>
  (await draftRead(draftId, NOW)).lines.map((line) => [line.partId, line.quantity, line.costMinor])

test('an old order comes again as a draft in the packs and at the prices of today, without what is no longer made', async () => {
  const supplierId = await aSupplier('Marlpit Farm Factors')
  const [belt, gone] = [await offered(supplierId), await offered(supplierId)]
  const lines = [belt, gone].map((partId) => ({ partId, quantity: 4 }))
  const { orderId, number } = await orderPlace(asWriter(buyer), { supplierId, lines })
  await inTransaction(async (tx) => {
    const where = { supplierId_partId: { supplierId, partId: belt } }
    await tx.offer.update({ where, data: { pack: 5, minimum: 5, priceMinor: 950 } })
    await tx.part.update({
      where: { id: gone },
      data: { discontinuedOn: '2026-11-01', discontinuedNote: 'maker closed' },
    })
  })
  const writer = asWriter(buyer)
  const { draftId } = await orderRepeat(writer, { orderId })
  expect(await orderRepeat(writer, { orderId })).toEqual({ draftId })
  expect(await linesOf(draftId)).toEqual([[belt, 5, 4750]])
  expect((await orderRecord({ draftId }))[0]?.words).toMatch(`order ${number} again, without`)
})

test('two drafts of one supplier become one: quantities of a part add up, and the other is past', async () => {
  const supplierId = await aSupplier('Saxholme Fluid Power')
  const [seal, hose] = [await offered(supplierId, 100), await offered(supplierId, 2000)]
  const keep = async (...lines: [number, number][]) =>
    (
      await draftKeep(asWriter(buyer), {
        supplierId,
        lines: lines.map(([partId, quantity]) => ({ partId, quantity })),
      })
    ).draftId
  const [one, two] = [await keep([seal, 3]), await keep([seal, 2], [hose, 1])]
  const asked = { draftId: one, version: 1, fromId: two, fromVersion: 1 }
  await draftMerge(asWriter(buyer), asked)
  expect(await linesOf(one)).toEqual([
    [seal, 5, 500],
    [hose, 1, 2000],
  ])
  expect((await draftsList('open', NOW)).map((draft) => draft.id)).not.toContain(two)
  expect((await draftRead(two, NOW)).state).toBe('merged')
  await expect(draftMerge(asWriter(buyer), { ...asked, version: 2, fromVersion: 2 })).rejects.toMatchObject({
    code: 'buying/draft-state',
  })
  const elsewhere = await aSupplier('Pendrell Machinery Imports')
  const { draftId } = await draftKeep(asWriter(buyer), {
    supplierId: elsewhere,
    lines: [{ partId: await offered(elsewhere), quantity: 1 }],
  })
  await expect(
    draftMerge(asWriter(buyer), { draftId: one, version: 2, fromId: draftId, fromVersion: 1 }),
  ).rejects.toMatchObject({ code: 'buying/not-merged' })
  await draftDiscard(asWriter(buyer), { draftId, version: 1 })
})
