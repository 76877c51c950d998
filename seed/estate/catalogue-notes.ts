import type { SpareRef } from './machine-spares.ts'
import { GOODS } from './part.ts'
import { STOREKEEPER } from './people.ts'

/** What the workshop knows of its parts beyond the books: approved alternatives, what is no longer made, notes. */
export interface EstateAlternative {
  wanted: SpareRef
  used: SpareRef
  interchange: 'one-way' | 'both-ways'
  reason: string
  approvedById: string
  daysAgo: number
}

const MANAGER = 'demo-marit'
const quernford = (number: string) => ({ maker: 'Quernford', number })
const dunmarrow = (number: string) => ({ maker: 'Dunmarrow', number })

export const ALTERNATIVES: readonly EstateAlternative[] = [
  {
    wanted: quernford('QP-1056'),
    used: { maker: GOODS.seals, number: 'WS 35-62-8' },
    interchange: 'one-way',
    reason: 'Same size and material by the seal maker’s list; the pump side runs dry of grit',
    approvedById: MANAGER,
    daysAgo: 204,
  },
  {
    wanted: quernford('QP-1055'),
    used: { maker: GOODS.bearings, number: 'CB 40-80-18' },
    interchange: 'both-ways',
    reason: 'Same size, both sealed, speed within the bearing maker’s table',
    approvedById: MANAGER,
    daysAgo: 204,
  },
]

export interface EstateDiscontinued {
  part: SpareRef
  daysAgo: number
  note: string
}

export const DISCONTINUED: readonly EstateDiscontinued[] = [
  {
    part: dunmarrow('DM62132'),
    daysAgo: 96,
    note: 'Maker’s letter: bronze wear ring no longer cast; the fabric one needs the later piston',
  },
  {
    part: { maker: 'Ferncombe', number: 'F0520-10' },
    daysAgo: 380,
    note: 'Maker’s price list: steel nozzles taken out, ceramic ones replace them',
  },
]

export interface EstateNote {
  part: SpareRef
  personId: string
  daysAgo: number
  text: string
}

export const NOTES: readonly EstateNote[] = [
  {
    part: dunmarrow('DM61300'),
    personId: STOREKEEPER,
    daysAgo: 61,
    text: 'Two of one make on an axle. The tyre shop in the village fits them; send the rim with its valve.',
  },
  {
    part: quernford('QP-1041'),
    personId: 'demo-jory',
    daysAgo: 33,
    text: 'Comes in a sealed bag: do not open it before the shaft is clean and dry.',
  },
]

/** The drive shaft of the mower drives the shredder as well, and is printed in that book under a number of its own. */
export const SHARED_FIGURE = { from: 'mower', figureTitle: /shaft/i, to: 'shredder', number: '9-01' } as const
