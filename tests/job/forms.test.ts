import { describe, expect, test } from 'vitest'
import type { z } from 'zod'
import { NeedAddForm, PutBackForm, RowDecideForm, TakeForm } from '../../lib/job/schema.ts'

function faultsOf(schema: z.ZodType, form: unknown): Record<string, string> {
  const read = schema.safeParse(form)
  return read.success ? {} : Object.fromEntries(read.error.issues.map((one) => [one.path.join('.'), one.message]))
}

describe('quantities in the forms of a job', () => {
  test('ten grams of grease are ten grams, whether the field stood in grams or in kilograms', () => {
    const decided = { jobId: '1', needIds: ['2'], decision: 'accepted' }
    for (const [wanted, unit] of [
      ['10', 'gram'],
      ['10 g', 'kilogram'],
      ['0.01', 'kilogram'],
      ['0.01 kg', 'gram'],
    ])
      expect(RowDecideForm.parse({ ...decided, wanted, unit })).toMatchObject({ wanted: 10 })
  })

  test('0.01 in a field of grams is marked, not taken as ten', () => {
    expect(faultsOf(NeedAddForm, { jobId: '1', partId: '2', unit: 'gram', quantity: '0.01' })).toEqual({
      quantity: 'enter whole grams, or kilograms: 0.01 kg',
    })
  })

  test('the pick list takes each line in the unit that stood beside it', () => {
    const form = { jobId: '1', 'take.5.7.gram': '10', 'take.6.7.millilitre': '0.25 l', 'take.8.7.each': '4' }
    expect(TakeForm.parse(form).lines).toEqual([
      { needId: 5, binId: 7, quantity: 10 },
      { needId: 6, binId: 7, quantity: 250 },
      { needId: 8, binId: 7, quantity: 4 },
    ])
  })

  test('one row for two sides is spread over both, and one more than was asked goes to the first', () => {
    const lines = (typed: string) => TakeForm.parse({ jobId: '1', 'take.5:2+6:2.7.each': typed }).lines
    const line = (needId: number, quantity: number) => ({ needId, binId: 7, quantity })
    expect(lines('4')).toEqual([line(5, 2), line(6, 2)])
    expect(lines('3')).toEqual([line(5, 2), line(6, 1)])
    expect(lines('2')).toEqual([line(5, 2)])
    expect(lines('5')).toEqual([line(5, 3), line(6, 2)])
  })

  test('with the button of one row the others stay on the shelf', () => {
    const form = { jobId: '1', 'take.5:2+6:2.7.each': '4', 'take.8:1.7.each': '1', only: '5:2+6:2.7' }
    expect(TakeForm.parse(form).lines.map((line) => line.needId)).toEqual([5, 6])
  })

  test('what goes back is read in millilitres too', () => {
    expect(
      PutBackForm.parse({ jobId: '1', needId: '2', binId: '3', unit: 'millilitre', quantity: '40' }),
    ).toMatchObject({ quantity: 40 })
  })
})
