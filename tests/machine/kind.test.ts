import { expect, test } from 'vitest'
import { machineDrive } from '../../lib/machine/kind.ts'
import { MODELS } from '../../seed/figures/makers.ts'

test('every kind of machine of the estate tells how it is driven', () => {
  const drives = Object.fromEntries(Object.entries(MODELS).map(([model, { kind }]) => [model, machineDrive(kind)]))
  expect(drives).toEqual({
    tractor74: 'engine',
    tractor92: 'engine',
    mower: 'driven',
    sprayer: 'driven',
    trailer: 'drawn',
    telehandler: 'engine',
    pumpSet: 'stationary',
    shredder: 'driven',
  })
})

test('what drives itself comes first, and a kind that says nothing tells nothing', () => {
  expect(machineDrive('Mower tractor')).toBe('engine')
  expect(machineDrive('sprayer trailer')).toBe('driven')
  expect(machineDrive('machine')).toBeNull()
  // "protractor" is not a tractor.
  expect(machineDrive('protractor stand')).toBeNull()
})
