import { GOODS } from './part.ts'

/** What spoils on the estate's shelves: parts that no drawing asks for, with batches of which one is past its day and one soon is. */
export interface BatchedPart {
  number: string
  description: string
  partClass: 'other' | 'electrical'
  asksBatch: boolean
  shelfLifeMonths: number
  costMinor: number
  /** When they came and how long they last, in days from the day on which the demo is made. */
  batches: { code?: string; cameDaysAgo: number; daysLeft: number; quantity: number }[]
  /** Pieces taken for the first machine of the estate, so many days ago. */
  taken: { daysAgo: number; quantity: number } | null
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
      { code: 'P6117', cameDaysAgo: 371, daysLeft: -9, quantity: 2 },
      { code: 'P6284', cameDaysAgo: 230, daysLeft: 24, quantity: 5 },
      { code: 'P7031', cameDaysAgo: 41, daysLeft: 320, quantity: 6 },
    ],
    taken: { daysAgo: 60, quantity: 1 },
  },
  {
    number: 'GR-162',
    description: 'Repair putty, two-part epoxy, 250 g',
    partClass: 'other',
    asksBatch: true,
    shelfLifeMonths: 24,
    costMinor: 1725,
    batches: [
      { code: 'EP-88', cameDaysAgo: 500, daysLeft: 75, quantity: 3 },
      { code: 'EP-93', cameDaysAgo: 96, daysLeft: 610, quantity: 4 },
    ],
    taken: { daysAgo: 33, quantity: 1 },
  },
  {
    number: 'GR-171',
    description: 'Battery, lithium coin cell, for key transponders',
    partClass: 'electrical',
    asksBatch: false,
    shelfLifeMonths: 36,
    costMinor: 240,
    batches: [{ cameDaysAgo: 210, daysLeft: 860, quantity: 12 }],
    taken: null,
  },
]
