import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  type CreditedLine,
  creditMisfit,
  creditPieces,
  creditShares,
  creditSpread,
  creditTax,
  isTooMuch,
  lineLeft,
  type OwedFor,
  openMinor,
  owedMinor,
} from '../../lib/invoice/credit.ts'
import { CreditForm } from '../../lib/invoice/credit-schema.ts'
import { type DifferenceKept, differencesRecheck } from '../../lib/invoice/invoice.ts'
import { DIFFERENCE_KINDS, type DifferenceKind, differencePieces, type MatchLine } from '../../lib/invoice/match.ts'
import { formAsRead } from '../buying/form-as-read.ts'

// Credit notes against the differences of an invoice: common practice, no source. Sums are worked by hand.

const owed = (more: Partial<OwedFor> = {}): OwedFor => ({
  ...{ kind: 'price', state: 'disputed', amountMinor: 3000, creditedMinor: 0 },
  ...more,
})
const kinds = Object.keys(DIFFERENCE_KINDS) as DifferenceKind[]

describe('what a supplier owes', () => {
  test('is the difference less what was credited; nothing where it was accepted, is gone or is in our favour', () => {
    expect(openMinor(owed({ creditedMinor: 1760 }))).toBe(1240)
    expect(openMinor(owed({ state: 'open' }))).toBe(3000)
    expect([owed({ state: 'accepted' }), owed({ state: 'gone' }), owed({ amountMinor: -3000 })].map(owedMinor)).toEqual(
      [0, 0, 0],
    )
    expect(owedMinor(owed({ state: 'credited', creditedMinor: 3000 }))).toBe(3000)
  })

  test('in one sum is given back the first first, and what is left over is said', () => {
    const open = [
      { id: 4, openMinor: 700 },
      { id: 5, openMinor: 800 },
    ]
    expect(creditSpread(1000, open)).toEqual({
      lines: [
        { differenceId: 4, amountMinor: 700 },
        { differenceId: 5, amountMinor: 300 },
      ],
      restMinor: 0,
    })
    expect(creditSpread(1600, open).restMinor).toBe(100)
    const some = fc.array(fc.record({ openMinor: fc.nat({ max: 10_000 }) }), { maxLength: 8 })
    fc.assert(
      fc.property(fc.nat({ max: 60_000 }), some, (sum, rows) => {
        const { lines, restMinor } = creditSpread(
          sum,
          rows.map((row, id) => ({ id, ...row })),
        )
        expect(lines.reduce((all, { amountMinor }) => all + amountMinor, restMinor)).toBe(sum)
        for (const { differenceId, amountMinor } of lines) {
          expect(amountMinor).toBeGreaterThan(0)
          expect(amountMinor).toBeLessThanOrEqual(rows[differenceId]!.openMinor)
        }
        const all = rows.reduce((total, row) => total + row.openMinor, 0)
        expect(restMinor).toBe(Math.max(0, sum - all))
      }),
    )
  })

  test('whatever is asked and credited by turns, less credited than owed is never below nothing, and credited is all of it', () => {
    const step = fc.record({ asked: fc.integer({ min: -2000, max: 5000 }), credited: fc.nat({ max: 2000 }) })
    fc.assert(
      fc.property(fc.array(step, { maxLength: 12 }), (steps) => {
        let kept: DifferenceKept = {
          ...{ id: 7, kind: 'price', lineId: 31, says: 'dearer by 3000', amountMinor: 3000 },
          ...{ state: 'disputed', creditedMinor: 0 },
        }
        for (const { asked, credited } of steps) {
          const most = openMinor(kept)
          kept = { ...kept, creditedMinor: kept.creditedMinor + Math.min(most, credited) }
          const now =
            asked === 0 ? [] : [{ kind: 'price', lineId: 31, says: `dearer by ${asked}`, amountMinor: asked } as const]
          kept = differencesRecheck([kept], now).changed[0] ?? kept
          const { state, amountMinor, creditedMinor } = kept
          if (creditedMinor > 0) expect(amountMinor).toBeGreaterThanOrEqual(creditedMinor)
          if (creditedMinor > 0) expect(state === 'credited').toBe(amountMinor === creditedMinor)
          expect(owedMinor(kept) - openMinor(kept)).toBe(Math.min(creditedMinor, owedMinor(kept)))
        }
      }),
    )
  })

  test('is disputed again once the credit note that gave it back is withdrawn, and gone if the goods came since', () => {
    const credited: DifferenceKept = {
      ...{ id: 7, kind: 'quantity', lineId: 31, says: 'TP-4410: 6 invoiced, 4 came', amountMinor: 2500 },
      ...{ state: 'credited', creditedMinor: 2500 },
    }
    const still = { kind: 'quantity', lineId: 31, says: credited.says, amountMinor: 2500 } as const
    const states = (one: DifferenceKept, now: (typeof still)[]) =>
      differencesRecheck([one], now).changed.map(({ state, amountMinor }) => [state, amountMinor])
    expect(states(credited, [still])).toEqual([])
    expect(states(credited, [])).toEqual([])
    expect(states({ ...credited, creditedMinor: 0 }, [still])).toEqual([['disputed', 2500]])
    expect(states({ ...credited, creditedMinor: 0 }, [])).toEqual([['gone', 2500]])
    expect(states({ ...credited, state: 'disputed', creditedMinor: 1000 }, [])).toEqual([['credited', 1000]])
  })
})

describe('the sums of a credit note', () => {
  // 12.50 of goods and 3.50 of carriage are 16.00, 20 % of them 3.20; 26.00 of deposits and 0.40 of tax charged wrongly beside.
  const lines: CreditedLine[] = [
    { kind: 'quantity', amountMinor: 1250 },
    { kind: 'carriage', amountMinor: 350 },
    { kind: 'deposits', amountMinor: 2600 },
    { kind: 'tax', amountMinor: 40 },
  ]

  test('tax is on goods and carriage, rounded once, not on tax or deposits; deposits with tax are right as well', () => {
    expect(creditTax(lines, 200)).toBe(320)
    // 19 % of 12.50 is 2.375.
    expect(creditTax([{ kind: null, amountMinor: 1250 }], 190)).toBe(238)
    const sums = { lines, taxThousandths: 200 }
    expect(creditMisfit({ ...sums, taxMinor: 320, totalMinor: 4560 })).toBeNull()
    expect(creditMisfit({ ...sums, taxMinor: 840, totalMinor: 5080 })).toBeNull()
    expect(creditMisfit({ ...sums, taxMinor: 500, totalMinor: 4740 })).toEqual({ what: 'tax', shouldMinor: 320 })
    expect(creditMisfit({ ...sums, taxMinor: 320, totalMinor: 4500 })).toEqual({ what: 'total', shouldMinor: 4560 })
  })

  const some = fc.array(
    fc.record({
      kind: fc.constantFrom<DifferenceKind | null>(null, ...kinds),
      amountMinor: fc.integer({ min: 1, max: 5_000_000 }),
      invoiceId: fc.integer({ min: 1, max: 3 }),
    }),
    { minLength: 1, maxLength: 9 },
  )
  const rates = fc.integer({ min: 0, max: 999 })

  test('that round each line are as right as those that round the sum, and a fault beyond rounding is found', () => {
    const off = fc.integer({ min: 20, max: 5000 })
    fc.assert(
      fc.property(some, rates, off, (of, taxThousandths, more) => {
        const goods = of.map((line) => ({ ...line, kind: line.kind === 'deposits' ? null : line.kind }))
        const net = goods.reduce((sum, { amountMinor }) => sum + amountMinor, 0)
        const each = goods.reduce((sum, line) => sum + creditTax([line], taxThousandths), 0)
        const sum = { lines: goods, taxThousandths }
        expect(creditMisfit({ ...sum, taxMinor: each, totalMinor: net + each })).toBeNull()
        const whole = creditTax(goods, taxThousandths)
        expect(creditMisfit({ ...sum, taxMinor: whole, totalMinor: net + whole + more })?.what).toBe('total')
        expect(creditMisfit({ ...sum, taxMinor: whole + more, totalMinor: net + whole + more })?.what).toBe('tax')
      }),
    )
  })

  test('of several invoices are theirs in whole minor units that add up to its total', () => {
    fc.assert(
      fc.property(some, rates, (of, taxThousandths) => {
        const totalMinor = of.reduce((sum, { amountMinor }) => sum + amountMinor, creditTax(of, taxThousandths))
        const shares = creditShares({ lines: of, taxThousandths, totalMinor })
        expect([...shares.values()].reduce((sum, one) => sum + one, 0)).toBe(totalMinor)
        expect(new Set(shares.keys())).toEqual(new Set(of.map(({ invoiceId }) => invoiceId)))
        const [alone] = of
        if (of.every(({ invoiceId }) => invoiceId === alone!.invoiceId))
          expect([...shares.values()]).toEqual([totalMinor])
      }),
    )
  })
})

describe('goods of a credit note', () => {
  const line: MatchLine = {
    ...{ lineId: 31, number: 'TP-4410', unit: 'each', ordered: 6, priceMinor: 1250, amountMinor: null },
    ...{ depositMinor: null, came: 4, damaged: 1, before: 0, invoiced: { quantity: 6, priceMinor: 1300 } },
  }

  test('are as many whole pieces as the money reaches, all of them once all is credited', () => {
    expect([
      differencePieces('quantity', line),
      differencePieces('damaged', line),
      differencePieces('price', line),
    ]).toEqual([...[2, 1, 0]])
    const of = { pieces: 2, piecesBefore: 0, amountMinor: 2500, creditedMinor: 0 }
    expect([1000, 1250, 2499, 2500].map((nowMinor) => creditPieces({ ...of, nowMinor }))).toEqual([0, 1, 1, 2])
    expect(creditPieces({ ...of, piecesBefore: 1, creditedMinor: 1250, nowMinor: 1250 })).toBe(1)
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1_000_000_000 }),
        fc.integer({ min: 1, max: 1_000_000_000 }),
        fc.array(fc.nat({ max: 1_000_000_000 }), { maxLength: 6 }),
        (pieces, amountMinor, credits) => {
          let [creditedMinor, piecesBefore] = [0, 0]
          for (const asked of [...credits, amountMinor]) {
            const nowMinor = Math.min(asked, amountMinor - creditedMinor)
            piecesBefore += creditPieces({ pieces, piecesBefore, amountMinor, creditedMinor, nowMinor })
            creditedMinor += nowMinor
            expect(piecesBefore).toBeLessThanOrEqual(pieces)
          }
          expect(piecesBefore).toBe(pieces)
        },
      ),
    )
  })

  test('are never more than the line has on the invoice, in pieces or in money', () => {
    expect(lineLeft(line, { pieces: 2, amountMinor: 2600 })).toEqual({ pieces: 4, amountMinor: 5200 })
    expect(isTooMuch(line, { pieces: 6, amountMinor: 7800 })).toBe(false)
    expect(isTooMuch(line, { pieces: 7, amountMinor: 1 })).toBe(true)
    expect(isTooMuch(line, { pieces: 1, amountMinor: 7802 })).toBe(true)
  })
})

describe('the form of a credit note', () => {
  const asRead = (more: Record<string, string>) =>
    formAsRead(
      CreditForm,
      Object.entries({ invoiceId: '3', number: 'G 17', day: '2026-11-20', tax: '0.60', total: '3.60', ...more }),
    )

  test('gives amounts beside differences, goods that were sent back, or one sum in their place', () => {
    expect(
      asRead({ 'credit.4': '3,00', 'credit.5': '', 'credit.6': '0', 'back.31.each': '', 'backFor.31': '' }),
    ).toMatchObject({
      ...{ lines: [{ differenceId: 4, amountMinor: 300 }], back: [], sumMinor: null, taxMinor: 60, totalMinor: 360 },
    })
    expect(asRead({ 'back.31.each': '2', 'backFor.31': '25', also: '8 9' })).toMatchObject({
      ...{ back: [{ lineId: 31, quantity: 2, amountMinor: 2500 }], alsoIds: [8, 9] },
    })
    expect(asRead({ how: 'sum', sum: '3', 'credit.4': '9' })).toMatchObject({ lines: [], sumMinor: 300 })
  })

  test('says what is missing beside its field', () => {
    const faults = (more: Record<string, string>) => {
      try {
        return asRead(more) && {}
      } catch (error) {
        return (error as { fields: object }).fields
      }
    }
    expect(faults({ how: 'sum', sum: '' })).toHaveProperty('sum')
    expect(faults({ number: '' })).toHaveProperty('number')
    expect(faults({ 'credit.4': 'three' })).toHaveProperty(['credit.4'])
    expect(faults({ 'back.31.each': '2' })).toHaveProperty(['backFor.31'])
    expect(faults({ 'backFor.31': '12.50', 'back.31.each': '' })).toHaveProperty(['backFor.31'])
    expect(faults({ total: '' })).toHaveProperty('total')
  })
})
