import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { PriceOn } from '../../lib/price/offer-price.ts'
import { winterAnswer } from '../../lib/winter/answer.ts'
import { type BuyPart, buyGroups } from '../../lib/winter/buy-list.ts'
import {
  type ChoiceCurve,
  choiceAt,
  choiceFor,
  choiceLines,
  choiceProposed,
  choiceWorth,
} from '../../lib/winter/choice.ts'
import { winterCsv } from '../../lib/winter/list-csv.ts'
import type { SupplierTerms } from '../../lib/winter/money.ts'
import type { WinterWork } from '../../lib/winter/plan.ts'
import { boundSays, buyReason, chanceWords, choiceSays, waitingSays, waitsSay } from '../../lib/winter/words.ts'
import { csvCells } from '../support/csv-cells.ts'

const step = fc.record({
  partId: fc.integer({ min: 1, max: 6 }),
  pieces: fc.integer({ min: 1, max: 9 }),
  cost: fc.integer({ min: 1, max: 5_000 }),
  gain: fc.double({ min: 0, max: 0.3, noNaN: true }),
})
const curve = fc
  .tuple(
    fc.integer({ min: 0, max: 9_000 }),
    fc.double({ min: 0, max: 0.5, noNaN: true }),
    fc.array(step, { maxLength: 30 }),
  )
  .map(([baseMinor, start, all]): ChoiceCurve => {
    let [costMinor, readiness] = [baseMinor, start]
    const steps = all.map(({ partId, pieces, cost, gain }) => {
      costMinor += cost
      readiness += (1 - readiness) * gain
      return { partId, pieces, costMinor, readiness, isCertain: false }
    })
    return { baseMinor, start, error: 0, steps }
  })

describe('a budget is read off the curve', () => {
  it('never spends more than it is, and more money never brings less', () => {
    fc.assert(
      fc.property(
        curve,
        fc.integer({ min: 0, max: 100_000 }),
        fc.integer({ min: 0, max: 9_000 }),
        (of, budget, more) => {
          const point = choiceAt(of, budget)
          expect(point.spentMinor).toBeLessThanOrEqual(Math.max(of.baseMinor, budget))
          expect(choiceAt(of, budget + more).readiness).toBeGreaterThanOrEqual(point.readiness)
          const bought = [...choiceLines(of, point.count).values()].reduce((sum, { pieces }) => sum + pieces, 0)
          expect(bought).toBe(of.steps.slice(0, point.count).reduce((sum, { pieces }) => sum + pieces, 0))
          const found = choiceFor(of, point.readiness)!
          expect(choiceAt(of, found).readiness).toBe(point.readiness)
          if (found > of.baseMinor) expect(choiceAt(of, found - 1).readiness).toBeLessThan(point.readiness)
        },
      ),
    )
  })

  it('what is said not to be worth its money brings less than a thousandth, or than dice can tell', () => {
    fc.assert(
      fc.property(curve, fc.constantFrom(0, 0.002, 0.01), (of, error) => {
        const { budgetMinor, within } = choiceWorth({ ...of, error })
        // Two chances with the same standard error differ by one of the square root of two times it; 1.96 of those hold 95 of
        // 100 (standard normal table). Nothing smaller is claimed.
        expect(within).toBeCloseTo(Math.max(0.001, 1.96 * Math.SQRT2 * error), 12)
        const top = of.steps.at(-1)?.readiness ?? of.start
        expect(top - choiceAt(of, budgetMinor).readiness).toBeLessThan(within)
        if (budgetMinor > of.baseMinor)
          expect(top - choiceAt(of, budgetMinor - 1).readiness).toBeGreaterThanOrEqual(within)
      }),
    )
  })
})

const CURVE: ChoiceCurve = {
  baseMinor: 0,
  start: 0.4,
  error: 0,
  steps: [
    { partId: 1, pieces: 4, costMinor: 100_000, readiness: 0.7, isCertain: true },
    { partId: 2, pieces: 2, costMinor: 340_000, readiness: 0.93, isCertain: false },
    { partId: 1, pieces: 1, costMinor: 370_000, readiness: 0.955, isCertain: false },
    { partId: 3, pieces: 500, costMinor: 400_000, readiness: 0.97, isCertain: false },
  ],
}
const atPrice = (priceMinor: number): PriceOn => ({
  list: null,
  breakKind: 'all-units',
  breaks: [{ from: 0, priceMinor }],
})
const part = (partId: number, supplierId: number, more: Partial<BuyPart> = {}): BuyPart => ({
  partId,
  supplierId,
  number: `FM-${partId}`,
  supplierNumber: null,
  maker: 'Thornley & Pike',
  description: 'Belt',
  unit: 'each',
  on: atPrice(2_500),
  others: [],
  pack: 1,
  minimum: 1,
  certain: 3,
  mean: 4.8,
  enough: 7,
  stock: 2,
  drafts: [],
  goesWith: [],
  neededOn: '2026-12-14',
  lastDay: `2026-12-0${partId}`,
  byHand: null,
  seen: 0,
  ...more,
})

const terms = (more: Partial<SupplierTerms>): SupplierTerms => ({
  rateMicro: 1_000_000,
  carriageMinor: 0,
  carriagePaidFromMinor: null,
  minimumOrderMinor: 0,
  ...more,
})

describe('a fleet so large that nearly always some machine waits', () => {
  const steps = [
    { partId: 1, pieces: 1, costMinor: 10_000, readiness: 1e-12, isCertain: true },
    { partId: 2, pieces: 1, costMinor: 20_000, readiness: 1e-9, isCertain: false },
    { partId: 3, pieces: 1, costMinor: 30_000, readiness: 1.99e-9, isCertain: false },
    { partId: 3, pieces: 1, costMinor: 40_000, readiness: 2e-9, isCertain: false },
  ]

  it('begins with what is certain to lack and with all that makes fewer wait, not with nothing', () => {
    const curve = { baseMinor: 0, start: 0, error: 0, steps }
    expect(choiceProposed(curve)).toBe(30_000)
    expect(choiceProposed({ ...curve, steps: steps.map((one) => ({ ...one, readiness: 0 })) })).toBe(10_000)
    expect(choiceSays(curve, 20_000, 'GBP')).toBe(
      'For £200 the chance that no machine waits for a part is under 1 %: nearly always some machine waits, and more money makes it fewer.',
    )
  })

  it('says how many machines are expected to wait', () => {
    const machines = Array.from({ length: 300 }, () => ({ now: 0.5, bought: 0.99 }))
    expect(waitingSays(machines)).toBe(
      'Expected to wait for a part: 150 of 300 machines as things stand, 3.0 with the list bought.',
    )
    expect(waitingSays([{ now: 0.9, bought: 1 }])).toBe(
      'Expected to wait for a part: 0.1 of 1 machine as things stand, none with the list bought.',
    )
  })
})

describe('what is said', () => {
  it('names the sum, the chance and what the next sum makes of it', () => {
    expect(choiceSays(CURVE, 365_000, 'GBP')).toBe(
      'For £3,400 the chance that no machine waits for a part is 93 %; £300 more makes it 96 %.',
    )
    expect(choiceSays(CURVE, 0, 'GBP')).toBe(
      'With nothing bought the chance that no machine waits for a part is 40 %; £1,000 makes it 70 %.',
    )
    expect(choiceSays(CURVE, 400_000, 'GBP')).toBe(
      'For £4,000 the chance that no machine waits for a part is 97 %; more money does not raise it by anything that can be told.',
    )
    expect(choiceProposed(CURVE)).toBe(370_000)
    const waits = [
      { machineId: 1, machine: 'W-01', part: 'FM-210', until: '2026-12-22' },
      { machineId: 3, machine: 'W-03', part: 'FM-500', until: null },
    ]
    expect(choiceSays(CURVE, 365_000, 'GBP', waits.slice(0, 1))).toBe(
      'For £3,400 the chance that no other machine waits for a part is 93 %, but W-01 waits until 22 Dec 2026 for FM-210 whatever is bought; £300 more makes the chance 96 %.',
    )
    expect(choiceSays(CURVE, 400_000, 'GBP', waits)).toBe(
      'For £4,000 the chance that no other machine waits for a part is 97 %, but W-01 waits until 22 Dec 2026 for FM-210 and W-03 waits for FM-500 whatever is bought; more money does not raise the chance by anything that can be told.',
    )
    const many = [4, 5, 6].map((machineId) => ({ ...waits[1]!, machineId, machine: `W-0${machineId}` }))
    expect(waitsSay([...waits, ...many])).toBe(
      'W-01 waits until 22 Dec 2026 for FM-210, W-03 waits for FM-500, W-04 waits for FM-500 and 2 more machines wait whatever is bought',
    )
    expect([0, 0.001, 0.9949, 0.99951, 1].map(chanceWords)).toEqual([
      '0 %',
      'under 1 %',
      '99.5 %',
      'over 99.9 %',
      '100 %',
    ])
    const money = { budgetMinor: 60_000, orderedMinor: 8_811, draftedMinor: 43_783, currency: 'GBP' }
    expect(boundSays(money)).toBe('Of £600, £88.11 is ordered and £437.83 in drafts: £74.06 left.')
    expect(boundSays({ ...money, orderedMinor: 0, budgetMinor: 40_000 })).toBe(
      'Of £400, £437.83 is in drafts: £37.83 over it.',
    )
    expect(boundSays({ ...money, orderedMinor: 0, draftedMinor: 0 })).toBe('')
    expect(buyReason(part(1, 1))).toBe('3 in any case, 4.8 expected, 7 enough 95 times of 100; 2 there or on order')
    expect(buyReason(part(1, 1, { stock: 5, drafts: [{ draftId: 4, quantity: 3 }] }))).toBe(
      '3 in any case, 4.8 expected, 7 enough 95 times of 100; 2 there or on order, 3 in a draft',
    )
  })

  it('the list stands by supplier, the one to be asked first on top; what was set by hand in place of what is proposed', () => {
    const parts = [
      part(1, 8),
      part(2, 9, { byHand: 7 }),
      part(3, 8, { unit: 'litre', on: atPrice(640) }),
      part(4, 9, { byHand: 0 }),
    ]
    const suppliers = [
      {
        id: 8,
        name: 'Hollin Bearings',
        arrives: '2026-12-09',
        nextOrderOn: '2026-11-30',
        terms: terms({ carriageMinor: 650 }),
      },
      { id: 9, name: 'Corner counter', arrives: '2026-12-09', nextOrderOn: '2026-11-30', terms: terms({}) },
    ]
    const groups = buyGroups(CURVE, 4, parts, suppliers)
    expect(
      groups.map(({ supplier, lastDay, goodsMinor, lines }) => [
        supplier.name,
        lastDay,
        goodsMinor,
        lines.map(({ quantity }) => quantity),
      ]),
    ).toEqual([
      ['Hollin Bearings', '2026-12-01', 5 * 2_500 + 320, [5, 500]],
      ['Corner counter', '2026-12-02', 7 * 2_500, [7]],
    ])
    const rows = csvCells(winterCsv(groups, { absent: [], lots: new Map() }, 'GBP'))
    const column = (name: string) => rows.map((row) => row[name])
    expect(column('supplier')).toEqual(['Hollin Bearings', 'Hollin Bearings', 'Hollin Bearings', 'Corner counter'])
    expect(column('description')).toEqual(['Belt', 'Belt', 'Carriage', 'Belt'])
    expect(column('quantity')).toEqual(['5', '0.5', '', '7'])
    expect(column('cost')).toEqual(['125.00', '3.20', '6.50', '175.00'])
    expect(column('why')).toEqual(['certain', 'may be needed', '', 'by hand'])
  })
})

it('a gasket and the seal that goes with it are one sum on the list: no budget pays for half of them', () => {
  const machines = [1, 2, 3, 4, 5, 6]
  const works = machines.map((machineId): WinterWork => {
    const date = '2026-12-01'
    return { id: `J${machineId}`, machineId, job: null, wants: [], wantedOn: date, date, late: [] }
  })
  const lines = ['gasket', 'seal'].map((one) => ({ part: one, cause: 'box' }))
  const answer = winterAnswer(
    {
      file: {
        today: '2026-11-02',
        season: { from: '2026-11-16', until: '2027-03-12' },
        suppliers: [{ id: 'S', leadDays: 10 }],
        machines: machines.map((machine) => ({ id: `W-0${machine}` })),
        parts: [
          { id: 'gasket', free: 1, supplier: 'S', price: 100 },
          { id: 'seal', free: 1, supplier: 'S', price: 300 },
        ],
        jobs: works.map(({ id, machineId, date }) => ({
          id,
          machine: `W-0${machineId}`,
          date,
          causes: [{ id: 'box', chance: 0.3 }],
          lines,
        })),
      },
      weeks: [],
      places: [],
      works,
      partNames: new Map([
        [7, 'gasket'],
        [8, 'seal'],
      ]),
      arrivals: new Map([
        [7, '2026-11-12'],
        [8, '2026-11-12'],
      ]),
      faults: [],
      byHand: [],
      prices: {
        parts: new Map([
          [7, { unit: 'each', on: atPrice(100), supplierId: 1 }],
          [8, { unit: 'each', on: atPrice(300), supplierId: 1 }],
        ]),
        suppliers: new Map([[1, terms({})]]),
      },
    },
    { budgetMinor: 700, spentMinor: 0 },
  )
  expect(answer.curve.steps.slice(0, 4).map(({ costMinor }) => costMinor)).toEqual([400, 400, 800, 800])
  const of = (budgetMinor: number) => {
    const { count, readiness } = choiceAt(answer.curve, budgetMinor)
    return [[...choiceLines(answer.curve, count)].map(([partId, { pieces }]) => [partId, pieces]), readiness]
  }
  // Binomial tables: 6 trials of 0.3, at most 1: 0.4202, at most 2: 0.7443.
  expect(of(399)).toEqual([[], expect.closeTo(0.4202, 4)])
  const pair = [
    [7, 1],
    [8, 1],
  ]
  for (const budget of [400, 700]) expect(of(budget)).toEqual([pair, expect.closeTo(0.7443, 4)])
  expect(answer.bought).toBeCloseTo(0.7443, 4)
})
