import { expect, test } from 'vitest'
import { targetPlaces } from '../../lib/job/target-places.ts'

test('a wheel stud is aimed at by the side of its axle, and by its place round the hub', () => {
  const { sides, allowed } = targetPlaces([{ code: 'LH' }, { code: 'RH' }], { stations: 3 })
  expect(sides).toEqual(['LH', 'RH'])
  expect([...allowed]).toEqual(['LH', 'RH', '1', '2', '3'])
})

test('a knife of a rotor that sits once has stations only, a shoe sides only', () => {
  expect(targetPlaces([], { stations: 2 })).toEqual({ sides: [], allowed: new Set(['1', '2']) })
  expect(targetPlaces([{ code: 'RH' }], {})).toEqual({ sides: ['RH'], allowed: new Set(['RH']) })
})
