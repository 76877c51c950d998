import { type SerialBreak, serialBreaksCover } from './serial-break.ts'

/** Which of two machines has a parts list line; 'unknown' when a serial number cannot be set against the break. */
export type SerialPair = 'both' | 'first' | 'second' | 'neither' | 'unknown'

/** Sets a line's serial breaks against two serial numbers. Example: up to 1499, against 1200 and 1600, is 'first'. */
export function serialPair(breaks: readonly SerialBreak[], first: string | null, second: string | null): SerialPair {
  const [one, other] = [serialBreaksCover(breaks, first), serialBreaksCover(breaks, second)]
  if (one === 'unknown' || other === 'unknown') return 'unknown'
  if (one === 'applies') return other === 'applies' ? 'both' : 'first'
  return other === 'applies' ? 'second' : 'neither'
}
