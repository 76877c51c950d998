/** Why a shelf differs from its books, as a storekeeper says it. Common practice, no source. */
export const COUNT_REASONS = {
  'not-booked': 'Taken, not booked',
  'not-taken': 'Booked, not taken',
  'other-bin': 'Lay in another bin',
  delivery: 'Delivery booked wrong',
  unit: 'Another unit or pack was booked',
  broken: 'Broken or spoiled',
  lost: 'Lost, cannot be found',
  found: 'Found, never booked',
  other: 'Something else',
} as const

export type CountReason = keyof typeof COUNT_REASONS
export const COUNT_REASON_CODES = Object.keys(COUNT_REASONS) as CountReason[]

export function countReasonIs(text: string): text is CountReason {
  return Object.hasOwn(COUNT_REASONS, text)
}

/** The reason as it stands in the ledger. */
export function countReasonSays(code: CountReason, words: string): string {
  if (code === 'other' && words !== '') return words
  return words === '' ? COUNT_REASONS[code] : `${COUNT_REASONS[code]}: ${words}`
}

/** `Something else` says nothing without words. */
export function countReasonGiven(code: CountReason | null, words: string): code is CountReason {
  return code !== null && (code !== 'other' || words.length >= 3)
}
