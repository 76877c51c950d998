import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type CopyMachine, type CopyPart, copyChosen } from '../../lib/winter/copy.ts'
import { type PartSeason, partReview, reviewRows, reviewSums } from '../../lib/winter/review.ts'
import { reviewCsv } from '../../lib/winter/review-csv.ts'
import { chancesReview, chancesSay } from '../../lib/winter/review-looks.ts'
import { machineReview, machineSays, machinesSay, type SeasonJob } from '../../lib/winter/review-machine.ts'
import { csvCells } from '../support/csv-cells.ts'

const season = (more: Partial<PartSeason> = {}): PartSeason => ({
  partId: 1,
  number: 'FM-210',
  description: 'Belt',
  unit: 'each',
  priceMinor: 2_150,
  opening: 0,
  bought: 3,
  boughtMinor: 6_451,
  used: 5,
  usedMinor: 10_700,
  waiting: 0,
  orderedBeside: 0,
  ...more,
})
const plan = (more: Partial<CopyPart> = {}): CopyPart => ({
  partId: 1,
  certain: 2,
  mean: 3.6,
  enough: 6,
  stock: 4,
  ordered: 0,
  priceMinor: 2_000,
  ...more,
})

describe('a part planned against used', () => {
  it('what was there goes first, so only what was bought in vain is left over', () => {
    expect(partReview(plan(), season())).toMatchObject({ there: 4, left: 2, leftMinor: 4_301, missing: 0, rushed: 0 })
    // The shelf alone would have done: all that was bought is left over, and no more than that.
    expect(partReview(plan({ stock: 9 }), season())).toMatchObject({ there: 9, left: 3, leftMinor: 6_451 })
    expect(partReview(plan(), season({ used: 7 }))).toMatchObject({ left: 0, missing: 0 })
  })

  it('what jobs still wait for and what was used beyond the plan is missing', () => {
    const row = partReview(plan(), season({ used: 9, waiting: 1, orderedBeside: 5 }))
    expect(row).toMatchObject({ left: 0, missing: 3, rushed: 2, missingMinor: 6_450 })
  })

  it('orders made before the copy are in its stock and do not count twice', () => {
    expect(partReview(plan({ stock: 7, ordered: 3 }), season())).toMatchObject({ there: 4, left: 2 })
    expect(partReview(plan({ stock: 7, ordered: 3 }), season({ bought: 5 }))).toMatchObject({ there: 4, left: 4 })
  })

  it('a part that no plan named is judged by what lay there when the season began', () => {
    const row = partReview(null, season({ bought: 0, boughtMinor: 0, opening: 2, used: 3 }))
    expect(row).toMatchObject({ planned: null, there: 2, missing: 1, left: 0 })
  })

  it('nothing is left over and short at once, and nothing is negative', () => {
    const some = fc.integer({ min: 0, max: 60 })
    fc.assert(
      fc.property(some, some, some, some, some, some, (stock, ordered, bought, used, waiting, orderedBeside) => {
        const boughtMinor = bought * 1_234
        const row = partReview(plan({ stock, ordered }), season({ bought, boughtMinor, used, waiting, orderedBeside }))
        const { there, left, missing, rushed, leftMinor, missingMinor } = row
        expect(Math.min(there, left, missing, rushed, leftMinor, missingMinor)).toBeGreaterThanOrEqual(0)
        expect(row.left).toBeLessThanOrEqual(bought)
        expect(row.leftMinor).toBeLessThanOrEqual(boughtMinor)
        expect(Math.min(row.left, row.missing - waiting)).toBe(0)
        // One more of everything that was there never leaves less and never lacks more.
        const more = partReview(plan({ stock: stock + 1, ordered }), season({ bought, boughtMinor, used, waiting }))
        expect(more.left).toBeGreaterThanOrEqual(row.left)
        expect(more.missing).toBeLessThanOrEqual(row.missing)
      }),
    )
  })

  it('the rows begin with what was missing; parts that no plan named and that were there are only summed', () => {
    const left = partReview(plan({ partId: 2 }), season({ partId: 2, number: 'FM-9', used: 1 }))
    const missing = partReview(plan(), season({ used: 9 }))
    const quiet = partReview(
      null,
      season({ partId: 3, bought: 0, boughtMinor: 0, opening: 9, used: 4, usedMinor: 830 }),
    )
    const { rows, unforeseen } = reviewRows([left, quiet, missing])
    expect(rows).toEqual([missing, left])
    expect([unforeseen.parts, unforeseen.usedMinor]).toEqual([1, 830])
    // 2 certain at 20.00 each twice; 3.6 expected, rounded to 4, twice.
    expect(reviewSums(rows)).toMatchObject({ certainMinor: 8_000, meanMinor: 16_000, boughtMinor: 12_902 })
    const lines = reviewCsv(rows, 'GBP').split('\r\n')
    expect(lines[1]).toBe('FM-210,Belt,each,2,3.6,6,4,3,9,0,2,0,0,80.00,64.51,107.00,0.00,43.00,GBP')
    expect(csvCells(lines.join('\r\n'))).toHaveLength(2)
  })
})

describe('the copy that a review goes by', () => {
  const copy = (kind: 'begin' | 'orders' | 'end', day: string) => ({ kind, at: new Date(`${day}T09:00:00Z`) })
  it('is the one of the beginning, else the last before it, else the first after it', () => {
    const [early, near, late] = [
      copy('orders', '2026-10-02'),
      copy('orders', '2026-10-30'),
      copy('orders', '2026-12-01'),
    ]
    const begin = copy('begin', '2026-11-09')
    const end = copy('end', '2027-03-02')
    expect(copyChosen([late, end, begin, early], '2026-11-01')).toBe(begin)
    expect(copyChosen([late, near, end, early], '2026-11-01')).toBe(near)
    expect(copyChosen([end, late], '2026-11-01')).toBe(late)
    expect(copyChosen([end], '2026-11-01')).toBeNull()
  })
})

describe('a machine by its week', () => {
  const machine: CopyMachine = {
    id: 4,
    fleetNumber: 'W-21',
    name: 'Trailer',
    weekOn: '2026-12-07',
    wantedOn: '2026-12-07',
    services: ['Winter service'],
    now: 0.8,
    bought: 0.95,
  }
  const job = (takes: SeasonJob['takes'], lacks: SeasonJob['lacks'] = []): SeasonJob => ({
    id: 31,
    number: 131,
    openedOn: '2026-12-07',
    closedOn: null,
    takes,
    lacks,
  })
  /** Two lay there, four came on the 10th. */
  const shelf = {
    onHand: (_: number, day: string) => (day < '2026-12-10' ? 2 : 6),
    cameOn: () => ['2026-12-10'],
  }
  const review = (jobs: SeasonJob[], today = '2027-03-01') => machineReview(machine, jobs, { shelf, today })

  it('waited for what was not there on its day, came later and was taken then', () => {
    const waited = review([job([{ partId: 1, on: '2026-12-11', quantity: 3 }])])
    expect(waited).toMatchObject({ state: 'waited', waitedFor: [{ partId: 1, cameOn: '2026-12-10' }] })
    expect(machineSays(waited, () => 'FM-210')).toBe('waited for FM-210 until 10 Dec 2026')
  })

  it('did not wait for what lay there on its day, nor for what it put back, nor for what it took before', () => {
    expect(review([job([{ partId: 1, on: '2026-12-11', quantity: 2 }])]).state).toBe('ready')
    expect(review([job([{ partId: 1, on: '2026-12-07', quantity: 3 }])]).state).toBe('ready')
    const back = [
      { partId: 1, on: '2026-12-11', quantity: 5 },
      { partId: 1, on: '2026-12-12', quantity: -5 },
    ]
    expect(review([job(back)]).state).toBe('ready')
  })

  it('waits while a line of its job lacks, and without a job its week is to come or was missed', () => {
    const waits = review([job([], [{ partId: 2, quantity: 1 }])])
    expect([waits.state, machineSays(waits, () => 'FM-334')]).toEqual(['waits', 'still waits for FM-334'])
    expect(review([], '2026-12-06').state).toBe('not-yet')
    expect(review([], '2026-12-07').state).toBe('not-done')
    expect(machinesSay([waits, review([job([])]), review([])], 'bought')).toBe(
      'Of 2 machines 1 was ready by the day planned; the plan expected 1.9. 1 machine had no service yet.',
    )
  })
})

describe('how good the chances were', () => {
  const half = { looked: 0, renewed: 0 }
  const looks = (renewed: number, looked: number) =>
    chancesReview(
      [{ key: 'item:1:5', text: '5 Bearing', own: half, others: half }],
      new Map([['item:1:5', { looked, renewed }]]),
      () => ({ own: { looked, renewed }, others: half }),
    )

  it('expected against found goes by the spread of the binomial', () => {
    // Binomial with n = 100, p = 1/2: mean 50, standard deviation 5. Source: Feller, An Introduction to Probability Theory,
    // volume 1, section VI.2; by hand.
    expect(looks(60, 100)).toMatchObject({ expected: 50, found: 60, spread: 5, apart: 2 })
    expect(chancesSay(looks(60, 100))).toBe(
      'At 100 looks 50 renewals were expected and 60 found: more than chance brings (2.0 times the usual spread). The chances were too low; what was found counts in the next plan.',
    )
    expect(chancesSay(looks(54, 100))).toBe('At 100 looks 50 renewals were expected and 54 found: as expected.')
    expect(chancesSay(looks(42, 100))).toContain('fewer, 1.6 times the usual spread, which chance alone brings.')
  })

  it('chances of their own add up as variable trials do', () => {
    // Jeffreys’ prior alone gives 1/2; renewed at 4 of 9 gives 4.5/10. 4 and 10 looks: variance 4/4 + 10 x 0.45 x 0.55 = 3.475.
    const known = () => ({ own: half, others: half })
    const planned = [
      { key: 'a', text: 'A', own: half, others: half },
      { key: 'b', text: 'B', own: { looked: 9, renewed: 4 }, others: half },
      { key: 'never', text: 'C', own: half, others: half },
    ]
    const found = new Map([
      ['a', { looked: 4, renewed: 1 }],
      ['b', { looked: 10, renewed: 6 }],
    ])
    const review = chancesReview(planned, found, known)
    expect([review.looked, review.expected, review.found]).toEqual([14, 6.5, 7])
    expect(review.spread).toBeCloseTo(Math.sqrt(3.475), 12)
    expect(review.looks.map(({ key }) => key)).toEqual(['a', 'b'])
  })

  it('of too few looks nothing is said', () => {
    expect(looks(3, 3).apart).toBeNull()
    expect(chancesSay(looks(3, 3))).toBe(
      'At 3 looks 1.5 renewals were expected and 3 found: too few to tell whether the chances were right.',
    )
    expect(chancesSay(looks(0, 0))).toContain('Nothing of what the plan was to look at')
  })
})
