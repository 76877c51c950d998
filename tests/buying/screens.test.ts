import { JSDOM } from 'jsdom'
import { createElement, type ReactElement } from 'react'
import { renderToString } from 'react-dom/server'
import { describe, expect, test } from 'vitest'
import { FormStateContext } from '../../app/_server/form-state.tsx'
import { LineTick } from '../../app/buying/line-tick.tsx'
import { OrderSheet } from '../../app/buying/orders/[order]/order-sheet.tsx'
import { ReceiveLines } from '../../app/buying/orders/[order]/receive-lines.tsx'
import { GroupWithoutSupplier, SupplierGroup } from '../../app/buying/supplier-group.tsx'
import { WaitingJobs } from '../../app/buying/waiting-jobs.tsx'
import type { OrderListGroup } from '../../lib/db/buying.ts'
import { moneyMinor } from '../../lib/measure/money.ts'

const page = (element: ReactElement): Document => new JSDOM(renderToString(element)).window.document

/** What a control is called when it is read out. */
const nameOf = (document: Document, control: Element) =>
  (document.querySelector(`label[for="${control.id}"]`) ?? control.closest('label'))?.textContent?.trim() ?? ''

const controls = (document: Document) =>
  [...document.querySelectorAll('input:not([type=hidden]), select')].map((control) => nameOf(document, control))

const group: OrderListGroup = {
  supplier: { id: 3, name: 'Marlpit Farm Factors', leadTimeDays: 3, orderDays: [] },
  currency: 'GBP',
  goodsHomeMinor: 14_400,
  lines: [
    {
      partId: 11,
      number: 'TP-4410',
      maker: 'Thornley & Pike',
      description: 'Return spring',
      unit: 'each',
      need: 9,
      quantity: 10,
      pack: 5,
      minimum: 10,
      supplierNumber: 'MFF/882',
      priceMinor: 1234,
      costMinor: 12_340,
      list: null,
      moreForNoMore: null,
      depositMinor: 6500,
      returnDays: 60,
      reason: '2 left after job 214, reorder point 4',
    },
    {
      partId: 12,
      number: 'OIL-46',
      maker: 'Thornley & Pike',
      description: 'Hydraulic oil',
      unit: 'litre',
      need: 4500,
      quantity: 5000,
      pack: 5000,
      minimum: 5000,
      supplierNumber: null,
      priceMinor: 412,
      costMinor: 2060,
      list: null,
      moreForNoMore: null,
      depositMinor: null,
      returnDays: null,
      reason: '500 ml left, reorder point 5 l',
    },
  ],
  goodsMinor: 14_400,
  depositsMinor: 65_000,
  carriageMinor: 850,
  toCarriagePaidMinor: 600,
  toMinimumMinor: 0,
}
const supplier = group.supplier!

describe('the order list of one supplier', () => {
  test('every field says which part it is for, and in which unit', () => {
    const document = page(createElement(SupplierGroup, { group, supplier, mayOrder: true }))
    expect(controls(document)).toEqual([
      'Order TP-4410',
      'Quantity of TP-4410, pieces',
      'Order OIL-46',
      'Quantity of OIL-46, litres',
    ])
    expect(document.querySelector<HTMLInputElement>('[name="quantity.12.litre"]')?.value).toBe('5')
    expect(document.querySelector('button[type=submit]')?.textContent).toBe('Mark as ordered from Marlpit Farm Factors')
  })

  test('says pack, reason, carriage and what is missing to carriage paid', () => {
    const text = page(createElement(SupplierGroup, { group, supplier, mayOrder: true })).body.textContent
    for (const said of [
      'packs of 5, at least 10',
      '2 left after job 214, reorder point 4',
      'Carriage £8.50',
      // The deposit stands beside the price and is in no sum of the goods.
      '£12.34+ £65.00 deposit',
      'Goods as proposed £144.00',
      'until the old units are back £650.00',
    ])
      expect(text).toContain(said)
    expect(text).toContain('£6.00 more to carriage paid')
    expect(text).not.toContain('minimum order')
  })

  test('whoever may not order reads it without fields and buttons', () => {
    const document = page(createElement(SupplierGroup, { group, supplier, mayOrder: false }))
    expect(document.querySelector('form, input, button')).toBeNull()
    expect(document.body.textContent).toContain('Return spring')
  })

  test('parts without a supplier are shown with the way out and no order button', () => {
    const document = page(
      createElement(GroupWithoutSupplier, { group: { ...group, supplier: null }, mayReceive: true }),
    )
    expect(document.querySelector('form')).toBeNull()
    expect([...document.querySelectorAll('a')].map((link) => link.getAttribute('href'))).toContain(
      '/shelf/receive?part=11',
    )
  })

  test('a tick taken off stays off after a refusal', () => {
    const refused = {
      ok: false as const,
      code: 'input/invalid',
      happened: 'Some of what was entered cannot be used.',
      next: 'Correct the marked fields.',
      fields: {},
      faults: [],
      values: { chosen: '12' },
    }
    const ticks = (state: typeof refused | null) =>
      [
        ...page(
          createElement(
            FormStateContext,
            { value: { refused: state, isPending: false } },
            createElement(LineTick, { partId: 11, number: 'TP-4410' }),
            createElement(LineTick, { partId: 12, number: 'OIL-46' }),
          ),
        ).querySelectorAll<HTMLInputElement>('input'),
      ].map((tick) => tick.checked)
    expect(ticks(null)).toEqual([true, true])
    expect(ticks(refused)).toEqual([false, true])
  })
})

test('a delivery is received line by line: nothing counts as come before it is counted, the bin is where the part lies', () => {
  const document = page(
    createElement(ReceiveLines, {
      orderId: 9,
      today: '2027-02-10',
      currency: 'GBP',
      bins: [
        { id: 5, code: 'C-1', store: 'Long barn', kind: 'shelf' },
        { id: 6, code: 'C-2', store: 'Long barn', kind: 'shelf' },
        { id: 7, code: 'Q-1', store: 'Long barn', kind: 'quarantine' },
      ],
      lines: [
        {
          id: 21,
          partId: 11,
          number: 'TP-4410',
          maker: 'Thornley & Pike',
          description: 'Return spring',
          supplierNumber: 'MFF/882',
          rule: { asksBatch: false, asksUseBy: false, shelfLifeMonths: null },
          unit: 'each',
          quantity: 10,
          received: 4,
          cancelled: 0,
          due: 6,
          pack: 5,
          reason: '',
          priceMinor: 1234,
          costMinor: moneyMinor(12_340),
          depositMinor: null,
          returnDays: null,
          binId: 6,
          confirmedOn: null,
          promisedOn: null,
          dueOn: '2027-02-10',
          into: [{ binId: 6, why: 'fixed' }],
          packs: [{ id: 3, name: 'box', quantity: 50 }],
        },
      ],
    }),
  )
  expect(controls(document)).toEqual([
    'Came of TP-4410',
    'Counted in, TP-4410',
    'Into bin, TP-4410',
    'Price on the delivery note, GBP each (TP-4410)',
    'Damaged, pieces (TP-4410)',
    'Damaged ones into (TP-4410)',
    'What is wrong with them (TP-4410)',
    'Keep what came beyond the order (TP-4410)',
    'The rest will not come (TP-4410)',
    'Something else came instead: what (TP-4410)',
  ])
  const came = document.querySelector<HTMLInputElement>('[name="receive.21.each"]')
  expect([came?.value, came?.dataset.due]).toEqual(['', '6'])
  expect(document.querySelector<HTMLSelectElement>('[name="bin.21"]')?.value).toBe('6')
})

test('an order sheet says how many packs a quantity is, where it fills them', () => {
  const line = {
    id: 21,
    partId: 11,
    number: 'TP-4410',
    maker: 'Thornley & Pike',
    description: 'Return spring',
    supplierNumber: 'MFF/882',
    unit: 'each' as const,
    received: 0,
    cancelled: 0,
    reason: '2 left after job 214',
    priceMinor: 1234,
    costMinor: moneyMinor(12_340),
    list: null,
    moreForNoMore: null,
    depositMinor: 6500,
    returnDays: 60,
    binId: null,
    confirmedOn: null,
    promisedOn: null,
    dueOn: '2027-02-10',
  }
  const document = page(
    createElement(OrderSheet, {
      order: {
        ...{ currency: 'GBP', carriageMinor: 850, taxThousandths: 200 },
        lines: [
          { ...line, quantity: 10, due: 10, pack: 5 },
          { ...line, id: 22, quantity: 12, due: 12, pack: 5 },
          { ...line, id: 23, quantity: 8, due: 8, pack: null },
        ],
      },
    }),
  )
  const quantities = [...document.querySelectorAll('tbody tr')].map((row) => row.children[3]?.textContent)
  expect(quantities).toEqual(['102 packs of 5', '12', '8'])
  // Why it was ordered is for the workshop, not for the supplier.
  expect(document.querySelector('.no-print')?.closest('table')).not.toBeNull()
  for (const why of document.querySelectorAll('td .no-print')) expect(why.textContent).toBe('2 left after job 214')
})

test('a job that waits for two lines of an order is named once', () => {
  const jobs = [
    { id: 9, number: 216 },
    { id: 8, number: 214 },
    { id: 9, number: 216 },
  ]
  expect(page(createElement(WaitingJobs, { jobs })).body.textContent).toBe('job 214, job 216')
})
