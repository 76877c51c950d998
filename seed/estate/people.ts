import type { Role } from '../../lib/people/role.ts'

/** Who works at the estate. All invented. The PINs are printed on the demo's sign-in screen and open nothing else. */
export interface EstatePerson {
  id: string
  name: string
  secret: string
  roles: Role[]
}

export const PEOPLE: readonly EstatePerson[] = [
  { id: 'demo-jory', name: 'Jory Penhale', secret: '4819', roles: ['mechanic'] },
  { id: 'demo-wilf', name: 'Wilf Tamsett', secret: '7302', roles: ['mechanic'] },
  { id: 'demo-nell', name: 'Nell Arkwood', secret: '5168', roles: ['storekeeper'] },
  { id: 'demo-odile', name: 'Odile Brandreth', secret: '9427', roles: ['buyer'] },
  { id: 'demo-marit', name: 'Marit Quillbeck', secret: '6093', roles: ['manager'] },
  { id: 'demo-sam', name: 'Sam Lutterby', secret: '2751', roles: ['mechanic', 'storekeeper', 'buyer', 'manager'] },
]

export const MECHANICS = ['demo-jory', 'demo-wilf', 'demo-sam'] as const
export const STOREKEEPER = 'demo-nell'
export const BUYER = 'demo-odile'
export const MANAGER = 'demo-marit'
export const WORKSHOP_NAME = 'Quillbeck Orchards workshop'

export function personName(id: string): string {
  return PEOPLE.find((person) => person.id === id)?.name ?? 'somebody who left'
}
