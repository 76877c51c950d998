/** A line of goods sent from one store to another; minor units. */
export interface ConsignmentLineFact {
  sent: number
  arrived: number
  lost: number
}

export type ConsignmentState = 'packing' | 'on-the-way' | 'arrived' | 'short'

export const CONSIGNMENT_STATES: Record<ConsignmentState, string> = {
  packing: 'being packed',
  'on-the-way': 'on the way',
  arrived: 'arrived whole',
  short: 'arrived short',
}

/** What of a line neither arrived nor was said to be lost. */
export function stillOnTheWay({ sent, arrived, lost }: ConsignmentLineFact): number {
  return sent - arrived - lost
}

/** How a consignment stands. Nothing is lost by itself: what did not arrive stays on the way until somebody says so. */
export function consignmentState(isSent: boolean, lines: readonly ConsignmentLineFact[]): ConsignmentState {
  if (!isSent) return 'packing'
  if (lines.some((line) => stillOnTheWay(line) > 0)) return 'on-the-way'
  return lines.some((line) => line.lost > 0) ? 'short' : 'arrived'
}
