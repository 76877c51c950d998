import { expect, test } from 'vitest'
import { forIsSaid, forSays } from '../../lib/stock/for-what.ts'

// common practice, no source: what leaves the shelf is charged to something.
test('parts leave the shelf for a machine, a cost centre, a person or a few words; nothing said is refused', () => {
  expect(forIsSaid({ machineId: 4 })).toBe(true)
  expect(forIsSaid({ costCentre: 'Lower orchard' })).toBe(true)
  expect(forIsSaid({ forPersonId: 'nell' })).toBe(true)
  expect(forIsSaid({ reason: 'yard gate' })).toBe(true)
  expect(forIsSaid({ costCentre: '', reason: ' x ' })).toBe(false)
  expect(forIsSaid({})).toBe(false)
})

test('the movements say the cost centre and the person, and nothing where there is neither', () => {
  expect(forSays({ costCentre: 'Lower orchard', person: 'Nell Farrow' })).toBe(
    'cost centre Lower orchard, for Nell Farrow',
  )
  expect(forSays({ costCentre: null, person: null })).toBe('')
})
