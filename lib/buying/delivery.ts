/** What a delivery of an order line was, where it was not simply all of it and sound. Kept for the supplier. */
export const DELIVERY_KINDS = {
  part: 'Part delivery',
  over: 'Too many came',
  short: 'The rest will not come',
  damaged: 'Damaged on arrival',
  'wrong-part': 'Wrong part',
  price: 'Price otherwise',
} as const
export type DeliveryKind = keyof typeof DELIVERY_KINDS

export interface DeliveryFacts {
  /** Still due on the line before this delivery; all quantities in minor units. */
  due: number
  /** Came sound, and came damaged. */
  good: number
  damaged: number
  /** Nothing more will come for this line. */
  restGivenUp: boolean
  /** What came in its place; '' when nothing did. */
  wrong: string
}

export interface Delivery {
  /** Booked against the order line; what is over it is booked without one. */
  damagedDue: number
  damagedOver: number
  goodDue: number
  goodOver: number
  /** Beyond what was due. */
  over: number
  /** No longer due, because the rest is given up. */
  cancel: number
  records: { kind: DeliveryKind; quantity: number }[]
}

/**
 * Splits what came of an order line: the damaged pieces count as come and are booked first, what is due is booked against the
 * line and what is more is not, because a line never receives more than was ordered.
 * Example: 10 due, 9 sound and 2 damaged came: 2 damaged and 8 sound against the line, 1 over; over 1 and damaged 2 are kept.
 * Source: common practice, no source.
 */
export function deliverySplit({ due, good, damaged, restGivenUp, wrong }: DeliveryFacts): Delivery {
  const damagedDue = Math.min(damaged, due)
  const goodDue = Math.min(good, due - damagedDue)
  const rest = due - damagedDue - goodDue
  const over = good + damaged - goodDue - damagedDue
  const cancel = restGivenUp ? rest : 0
  const records: Delivery['records'] = []
  if (rest > cancel && good + damaged > 0) records.push({ kind: 'part', quantity: goodDue + damagedDue })
  if (over > 0) records.push({ kind: 'over', quantity: over })
  if (cancel > 0) records.push({ kind: 'short', quantity: cancel })
  if (damaged > 0) records.push({ kind: 'damaged', quantity: damaged })
  if (wrong !== '') records.push({ kind: 'wrong-part', quantity: 0 })
  return {
    damagedDue,
    damagedOver: damaged - damagedDue,
    goodDue,
    goodOver: good - goodDue,
    over,
    cancel,
    records,
  }
}
