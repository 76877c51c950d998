import { beforeAll, describe, expect, test } from 'vitest'
import { offerKeep, offerPrices, offerRead, offerWithdraw } from '../../lib/db/offer.ts'
import { priceListChange, priceListRead } from '../../lib/db/price-list.ts'
import { supplierChange, supplierCreate, supplierFacts } from '../../lib/db/supplier.ts'
import { listFault, moveSays, movesByWeight, priceMove } from '../../lib/price/price-list.ts'
import { ListPricesForm, OfferForm } from '../../lib/price/schema.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

const DAY = '2026-11-02'
let buyer: string
beforeAll(async () => {
  buyer = await aPerson('Oda Renshaw')
})

function aSupplier(name: string) {
  return supplierCreate(asWriter(buyer), {
    name,
    contact: null,
    email: null,
    customerNumber: null,
    orderDays: [],
    leadTimeDays: 4,
    minimumOrderMinor: 0,
    carriageMinor: 0,
    carriagePaidFromMinor: null,
    note: null,
    currency: null,
    discountHundredths: 0,
    taxThousandths: null,
  })
}

describe('prices of an offer on a list', () => {
  const offer = { pack: 5, minimum: 5 }
  const from = (...quantities: number[]) => quantities.map((one) => ({ from: one, priceMinor: 100 }))
  test.each([
    ['hold', from(1, 10, 25), offer, null],
    ['hold at the smallest order itself', from(5), offer, null],
    ['leave a gap below the first', from(6), offer, 'it has no price below 6, and is sold from 5 on'],
    ['leave a gap below the first, by the minimum', from(13), { pack: 5, minimum: 11 }, null],
    ['are two of one quantity', from(1, 10, 10), offer, 'it has two prices from 10'],
    ['are none', [], offer, 'it has no price'],
    [
      'leave a gap between',
      [
        { from: 1, to: 9, priceMinor: 3 },
        { from: 12, priceMinor: 2 },
      ],
      offer,
      'it has no price from 10 to 11',
    ],
    [
      'overlap',
      [
        { from: 1, to: 12, priceMinor: 3 },
        { from: 12, priceMinor: 2 },
      ],
      offer,
      'its prices from 1 to 12 and from 12 overlap',
    ],
    ['end', [{ from: 1, to: 99, priceMinor: 3 }], offer, 'its prices end at 99: what more costs is not said'],
    ['are more than fit', from(...Array.from({ length: 13 }, (_, at) => at + 1)), offer, 'it has more than 12 breaks'],
  ])('%s', (_, prices, of, says) => {
    expect(listFault(prices, of, String)).toBe(says)
  })

  test('how far a price moved is said in per cent, the largest move first', () => {
    const moves = [
      priceMove(1, 400, 430),
      priceMove(2, 250, 250),
      priceMove(3, 800, 700),
      priceMove(4, 0, 5),
      priceMove(5, 300, 299),
    ]
    expect(moves.map(moveSays)).toEqual([
      '7.5 % dearer',
      'as before',
      '12.5 % cheaper',
      'dearer: it cost nothing',
      '0.33 % cheaper',
    ])
    expect(movesByWeight(moves).map(({ partId }) => partId)).toEqual([4, 3, 1, 5])
  })

  test('are read from the rows of the form, blank ones left out, in order', () => {
    const form = { supplierId: '3', partId: '9', unit: 'litre', listId: '7' }
    expect(
      ListPricesForm.parse({ ...form, 'from.0': '25', 'price.0': '3,90', 'from.2': '500 ml', 'price.2': '4.50' }),
    ).toMatchObject({
      listId: 7,
      list: null,
      prices: [
        { from: 500, priceMinor: 450 },
        { from: 25_000, priceMinor: 390 },
      ],
    })
    const { error } = ListPricesForm.safeParse({
      ...form,
      'from.0': '1',
      'price.0': '-4',
      'from.1': 'many',
      'price.1': '3',
    })
    expect(error?.issues.map(({ path, message }) => `${path.join()}: ${message}`)).toEqual([
      'price.0: below zero: enter what is paid',
      expect.stringMatching(/^from.1: /),
    ])
  })
})

test('an offer is added, put on lists, preferred, withdrawn and offered again, and all of it can be read afterwards', async () => {
  const { supplierId } = await aSupplier('Marlpit Farm Factors')
  const other = await aSupplier('Kestrel Factors')
  const partId = await aPart({ number: 'QB-770' })
  const terms = {
    supplierId: String(supplierId),
    partId: String(partId),
    unit: 'each',
    pack: '5',
    price: '6.20',
    preferred: 'on',
  }
  await offerKeep(asWriter(buyer), { ...OfferForm.parse(terms), supplierId: other.supplierId })
  await offerKeep(asWriter(buyer), OfferForm.parse(terms))
  expect((await offerRead(other.supplierId, partId, DAY)).offer?.preferred).toBe(false)

  const list = {
    name: 'Winter 2026',
    validFrom: '2026-10-01',
    validUntil: '2027-03-31',
    breakKind: 'all-units',
    source: '',
  } as const
  const prices = [
    { from: 5, priceMinor: 580 },
    { from: 50, priceMinor: 540 },
  ]
  const put = { supplierId, partId, listId: null, list, prices }
  await expect(offerPrices(asWriter(buyer), { ...put, prices: [{ from: 6, priceMinor: 580 }] })).rejects.toMatchObject({
    code: 'price/breaks',
  })
  const { listId } = await offerPrices(asWriter(buyer), put)
  await expect(offerPrices(asWriter(buyer), put)).rejects.toMatchObject({ code: 'price/list-name' })
  expect((await offerRead(supplierId, partId, DAY)).on).toMatchObject({
    list: { name: 'Winter 2026' },
    breaks: [
      { from: 0, priceMinor: 580 },
      { from: 50, priceMinor: 540 },
    ],
  })
  // Packs that its prices do not reach down to would leave it without a price.
  await expect(offerKeep(asWriter(buyer), OfferForm.parse({ ...terms, pack: '2' }))).rejects.toMatchObject({
    code: 'price/breaks',
  })
  await expect(
    priceListChange(asWriter(buyer), { supplierId, listId, ...list, validUntil: '2026-09-30' }),
  ).rejects.toMatchObject({ code: 'price/period' })
  await priceListChange(asWriter(buyer), { supplierId, listId, ...list, validUntil: '2026-10-31' })
  await expect(offerPrices(asWriter(buyer), { ...put, listId, list: null })).rejects.toMatchObject({
    code: 'price/list-over',
  })
  expect((await priceListRead(supplierId, listId, 1)).parts).toMatchObject([
    { number: 'QB-770', says: 'from 5: £5.80; from 50: £5.40' },
  ])

  await offerWithdraw(asWriter(buyer), { supplierId, partId, reason: 'no longer in their book' })
  await expect(offerWithdraw(asWriter(buyer), { supplierId, partId, reason: '' })).rejects.toMatchObject({
    code: 'price/withdrawn',
  })
  const gone = await offerRead(supplierId, partId, DAY)
  expect(gone.on).toBeNull()
  await offerKeep(asWriter(buyer), OfferForm.parse(terms))
  const back = await offerRead(supplierId, partId, DAY)
  expect(back.on).toMatchObject({ list: null, breaks: [{ priceMinor: 620 }] })
  expect(back.changes.map(({ says, person }) => `${person}: ${says}`)).toEqual([
    'Oda Renshaw: offered again: £6.20, packs of 5, at least 5, from here first',
    'Oda Renshaw: withdrawn: no longer in their book',
    'Oda Renshaw: on Winter 2026: from 5 £5.80, from 50 £5.40',
    'Oda Renshaw: offered: £6.20, packs of 5, at least 5, from here first',
  ])
})

test('prices are not taken for another currency unless somebody says that they are meant in it', async () => {
  const { supplierId } = await aSupplier('Fjordside Deler')
  const partId = await aPart({ number: 'QB-771' })
  const change = async (more: object) =>
    supplierChange(asWriter(buyer), { supplierId, ...(await supplierFacts(supplierId)), ...more })
  await change({ currency: 'SEK' })
  await change({ currency: 'GBP' })
  expect(await supplierFacts(supplierId)).toMatchObject({ currency: null })
  const form = { supplierId, partId, unit: 'each', pack: '1', price: '9' }
  await offerKeep(asWriter(buyer), OfferForm.parse(form))
  await expect(change({ currency: 'SEK' })).rejects.toMatchObject({
    code: 'price/currency-with-prices',
    details: { count: '1 part', currency: 'GBP' },
  })
  await change({ currency: 'SEK', pricesMeant: true })
  expect(await supplierFacts(supplierId)).toMatchObject({ currency: 'SEK' })
})
