/** A kept count beside what the ledger says of it; quantities in minor units. */
export interface CountRow {
  id: number
  partId: number
  binId: number
  state: string
  books: number
  counted: number
  /** What the ledger says was there: goods moved up to the cut, and the count differences booked before the count. */
  ledger: number
  movement: { id: number; kind: string; partId: number; binId: number; quantity: number } | null
  movementId: number | null
  decided: boolean
}

/**
 * Each booked count has its movement, of its own part, bin and difference; no other count has one; and what the count says the
 * books said is what the ledger says.
 */
export function countFaults(rows: Iterable<CountRow>): string[] {
  const faults: string[] = []
  for (const row of rows) {
    const { id, state, movement } = row
    if (row.books !== row.ledger)
      faults.push(`count ${id} says the books said ${row.books}, the ledger says ${row.ledger}`)
    if (state === 'right' && row.books !== row.counted)
      faults.push(`count ${id} is called right, but ${row.counted} were counted where the books said ${row.books}`)
    if (state !== 'booked' && row.movementId !== null)
      faults.push(`count ${id} is not booked (${state}) and names movement ${row.movementId}`)
    if (state === 'sent-back' && !row.decided) faults.push(`count ${id} was sent back by nobody`)
    if (state !== 'booked') continue
    if (!movement) faults.push(`count ${id} is booked and has no movement`)
    else if (movement.kind !== 'count-difference' || movement.partId !== row.partId || movement.binId !== row.binId)
      faults.push(`count ${id} is booked by movement ${movement.id}, which is of something else`)
    else if (movement.quantity !== row.counted - row.books)
      faults.push(
        `count ${id} found a difference of ${row.counted - row.books}, movement ${movement.id} books ${movement.quantity}`,
      )
  }
  return faults
}
