import { expect, test } from 'vitest'
import { piecesAimed, targetPlaces } from '../../lib/job/target-places.ts'

test('a wheel stud is aimed at by the side of its axle, and by its place round the hub', () => {
  const { sides, allowed } = targetPlaces([{ code: 'LH' }, { code: 'RH' }], { stations: 3 })
  expect(sides).toEqual(['LH', 'RH'])
  expect([...allowed]).toEqual(['LH', 'RH', '1', '2', '3'])
})

test('a knife of a rotor that sits once has stations only, a shoe sides only', () => {
  expect(targetPlaces([], { stations: 2 })).toEqual({ sides: [], ends: [], allowed: new Set(['1', '2']) })
  expect(targetPlaces([{ code: 'RH' }], {})).toEqual({ sides: ['RH'], ends: [], allowed: new Set(['RH']) })
})

test('a rotor bearing is aimed at by its end, the cover of one end by none', () => {
  const bearing = targetPlaces([], { ends: ['NDE', 'DE'] })
  expect(bearing).toEqual({ sides: [], ends: ['DE', 'NDE'], allowed: new Set(['DE', 'NDE']) })
  expect(targetPlaces([], { ends: ['NDE'] })).toEqual({ sides: [], ends: [], allowed: new Set() })
})

test('a book that lists the two ends as positions asks for them once, as positions', () => {
  const ends = [{ code: 'DE' }, { code: 'NDE' }]
  expect(targetPlaces(ends, { ends: ['DE', 'NDE'] })).toMatchObject({ sides: ['DE', 'NDE'], ends: [] })
})

test.each([
  // Eight bolts hold two bearing housings: four at either end of each rotor of the gang.
  [['LH', 'DE'], 4],
  [['LH', 'DE', 'NDE'], 8],
  [['LH', 'RH', 'NDE'], 8],
  [['LH', 'RH', 'DE', 'NDE'], 16],
  // With no end named nobody knows which, and all are counted.
  [['RH'], 8],
])('of eight bolts over two ends, aimed at %j are %i', (named, pieces) => {
  const line = { quantity: 8, facts: { ends: ['DE' as const, 'NDE' as const] } }
  expect(piecesAimed(line, [{ code: 'LH' }, { code: 'RH' }], named)).toBe(pieces)
})

test('three screws over two ends are two at one of them, and three at both', () => {
  const line = { quantity: 3, facts: { ends: ['DE' as const, 'NDE' as const] } }
  expect([piecesAimed(line, [], ['DE']), piecesAimed(line, [], ['DE', 'NDE'])]).toEqual([2, 3])
})

test('knives are counted by the station', () => {
  expect(piecesAimed({ quantity: 48, facts: { stations: 24 } }, [], ['3', '15'])).toBe(4)
})
