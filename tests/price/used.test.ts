import { beforeAll, describe, expect, test } from 'vitest'
import { orderList, orderPlace, orderRead } from '../../lib/db/buying.ts'
import { database } from '../../lib/db/client.ts'
import { rateKeep, ratesKept } from '../../lib/db/currency-rate.ts'
import { partLevelFacts } from '../../lib/db/level-proposal.ts'
import { orderReceive } from '../../lib/db/receiving.ts'
import { stockSetLevel } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let buyer: string
beforeAll(async () => {
  buyer = await aPerson('Oda Renshaw')
})

const DAY = '2026-11-02'

function aSupplier(name: string, more: { currency?: string; discountHundredths?: number } = {}): Promise<number> {
  return inTransaction(async (tx) => {
    const { id } = await tx.supplier.create({ data: { name, nameKey: name.toLowerCase(), leadTimeDays: 3, ...more } })
    return id
  })
}

interface Sold {
  supplierId: number
  partId: number
  priceMinor: number
  pack?: number
}

function anOffer(offer: Sold, prices: [from: number, priceMinor: number][] = [], breakKind = 'all-units') {
  return inTransaction(async (tx) => {
    await tx.offer.create({ data: { minimum: offer.pack ?? 1, ...offer } })
    if (prices.length === 0) return
    const { supplierId, partId } = offer
    const name = `List for ${partId}`
    const list = await tx.priceList.create({
      data: {
        supplierId,
        name,
        nameKey: name.toLowerCase(),
        validFrom: '2026-11-01',
        validUntil: '2026-11-30',
        breakKind,
        enteredAt: new Date('2026-10-20T08:00:00Z'),
        enteredById: buyer,
      },
    })
    for (const [fromQuantity, priceMinor] of prices)
      await tx.listPrice.create({ data: { listId: list.id, supplierId, partId, fromQuantity, priceMinor } })
  })
}

async function wanted(number: string, orderUpTo: number): Promise<number> {
  const partId = await aPart({ number })
  await stockSetLevel(asWriter(buyer), { partId, reorderPoint: 1, orderUpTo, reason: 'set for the test' })
  return partId
}

async function listed(partId: number, day = DAY) {
  const group = (await orderList(day)).find(({ lines }) => lines.some((line) => line.partId === partId))!
  return { group, line: group.lines.find((line) => line.partId === partId)! }
}

describe('the order list goes by the price on the day and at the quantity', () => {
  test('a break makes the other supplier the cheaper one, and only while its list holds', async () => {
    const [steady, breaking] = [await aSupplier('Steadfold Spares'), await aSupplier('Kestrel Factors')]
    const partId = await wanted('QB-20', 20)
    await anOffer({ supplierId: steady, partId, priceMinor: 480 })
    await anOffer({ supplierId: breaking, partId, priceMinor: 900 }, [
      [1, 500],
      [20, 450],
    ])
    expect(await listed(partId)).toMatchObject({
      group: { supplier: { name: 'Kestrel Factors' }, currency: 'GBP' },
      line: { quantity: 20, priceMinor: 450, costMinor: 9000, list: `List for ${partId}` },
    })
    expect(await listed(partId, '2026-12-01')).toMatchObject({
      group: { supplier: { name: 'Steadfold Spares' } },
      line: { priceMinor: 480, list: null },
    })
  })

  test('what costs no more in all because it reaches the break is pointed out, not ordered', async () => {
    const supplierId = await aSupplier('Overmarsh Trading')
    const [near, far] = [await wanted('QB-19', 19), await wanted('QB-17', 17)]
    for (const partId of [near, far])
      await anOffer({ supplierId, partId, priceMinor: 900 }, [
        [1, 500],
        [20, 450],
      ])
    // 19 at 5.00 are 95.00 and 20 at 4.50 are 90.00; 17 at 5.00 are 85.00.
    expect((await listed(near)).line).toMatchObject({
      quantity: 19,
      costMinor: 9500,
      moreForNoMore: { quantity: 20, amountMinor: 9000 },
    })
    expect((await listed(far)).line).toMatchObject({ quantity: 17, moreForNoMore: null })
  })

  test('a withdrawn offer sells nothing any more', async () => {
    const supplierId = await aSupplier('Withy End Stores')
    const partId = await wanted('QB-5', 5)
    await anOffer({ supplierId, partId, priceMinor: 700 })
    await inTransaction((tx) =>
      tx.offer.update({ where: { supplierId_partId: { supplierId, partId } }, data: { withdrawnAt: new Date() } }),
    )
    expect((await listed(partId)).group.supplier).toBeNull()
    await expect(orderPlace(asWriter(buyer), { supplierId, lines: [{ partId, quantity: 5 }] })).rejects.toMatchObject({
      code: 'buying/no-offer',
    })
  })

  test('levels are reckoned by the breaks of the day, the discount taken off', async () => {
    const supplierId = await aSupplier('Longmeadow Parts', { discountHundredths: 1000 })
    const partId = await wanted('QB-44', 3)
    await anOffer({ supplierId, partId, priceMinor: 900 }, [
      [1, 500],
      [20, 450],
    ])
    const { facts, choice } = await partLevelFacts(partId, DAY, new Date(`${DAY}T08:00:00Z`))
    expect(choice.priceMinor).toBe(450)
    expect(facts.prices).toMatchObject({
      breaks: [
        { from: 0, priceMinor: 450 },
        { from: 20, priceMinor: 405 },
      ],
    })
  })
})

describe('an order in another currency', () => {
  test('without a rate it is in no sum and cannot be ordered; with one it is compared, and keeps the rate of its day', async () => {
    const [home, away] = [await aSupplier('Brockholt Supply'), await aSupplier('Fjordside Deler', { currency: 'SEK' })]
    const partId = await wanted('QB-61', 30)
    await anOffer({ supplierId: home, partId, priceMinor: 100 })
    await anOffer({ supplierId: away, partId, priceMinor: 1200 })
    // Dearer as a number, and nobody knows what a krona is worth: the other one is asked.
    expect((await listed(partId)).group.supplier?.name).toBe('Brockholt Supply')
    const send = { supplierId: away, lines: [{ partId, quantity: 30 }] }
    await expect(orderPlace(asWriter(buyer), send)).rejects.toMatchObject({ code: 'price/no-rate' })

    const rate = { currency: 'SEK', day: DAY }
    await rateKeep(asWriter(buyer), { ...rate, rateMicro: 90_000, day: '2026-10-01' })
    expect((await listed(partId)).group.supplier?.name).toBe('Brockholt Supply')
    await rateKeep(asWriter(buyer), { ...rate, rateMicro: 78_450 })
    expect(await listed(partId)).toMatchObject({
      group: { supplier: { name: 'Fjordside Deler' }, currency: 'SEK', goodsMinor: 36_000, goodsHomeMinor: 2824 },
      line: { priceMinor: 1200 },
    })
    expect((await ratesKept(DAY)).currencies).toMatchObject([
      { currency: 'SEK', now: { rateMicro: 78_450 }, suppliers: [{ name: 'Fjordside Deler' }] },
    ])

    const { orderId } = await orderPlace(asWriter(buyer), send)
    await rateKeep(asWriter(buyer), { ...rate, rateMicro: 200_000 })
    const order = await orderRead(orderId)
    expect(order).toMatchObject({ currency: 'SEK', rateMicro: 78_450 })
    const binId = await aBin('C-9')
    await orderReceive(asWriter(buyer), { orderId, lines: [{ lineId: order.lines[0]!.id, binId, quantity: 30 }] })
    // 12.00 kronor at 0.07845 are 94 pence: stock is worth the workshop's money.
    expect(await database().partValue.findUnique({ where: { partId } })).toMatchObject({
      quantity: 30,
      valueMinor: 2820,
    })
  })

  test('the money of the workshop has no rate, and a day to come none yet', async () => {
    const keep = (currency: string, day: string) => rateKeep(asWriter(buyer), { currency, day, rateMicro: 900_000 })
    await expect(keep('GBP', DAY)).rejects.toMatchObject({ code: 'price/own-currency' })
    await expect(keep('EUR', '2026-11-03')).rejects.toMatchObject({ code: 'price/rate-to-come' })
  })
})

test('an order keeps what incremental breaks come to as a whole, beside their mean', async () => {
  const supplierId = await aSupplier('Hollow Lane Bearings')
  const partId = await wanted('QB-23', 23)
  await anOffer(
    { supplierId, partId, priceMinor: 900 },
    [
      [1, 640],
      [20, 590],
    ],
    'incremental',
  )
  const { orderId } = await orderPlace(asWriter(buyer), { supplierId, lines: [{ partId, quantity: 23 }] })
  // 20 at 6.40 and 3 at 5.90 are 145.70; 23 times their mean of 6.33 would be 145.59.
  expect((await orderRead(orderId)).lines).toMatchObject([{ priceMinor: 633, costMinor: 14_570 }])
})
