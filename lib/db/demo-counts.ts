import { STOREKEEPER } from '../../seed/estate/people.ts'
import { balanceKey } from '../stock/ledger.ts'
import type { Tx } from './client.ts'

interface Moved {
  id: number
  kind: string
  partId: number
  binId: number
  quantity: number
  balanceAfter: number
  valueMinor: number | null
  reason: string | null
  personId: string
  at: Date
}

const MONTHS = 14
/** One place in so many is counted each month: in the course of a year most have had their turn. */
const TURN = 12
const DAY_MS = 86_400_000

/**
 * The counts behind three years of the demo: every difference that the storekeeper booked, and through the last months the
 * places that were counted in their turn and found right.
 */
function demoCounts(movements: readonly Moved[]) {
  const lines: {
    partId: number
    binId: number
    cutId: number
    ledgerId: number
    books: number
    counted: number
    valueMinor: number
    state: 'right' | 'booked'
    reasonCode: string | null
    words: string | null
    personId: string
    at: Date
    movementId: number | null
  }[] = []
  const balances = new Map<string, { partId: number; binId: number; quantity: number }>()
  const end = movements.at(-1)?.at.getTime() ?? 0
  const from = end - MONTHS * 30 * DAY_MS
  let month = -1
  for (const movement of movements) {
    const { id, partId, binId, quantity, balanceAfter, at } = movement
    const now = Math.floor((at.getTime() - from) / (30 * DAY_MS))
    if (now >= 0 && now !== month) {
      month = now
      const places = [...balances.values()].filter((_, place) => place % TURN === month % TURN)
      for (const place of places)
        lines.push({
          partId: place.partId,
          binId: place.binId,
          cutId: id - 1,
          ledgerId: id - 1,
          books: place.quantity,
          counted: place.quantity,
          valueMinor: 0,
          state: 'right',
          reasonCode: null,
          words: null,
          personId: STOREKEEPER,
          at,
          movementId: null,
        })
    }
    if (movement.kind === 'count-difference')
      lines.push({
        partId,
        binId,
        cutId: id - 1,
        ledgerId: id - 1,
        books: balanceAfter - quantity,
        counted: balanceAfter,
        valueMinor: movement.valueMinor ?? 0,
        state: 'booked',
        reasonCode: 'other',
        words: movement.reason,
        personId: movement.personId,
        at,
        movementId: id,
      })
    balances.set(balanceKey(partId, binId), { partId, binId, quantity: balanceAfter })
  }
  return lines
}

const ROWS_AT_ONCE = 400

export async function demoCountsPlace(tx: Tx): Promise<void> {
  const lines = demoCounts(await tx.movement.findMany({ orderBy: { id: 'asc' } }))
  for (let at = 0; at < lines.length; at += ROWS_AT_ONCE)
    await tx.countLine.createMany({ data: lines.slice(at, at + ROWS_AT_ONCE) })
}
