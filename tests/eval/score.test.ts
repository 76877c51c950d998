import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { assignmentLeast } from './assignment.ts'
import { editDistance, itemKey, textError, textKey } from './likeness.ts'
import { countsSum, pageScore, type ReadPage, rowGrade, sharesOf } from './score.ts'
import type { PageTruth, TrueRow } from './truth.ts'

/** A page of 3000 x 4000 pixels: its diagonal is 5000, so a centre may be 100 px off and a tip 150. */
const page = (callouts: PageTruth['callouts'], rows: TrueRow[] = []): PageTruth => ({
  width: 3000,
  height: 4000,
  callouts,
  rows,
})
const reading = (callouts: ReadPage['callouts'], rows: TrueRow[] = []): ReadPage => ({
  width: 3000,
  height: 4000,
  kind: 'parts-page',
  callouts,
  rows,
})
const row = (item: string, partNumber: string, description: string, quantity: number | null): TrueRow => ({
  item,
  partNumber,
  description,
  quantity,
  quantityNote: '',
})

describe('callouts are paired one to one', () => {
  it('a number counts up to 2 % of the diagonal from where it stands, and not a pixel beyond', () => {
    const truth = page([{ item: '7', x: 1000, y: 500, tips: [] }])
    expect(pageScore(truth, reading([{ item: '7', x: 1100, y: 500, tips: [] }])).matchOf).toEqual([0])
    expect(pageScore(truth, reading([{ item: '7', x: 1101, y: 500, tips: [] }])).matchOf).toEqual([-1])
    expect(pageScore(truth, reading([{ item: '1', x: 1000, y: 500, tips: [] }])).matchOf).toEqual([-1])
  })

  it('case, spacing and a trailing point do not make another number; a letter does', () => {
    expect(itemKey(' 12 a. ')).toBe('12A')
    expect(itemKey('14.')).toBe('14')
    expect(itemKey('1.4')).toBe('1.4')
    expect(itemKey('12A')).not.toBe(itemKey('12'))
  })

  it('the nearer of two equal numbers is given up where only the other pairing finds both', () => {
    const truth = page([
      { item: '3', x: 1000, y: 500, tips: [] },
      { item: '3', x: 1090, y: 500, tips: [] },
    ])
    // Greedy pairing would give 1080 to the second and leave 1170 to nobody's.
    const found = pageScore(
      truth,
      reading([
        { item: '3', x: 1080, y: 500, tips: [] },
        { item: '3', x: 1170, y: 500, tips: [] },
      ]),
    )
    expect(found.matchOf).toEqual([0, 1])
  })

  it('one reading of a number printed twice is one found, one missed', () => {
    const truth = page([
      { item: '3', x: 1000, y: 500, tips: [] },
      { item: '3', x: 2000, y: 700, tips: [] },
    ])
    const shares = sharesOf(pageScore(truth, reading([{ item: '3', x: 1010, y: 500, tips: [] }])).counts)
    expect(shares.recall).toBe(0.5)
    expect(shares.precision).toBe(1)
  })

  it('a number read twice at one place costs precision, not recall', () => {
    const truth = page([{ item: '3', x: 1000, y: 500, tips: [] }])
    const twice = reading([
      { item: '3', x: 1010, y: 500, tips: [] },
      { item: '3', x: 1004, y: 500, tips: [] },
    ])
    expect(sharesOf(pageScore(truth, twice).counts)).toMatchObject({ recall: 1, precision: 0.5 })
    expect(pageScore(truth, twice).matchOf).toEqual([1])
  })

  it('a reader that gave nothing back has found nothing, and a page without numbers is no division by zero', () => {
    expect(sharesOf(pageScore(page([{ item: '3', x: 1, y: 2, tips: [] }]), null).counts)).toMatchObject({
      recall: 0,
      precision: null,
      tips: null,
    })
    expect(pageScore(page([]), { ...reading([]), kind: 'no-parts-page' }).kindRight).toBe(true)
    expect(pageScore(page([]), reading([])).kindRight).toBe(false)
    expect(pageScore(page([]), null).kindRight).toBe(false)
  })

  it('points of a copy at half the size are brought back before they are judged', () => {
    const truth = page([{ item: '9', x: 2400, y: 3000, tips: [{ x: 600, y: 1000 }] }])
    const half = {
      ...reading([{ item: '9', x: 1200, y: 1500, tips: [{ x: 300, y: 500 }] }]),
      width: 1500,
      height: 2000,
    }
    expect(sharesOf(pageScore(truth, half).counts)).toMatchObject({ recall: 1, tips: 1 })
  })
})

describe('leader ends', () => {
  const truth = page([
    {
      item: '8',
      x: 1000,
      y: 500,
      tips: [
        { x: 1400, y: 900 },
        { x: 1900, y: 700 },
      ],
    },
    { item: '9', x: 2000, y: 2500, tips: [{ x: 1500, y: 2200 }] },
  ])

  it('each end counts up to 3 % of the diagonal, and only on its own number', () => {
    const found = pageScore(
      truth,
      reading([
        { item: '8', x: 1000, y: 500, tips: [{ x: 1400, y: 1050 }] },
        { item: '9', x: 2000, y: 2500, tips: [{ x: 1900, y: 700 }] },
      ]),
    )
    expect(found.tipFound).toEqual([[true, false], [false]])
    expect(sharesOf(found.counts)).toMatchObject({ tips: 1 / 3, tipPrecision: 0.5 })
    const beyond = reading([{ item: '8', x: 1000, y: 500, tips: [{ x: 1400, y: 1051 }] }])
    expect(pageScore(truth, beyond).tipFound[0]).toEqual([false, false])
  })

  it('a missed number loses its leader ends as well', () => {
    const found = pageScore(truth, reading([{ item: '9', x: 2000, y: 2500, tips: [{ x: 1500, y: 2200 }] }]))
    expect(sharesOf(found.counts).tips).toBe(1 / 3)
  })
})

describe('rows of the parts list', () => {
  const seal = row('7', 'QB-1204 A', 'Wear ring, bronze, 90 × 84 × 10', 2)

  it('case, spacing and punctuation are free, the quantity is not', () => {
    expect(rowGrade(seal, row('7.', 'qb1204a', 'WEAR RING bronze 90x84x10', 2))).toBe('cells')
    expect(rowGrade(seal, row('7', 'QB-1204 A', 'Wear ring, bronze, 90 x 84 x 10', 3))).toBe('wrong')
    expect(rowGrade(seal, row('7', 'QB-1204 A', 'Wear ring, bronze, 90 x 84 x 10', null))).toBe('wrong')
  })

  it('number and name in one cell are right, but not each in its column', () => {
    expect(rowGrade(seal, row('7', '', 'QB-1204 A Wear ring, bronze, 90 x 84 x 10', 2))).toBe('right')
  })

  it('one letter in ten may be wrong for a near miss, two may not', () => {
    const truth = row('1', '', 'abcdefghij', 1)
    expect(rowGrade(truth, row('1', '', 'abcdefghix', 1))).toBe('near')
    expect(rowGrade(truth, row('1', '', 'abcdefghxy', 1))).toBe('wrong')
  })

  it('two rows of one item before and after a serial number are paired with their own readings', () => {
    const early = row('7', 'DM62132', 'Wear ring, bronze', 1)
    const late = row('7', 'DM62132A', 'Wear ring, fabric', 1)
    const found = pageScore(page([], [early, late]), reading([], [late, early]))
    expect(found.rowOf.map(({ read }) => read)).toEqual([1, 0])
    expect(sharesOf(found.counts)).toMatchObject({ rows: 1, rowPrecision: 1 })
  })

  it('rows that are not on the page cost row precision', () => {
    const found = pageScore(page([], [seal]), reading([], [seal, row('8', '', 'Nut', 1)]))
    expect(sharesOf(found.counts)).toMatchObject({ rows: 1, rowPrecision: 0.5 })
  })
})

describe('sums', () => {
  it('a page of thirty callouts weighs as thirty, not as one page', () => {
    const of = (calloutsTrue: number, calloutsMatched: number) => ({
      ...countsSum([]),
      calloutsTrue,
      calloutsMatched,
      calloutsRead: calloutsMatched,
    })
    expect(sharesOf(countsSum([of(30, 30), of(2, 0)])).recall).toBeCloseTo(30 / 32)
  })
})

describe('likeness of texts', () => {
  it('edit distance obeys its laws: nothing to itself, the same both ways, never longer than the longer text', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 12 }), fc.string({ maxLength: 12 }), (a, b) => {
        expect(editDistance(a, a)).toBe(0)
        expect(editDistance(a, b)).toBe(editDistance(b, a))
        expect(editDistance(a, b)).toBeLessThanOrEqual(Math.max([...a].length, [...b].length))
      }),
    )
  })

  // The example every textbook prints.
  it('three letters make sitting of kitten', () => {
    expect(editDistance('kitten', 'sitting')).toBe(3)
  })

  it('letters of other alphabets are letters', () => {
    expect(textKey('Ø 30 × 2,5 – Łożysko')).toBe('ø30x25łożysko')
    expect(textError('', '')).toBe(0)
    expect(textError('', 'ab')).toBe(2)
  })
})

describe('least assignment', () => {
  const total = (costs: readonly (readonly number[])[], answer: readonly number[]) =>
    answer.reduce((sum, column, at) => sum + (column < 0 ? 0 : costs[at]![column]!), 0)

  /** Every way to give rows their columns, the shorter side used up. */
  function leastOfAll(costs: readonly (readonly number[])[]): number {
    const columns = costs[0]!.length
    const skips = Math.max(0, costs.length - columns)
    const go = (at: number, used: number, left: number): number => {
      if (at === costs.length) return 0
      let best = left > 0 ? go(at + 1, used, left - 1) : Number.POSITIVE_INFINITY
      for (let column = 0; column < columns; column++)
        if (!(used & (1 << column))) best = Math.min(best, costs[at]![column]! + go(at + 1, used | (1 << column), left))
      return best
    }
    return go(0, 0, skips)
  }

  it('costs as little as the best of all pairings, each column given once', () => {
    const matrix = fc.tuple(fc.integer({ min: 1, max: 6 }), fc.integer({ min: 1, max: 6 })).chain(([rows, columns]) =>
      fc.array(fc.array(fc.integer({ min: 0, max: 40 }), { minLength: columns, maxLength: columns }), {
        minLength: rows,
        maxLength: rows,
      }),
    )
    fc.assert(
      fc.property(matrix, (costs) => {
        const answer = assignmentLeast(costs)
        const given = answer.filter((column) => column >= 0)
        expect(new Set(given).size).toBe(given.length)
        expect(given.length).toBe(Math.min(costs.length, costs[0]!.length))
        expect(total(costs, answer)).toBe(leastOfAll(costs))
      }),
    )
  })

  it('no columns leave every row alone', () => {
    expect(assignmentLeast([[], []])).toEqual([-1, -1])
    expect(assignmentLeast([])).toEqual([])
  })
})
