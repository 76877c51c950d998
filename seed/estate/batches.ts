import { GOODS } from './part.ts'

/** What spoils on the estate's shelves: parts that no drawing asks for, with batches of which one is past its day and one soon is. */
export interface BatchedPart {
  number: string
  description: string
  partClass: 'other' | 'electrical'
  asksBatch: boolean
  shelfLifeMonths: number
  costMinor: number
  /** How long they last, in days from the day on which the demo is made. */
  batches: { code?: string; daysLeft: number; quantity: number }[]
  /** Pieces taken for the first machine of the estate. */
  taken: number | null
}

export const BATCHED_MAKER = GOODS.chemicals

export const BATCHED_PARTS: readonly BatchedPart[] = [
  {
    number: 'GR-160',
    description: 'Adhesive, window, polyurethane, cartridge 310 ml',
    partClass: 'other',
    asksBatch: true,
    shelfLifeMonths: 12,
    costMinor: 1390,
    batches: [
      { code: 'P6117', daysLeft: -9, quantity: 2 },
      { code: 'P6284', daysLeft: 24, quantity: 5 },
      { code: 'P7031', daysLeft: 320, quantity: 6 },
    ],
    taken: 1,
  },
  {
    number: 'GR-162',
    description: 'Repair putty, two-part epoxy, 250 g',
    partClass: 'other',
    asksBatch: true,
    shelfLifeMonths: 24,
    costMinor: 1725,
    batches: [
      { code: 'EP-88', daysLeft: 75, quantity: 3 },
      { code: 'EP-93', daysLeft: 610, quantity: 4 },
    ],
    taken: 1,
  },
  {
    number: 'GR-171',
    description: 'Battery, lithium coin cell, for key transponders',
    partClass: 'electrical',
    asksBatch: false,
    shelfLifeMonths: 36,
    costMinor: 240,
    batches: [{ daysLeft: 860, quantity: 12 }],
    taken: null,
  },
]
