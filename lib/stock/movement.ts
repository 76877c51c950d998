/** The kinds of line in the stock ledger, with the direction each one moves the balance of its bin. */
export const MOVEMENT_KINDS = {
  receive: { sign: 1, says: 'Received' },
  issue: { sign: -1, says: 'Taken' },
  return: { sign: 1, says: 'Put back' },
  'count-difference': { sign: 0, says: 'Count difference' },
  'transfer-out': { sign: -1, says: 'Moved out' },
  'transfer-in': { sign: 1, says: 'Moved in' },
  scrap: { sign: -1, says: 'Scrapped' },
  reversal: { sign: 0, says: 'Reversal' },
} as const satisfies Record<string, { sign: 1 | -1 | 0; says: string }>

export type MovementKind = keyof typeof MOVEMENT_KINDS

/** What the arithmetic needs of a movement; quantity is signed minor units, never zero. */
export interface MovementFact {
  id: number
  kind: MovementKind
  partId: number
  binId: number
  quantity: number
  balanceAfter: number
  reversesId: number | null
}

/** Says why a movement may not be reversed; null when it may. Transfers are two lines that must be undone together. */
export function movementWhyNotReversible(movement: Pick<MovementFact, 'kind'>): string | null {
  if (movement.kind === 'reversal') return 'it is itself a reversal'
  if (movement.kind === 'transfer-in' || movement.kind === 'transfer-out')
    return 'it is half of a transfer; move the parts back instead'
  return null
}

/** True when the sign of the quantity fits the kind. */
export function movementSignFits(kind: MovementKind, quantity: number): boolean {
  const { sign } = MOVEMENT_KINDS[kind]
  return quantity !== 0 && (sign === 0 || Math.sign(quantity) === sign)
}
