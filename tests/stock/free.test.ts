import { describe, expect, test } from 'vitest'
import { freeStock } from '../../lib/stock/free.ts'

const order = { number: 61, dueOn: '2026-12-03' }
const of = (more: Partial<Parameters<typeof freeStock>[0]>) =>
  freeStock({ stock: { onHand: 6, allocated: 4 }, own: 0, wanted: 2, order, today: '2026-11-27', ...more })

describe('what is free for a job', () => {
  test('is what lies on the shelf less what is kept for others; its own share is free to it', () => {
    expect(of({})).toEqual({ state: 'enough', free: 2, keptForOthers: 4, due: null })
    expect(of({ own: 3, wanted: 5 })).toEqual({ state: 'enough', free: 5, keptForOthers: 1, due: null })
  })

  test('one short of what is wanted, the order that brings more is told; enough, and nobody asks', () => {
    expect(of({ wanted: 3 })).toMatchObject({
      state: 'some',
      free: 2,
      due: { number: 61, dueOn: '2026-12-03', daysLate: 0 },
    })
    expect(of({ wanted: 3, order: undefined })).toMatchObject({ state: 'some', due: null })
    expect(of({ stock: { onHand: 4, allocated: 4 } })).toMatchObject({ state: 'none', free: 0, due: { daysLate: 0 } })
  })

  test('due today is not late, the day after it is one day late, over the end of a month too', () => {
    const late = (today: string) => of({ wanted: 9, order: { number: 61, dueOn: '2026-11-30' }, today }).due!.daysLate
    expect([late('2026-11-29'), late('2026-11-30'), late('2026-12-01'), late('2026-12-31')]).toEqual([0, 0, 1, 31])
  })

  test('more kept than there is leaves nothing, never less than nothing', () => {
    expect(of({ stock: { onHand: 1, allocated: 3 } })).toMatchObject({ free: 0, keptForOthers: 1, state: 'none' })
  })

  test('of a part that the job has all of, one on the shelf is enough to say so', () => {
    expect(of({ wanted: 0 })).toMatchObject({ state: 'enough' })
    expect(of({ wanted: 0, stock: { onHand: 0, allocated: 0 } })).toMatchObject({ state: 'none' })
  })
})
