import { type MovementFact, movementSignFits } from './movement.ts'

/** Key of one part in one bin. */
export function balanceKey(partId: number, binId: number): string {
  return `${partId}:${binId}`
}

/** Balances as a fold of movements: part and bin to quantity in minor units. */
export function ledgerBalances(
  movements: Iterable<Pick<MovementFact, 'partId' | 'binId' | 'quantity'>>,
): Map<string, number> {
  const balances = new Map<string, number>()
  for (const { partId, binId, quantity } of movements) {
    const key = balanceKey(partId, binId)
    balances.set(key, (balances.get(key) ?? 0) + quantity)
  }
  return balances
}

/**
 * Walks a ledger in movement order and says what is wrong with it, a sentence each: a quantity whose sign does not fit
 * its kind, a balance below zero, a running balance that does not follow, a reversal that does not undo what it names. An empty list means the ledger is sound.
 */
export function ledgerFaults(movements: Iterable<MovementFact>): string[] {
  const faults: string[] = []
  const running = new Map<string, number>()
  const seen = new Map<number, MovementFact>()
  const reversed = new Set<number>()
  for (const movement of movements) {
    const key = balanceKey(movement.partId, movement.binId)
    const balance = (running.get(key) ?? 0) + movement.quantity
    running.set(key, balance)
    if (!movementSignFits(movement.kind, movement.quantity))
      faults.push(`movement ${movement.id} books ${movement.quantity} as ${movement.kind}`)
    if (balance < 0)
      faults.push(`movement ${movement.id} takes part ${movement.partId} in bin ${movement.binId} to ${balance}`)
    if (movement.balanceAfter !== balance)
      faults.push(`movement ${movement.id} says ${movement.balanceAfter} were left, the sum says ${balance}`)
    if (movement.kind === 'reversal') {
      const original = movement.reversesId === null ? undefined : seen.get(movement.reversesId)
      if (!original) faults.push(`reversal ${movement.id} names no earlier movement`)
      else if (original.quantity !== -movement.quantity || balanceKey(original.partId, original.binId) !== key)
        faults.push(`reversal ${movement.id} does not undo movement ${original.id}`)
      else if (reversed.has(original.id)) faults.push(`movement ${original.id} is reversed twice`)
      else reversed.add(original.id)
    }
    seen.set(movement.id, movement)
  }
  return faults
}
