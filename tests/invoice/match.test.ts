import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type DifferenceKept, differencesRecheck, invoiceStateOf } from '../../lib/invoice/invoice.ts'
import {
  depositsOn,
  invoicedAmount,
  invoiceMatch,
  type MatchFacts,
  type MatchLine,
  totalBeyond,
} from '../../lib/invoice/match.ts'
import { totalsOf } from '../../lib/invoice/tax.ts'

// The three-way match of order, receipt and invoice: common practice, no source. Sums are worked by hand.

const line = (more: Partial<MatchLine> = {}): MatchLine => ({
  ...{ lineId: 31, number: 'TP-4410', unit: 'each', ordered: 6, priceMinor: 1250, amountMinor: null },
  ...{ depositMinor: null, came: 4, damaged: 0, before: 0, invoiced: { quantity: 4, priceMinor: 1250 } },
  ...more,
})

/** An invoice of these lines whose charges and sums are right. */
function invoiceOf(lines: readonly MatchLine[], taxThousandths = 200, carriageMinor = 850): MatchFacts {
  const goodsMinor = lines.reduce((sum, one) => sum + invoicedAmount(one), 0)
  const { taxMinor, totalMinor, depositsMinor } = totalsOf({
    ...{ goodsMinor, carriageMinor, depositsMinor: depositsOn(lines), taxThousandths },
  })
  return {
    currency: 'GBP',
    lines,
    agreed: { carriageMinor, carriageBeforeMinor: 0, taxThousandths },
    invoice: { carriageMinor, depositsMinor, taxThousandths, taxMinor, totalMinor },
  }
}
const kindsOf = (facts: MatchFacts) => invoiceMatch(facts).map(({ kind }) => kind)
const said = (...lines: MatchLine[]) =>
  invoiceMatch(invoiceOf(lines)).map(({ says, amountMinor }) => [says, amountMinor])

describe('an invoice held against order and receipt', () => {
  test('says in words what is otherwise, and what the supplier asks more by it', () => {
    expect(said(line())).toEqual([])
    expect(said(line({ invoiced: { quantity: 6, priceMinor: 1250 } }))).toEqual([['TP-4410: 6 invoiced, 4 came', 2500]])
    expect(said(line({ before: 3, invoiced: { quantity: 3, priceMinor: 1250 } }))).toEqual([
      ['TP-4410: 3 invoiced, 4 came, 3 on an earlier invoice', 2500],
    ])
    expect(said(line({ invoiced: { quantity: 4, priceMinor: 1300 } }))).toEqual([
      ['TP-4410: £13.00 each invoiced, £12.50 agreed', 200],
    ])
    expect(said(line({ damaged: 1 }))).toEqual([['TP-4410: 1 of what is invoiced came damaged', 1250]])
    const oil = { unit: 'litre', came: 2500, priceMinor: 333, invoiced: { quantity: 2000, priceMinor: 333 } } as const
    // Half a litre at 3.33 is 1.665.
    expect(said(line(oil))).toEqual([['TP-4410: 2 l invoiced, 2.5 l came', -167]])
  })

  test('damaged pieces are charged once: those that the sound ones do not cover', () => {
    const of = (before: number, quantity: number) =>
      invoiceMatch(invoiceOf([line({ damaged: 1, before, invoiced: { quantity, priceMinor: 1250 } })])).filter(
        ({ kind }) => kind === 'damaged',
      )
    expect(of(0, 3)).toEqual([])
    expect(of(3, 1)).toMatchObject([{ amountMinor: 1250 }])
  })

  test('carriage is charged once an order, the rate of tax is that of the order, deposits go by what is invoiced', () => {
    const right = invoiceOf([line({ depositMinor: 650 })])
    expect(kindsOf(right)).toEqual([])
    expect(right.invoice.depositsMinor).toBe(2600)
    const again = { ...right, agreed: { ...right.agreed, carriageBeforeMinor: 850 } }
    expect(invoiceMatch(again)).toMatchObject([
      {
        kind: 'carriage',
        says: 'Carriage: £8.50 invoiced, £8.50 agreed, £8.50 on an earlier invoice',
        amountMinor: 850,
      },
    ])
    const other = { ...right, agreed: { ...right.agreed, taxThousandths: 190 } }
    expect(invoiceMatch(other)).toMatchObject([
      { kind: 'rate', says: 'Tax rate: 20.0 % invoiced, 19.0 % on the order' },
    ])
    expect(kindsOf({ ...right, agreed: { ...right.agreed, taxThousandths: null } })).toEqual([])
  })

  test('tax on the deposits as well is taken for right, since countries differ', () => {
    const facts = invoiceOf([line({ depositMinor: 650 })])
    // 50.00, 8.50 and 26.00 are 84.50; 20 % are 16.90.
    const taxed = { ...facts.invoice, taxMinor: 1690, totalMinor: 8450 + 1690 }
    expect(kindsOf({ ...facts, invoice: taxed })).toEqual([])
  })

  test('sums may be off by a minor unit a line, for some round each line and some the sum; not by more', () => {
    const facts = invoiceOf([line(), line({ lineId: 32, number: 'TP-4411' })])
    const off = (taxMinor: number, totalMinor: number) => ({
      ...facts,
      invoice: {
        ...facts.invoice,
        taxMinor: facts.invoice.taxMinor + taxMinor,
        totalMinor: facts.invoice.totalMinor + totalMinor,
      },
    })
    expect(kindsOf(off(2, 2))).toEqual([])
    expect(kindsOf(off(0, -2))).toEqual([])
    expect(kindsOf(off(3, 3))).toEqual(['tax'])
    expect(kindsOf(off(0, 3))).toEqual(['total'])
  })

  test('a total is told to be off while it is typed exactly where the kept invoice would have a difference', () => {
    expect(totalBeyond(45_902, 45_902, 13)).toBe(0)
    expect(totalBeyond(45_802, 45_902, 13)).toBe(-100)
    const amounts = fc.integer({ min: -5, max: 5 })
    fc.assert(
      fc.property(amounts, fc.integer({ min: 1, max: 3 }), (off, count) => {
        const facts = invoiceOf(Array.from({ length: count }, (_, at) => line({ lineId: at, number: `TP-${at}` })))
        const { totalMinor } = facts.invoice
        const [found] = invoiceMatch({ ...facts, invoice: { ...facts.invoice, totalMinor: totalMinor + off } })
        expect(totalBeyond(totalMinor + off, totalMinor, count)).toBe(found?.amountMinor ?? 0)
      }),
    )
  })

  test('a whole line of incremental breaks costs what was agreed for it, not its mean times its pieces', () => {
    // 20 at 6.40 and 3 at 5.90 are 145.70; 23 times the mean of 6.33 would be 145.59.
    const whole = line({
      ordered: 23,
      came: 23,
      priceMinor: 633,
      amountMinor: 14_570,
      invoiced: { quantity: 23, priceMinor: 633 },
    })
    expect(invoicedAmount(whole)).toBe(14_570)
    expect(kindsOf(invoiceOf([whole]))).toEqual([])
  })
})

const units = fc.constantFrom('each' as const, 'litre' as const)
const lines = fc
  .array(
    fc.record({
      unit: units,
      priceMinor: fc.integer({ min: 1, max: 500_000 }),
      came: fc.integer({ min: 2, max: 50_000 }),
      deposit: fc.option(fc.integer({ min: 1, max: 20_000 }), { nil: null }),
    }),
    { minLength: 1, maxLength: 6 },
  )
  .map((rows) =>
    rows.map(({ unit, priceMinor, came, deposit }, at) =>
      line({
        ...{ lineId: at + 1, number: `TP-${at}`, unit, priceMinor, came, ordered: came },
        ...{ depositMinor: unit === 'each' ? deposit : null, invoiced: { quantity: came, priceMinor } },
      }),
    ),
  )
const rates = fc.integer({ min: 0, max: 998 })
const carriages = fc.integer({ min: 0, max: 50_000 })

describe('whatever was ordered', () => {
  test('an invoice of what came at what was agreed has no differences', () => {
    fc.assert(
      fc.property(lines, rates, carriages, (some, rate, carriage) => {
        expect(invoiceMatch(invoiceOf(some, rate, carriage))).toEqual([])
      }),
    )
  })

  test('every number that is otherwise is found, and the others are not blamed', () => {
    fc.assert(
      fc.property(lines, rates, carriages, fc.nat(), (some, rate, carriage, which) => {
        const at = which % some.length
        const changed = (invoiced: MatchLine['invoiced']) =>
          some.map((one, index) => (index === at ? { ...one, invoiced } : one))
        const { quantity, priceMinor } = some[at]!.invoiced
        const found = (facts: MatchFacts) => invoiceMatch(facts).map(({ kind, lineId }) => [kind, lineId])
        for (const one of [quantity + 1, quantity - 1])
          expect(found(invoiceOf(changed({ quantity: one, priceMinor }), rate, carriage))).toEqual([
            ['quantity', at + 1],
          ])
        for (const one of [priceMinor + 1, priceMinor - 1])
          expect(found(invoiceOf(changed({ quantity, priceMinor: one }), rate, carriage))).toEqual([['price', at + 1]])
        const right = invoiceOf(some, rate, carriage)
        const dearer = invoiceOf(some, rate, carriage + 1)
        expect(found({ ...dearer, agreed: right.agreed })).toEqual([['carriage', null]])
        const taxed = invoiceOf(some, rate + 1, carriage)
        expect(found({ ...taxed, agreed: right.agreed })).toEqual([['rate', null]])
        const more = some.length + 1
        const { taxMinor, totalMinor, depositsMinor } = right.invoice
        const sum = { ...right, invoice: { ...right.invoice, totalMinor: totalMinor + more } }
        expect(found(sum)).toEqual([['total', null]])
        // Where there are deposits, tax on them is right as well: less tax is always wrong.
        const tax = { ...right.invoice, taxMinor: taxMinor - more, totalMinor: totalMinor - more }
        expect(found({ ...right, invoice: tax })).toEqual([['tax', null]])
        const charged = { ...right.invoice, depositsMinor: depositsMinor + 1, totalMinor: totalMinor + 1 }
        expect(found({ ...right, invoice: charged })).toEqual([['deposits', null]])
      }),
    )
  })
})

describe('what becomes of differences', () => {
  const kept = (state: DifferenceKept['state'], says = 'TP-4410: 4 invoiced, 0 came'): DifferenceKept => ({
    ...{ id: 7, state, says, kind: 'quantity', lineId: 31, amountMinor: 5000, creditedMinor: 0 },
  })
  const now = { kind: 'quantity', lineId: 31, says: 'TP-4410: 4 invoiced, 3 came', amountMinor: 1250 } as const

  test('an invoice is open while one is open, disputed while one is disputed, else agreed', () => {
    const of = (...states: DifferenceKept['state'][]) => invoiceStateOf(states.map((state) => ({ state })))
    expect([of(), of('accepted', 'gone'), of('accepted', 'disputed'), of('disputed', 'open')]).toEqual([
      ...['agreed', 'agreed', 'disputed', 'open'],
    ])
  })

  test('once the goods came it is gone, unless somebody had accepted it', () => {
    const states = (state: DifferenceKept['state']) =>
      differencesRecheck([kept(state)], []).changed.map((one) => one.state)
    expect([states('open'), states('disputed'), states('accepted'), states('gone')]).toEqual([
      ['gone'],
      ['gone'],
      [],
      [],
    ])
  })

  test('what was accepted as another difference is open again, what is disputed stays disputed in its new words', () => {
    const next = (state: DifferenceKept['state']) => differencesRecheck([kept(state)], [now])
    expect(next('accepted')).toEqual({ changed: [{ id: 7, state: 'open', creditedMinor: 0, ...now }], added: [] })
    expect(next('disputed').changed).toMatchObject([{ state: 'disputed', amountMinor: 1250 }])
    expect(next('gone').changed).toMatchObject([{ state: 'open' }])
    expect(
      differencesRecheck(
        [kept('accepted', now.says)].map((one) => ({ ...one, amountMinor: 1250 })),
        [now],
      ),
    ).toEqual({
      ...{ changed: [], added: [] },
    })
    expect(differencesRecheck([], [now])).toEqual({ changed: [], added: [now] })
  })

  test('what came after the invoice is for the next one', () => {
    const fewer = { ...now, says: 'TP-4410: 4 invoiced, 6 came', amountMinor: -2500 }
    expect(differencesRecheck([], [fewer])).toEqual({ changed: [], added: [] })
    expect(differencesRecheck([kept('open')], [fewer]).changed).toMatchObject([{ state: 'gone' }])
    expect(differencesRecheck([{ ...kept('open'), amountMinor: -1250 }], [fewer])).toEqual({ changed: [], added: [] })
  })
})
