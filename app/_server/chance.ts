import { randomBytes } from 'node:crypto'
import type { RandomBytes } from '@/lib/db/people.ts'

/** The one place of the screens where chance comes from; what lies below is handed it. */
export const freshBytes: RandomBytes = (count) => randomBytes(count)

/** A short number to read out over the telephone: letters and digits that are not mistaken for each other. */
export function freshReference(): string {
  const letters = '23456789ABCDEFGHJKMNPQRSTVWXYZ'
  return [...randomBytes(7)].map((byte) => letters[byte % letters.length]).join('')
}
