import { expect, test } from 'vitest'
import { highsSolver } from '../../lib/solver/highs.ts'
import { ModelBuilder } from '../../lib/solver/model.ts'

test('a column that a row holds twice counts twice, and one that cancels itself out is not in it', async () => {
  const solve = await highsSolver()
  const builder = new ModelBuilder()
  const one = builder.column(0, 10, -1, false)
  const other = builder.column(0, 10, -1, false)
  builder.atMost(6, [
    [one, 1],
    [one, 2],
    [other, 1],
    [other, -1],
  ])
  expect(solve(builder.model, { seconds: 5, gap: 0 })).toMatchObject({ status: 'proven', values: [2, 10] })
})
