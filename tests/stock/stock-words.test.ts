import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type KeptFor, stockWords } from '../../lib/stock/stock-words.ts'

/** Ids differ from numbers, so that one taken for the other shows. */
const kept = (job: number, quantity: number): KeptFor => ({ jobId: job + 1000, job, quantity })

const of = (onHand: number, keptFor: KeptFor[] = [], onOrder = 0) => ({
  onHand,
  available: onHand - keptFor.reduce((sum, { quantity }) => sum + quantity, 0),
  onOrder,
  keptFor,
})

describe('what the shelf says of a part', () => {
  test.each([
    [of(12), null, '■', '12 on shelf'],
    [of(5), 5, '◧', '5 on shelf, low'],
    [of(5, [], 4), 5, '■', '5 on shelf, 4 on order'],
    [of(0, [], 3), 2, '☐', 'none on shelf, 3 on order'],
    [of(2, [kept(481, 2)]), null, '☐', 'none free, 2 kept for job 481'],
    [of(2, [kept(481, 2)], 6), 1, '☐', 'none free, 2 kept for job 481, 6 on order'],
    [of(7, [kept(481, 2)]), 4, '■', '5 free, 2 kept for job 481'],
    [of(7, [kept(481, 3)]), 4, '◧', '4 free, 3 kept for job 481, low'],
    [of(9, [kept(502, 1), kept(481, 3)]), null, '■', '5 free, 4 kept for jobs 481, 502'],
    [
      of(
        8,
        [11, 12, 13, 14].map((job) => kept(job, 2)),
      ),
      null,
      '☐',
      'none free, 8 kept for 4 jobs',
    ],
  ])('%j with reorder point %j is %s %s', (stock, reorderPoint, shape, words) => {
    expect(stockWords(stock, 'each', reorderPoint)).toMatchObject({ shape, words })
  })

  test('litres and grams are said as they are measured', () => {
    expect(stockWords(of(1500, [kept(7, 250)]), 'litre', null).words).toBe('1.25 l free, 250 ml kept for job 7')
  })

  test('what is kept for the job in hand is free for it, and for nobody else', () => {
    const stock = of(2, [kept(481, 2)])
    expect(stockWords(stock, 'each', null, 1481)).toMatchObject({ shape: '■', words: '2 free, 2 kept for this job' })
    expect(stockWords(stock, 'each', null, 1502).shape).toBe('☐')
  })

  test('the shape never says more than what is free', () => {
    fc.assert(
      fc.property(fc.nat(20), fc.array(fc.nat(5), { maxLength: 5 }), fc.nat(5), (onHand, wants, onOrder) => {
        let left = onHand
        const keptFor = wants.map((wanted, at) => {
          const quantity = Math.min(wanted, left)
          left -= quantity
          return kept(100 + at, quantity)
        })
        const stock = of(onHand, keptFor, onOrder)
        const { shape, state, words } = stockWords(stock, 'each', 3)
        expect(shape === '☐').toBe(stock.available === 0)
        expect(state === 'none').toBe(stock.available === 0)
        if (stock.available > 0) expect(words.startsWith(`${stock.available} `)).toBe(true)
      }),
      { seed: 76 },
    )
  })
})
