import { must } from '../../lib/must.ts'
import type { MovementKind } from '../../lib/stock/movement.ts'

export interface MovementRow {
  id: number
  kind: MovementKind
  partId: number
  binId: number
  quantity: number
  balanceAfter: number
  at: Date
  personId: string
  jobId: number | null
  needId: number | null
  orderLineId: number | null
  reason: string | null
  reversesId: number | null
  costMinor: number
  writeKey: string
  writeLine: number
}

/** One acknowledged write: the movements that were sent together. */
export interface WriteRow {
  key: string
  kind: string
  content: unknown
  answer: unknown
  personId: string
  at: Date
}

export interface Placing {
  kind: MovementKind
  partId: number
  binId: number
  quantity: number
  jobId?: number
  needId?: number
  orderLineId?: number
  reason?: string
  reversesId?: number
  costMinor?: number
}

/** The demo's ledger while it is being written: rows in order of time, and what they leave in each bin. */
export interface Ledger {
  movements: MovementRow[]
  writes: WriteRow[]
  /** Part id to bin id to quantity. */
  balances: Map<number, Map<number, number>>
  costs: Map<number, number>
}

export function ledgerNew(costs: ReadonlyMap<number, number>): Ledger {
  return { movements: [], writes: [], balances: new Map(), costs: new Map(costs) }
}

export function ledgerOnHand(ledger: Ledger, partId: number): number {
  return [...(ledger.balances.get(partId)?.values() ?? [])].reduce((sum, quantity) => sum + quantity, 0)
}

/** Writes movements that belong to one write. Breaks, as the real ledger would refuse, when a bin would fall below zero. */
export function ledgerWrite(
  ledger: Ledger,
  kind: string,
  context: { at: Date; personId: string },
  placings: readonly Placing[],
): MovementRow[] {
  const key = `demo-${String(ledger.writes.length + 1).padStart(6, '0')}`
  const last = ledger.movements.at(-1)
  must(!last || last.at <= context.at, `the demo's ledger runs forward in time (${key})`)
  const rows = placings.map((placing, writeLine): MovementRow => {
    const bins = ledger.balances.get(placing.partId) ?? new Map<number, number>()
    ledger.balances.set(placing.partId, bins)
    const balanceAfter = (bins.get(placing.binId) ?? 0) + placing.quantity
    must(balanceAfter >= 0, `part ${placing.partId} in bin ${placing.binId} is never below zero in the demo`)
    bins.set(placing.binId, balanceAfter)
    if (placing.kind === 'receive' && placing.costMinor !== undefined)
      ledger.costs.set(placing.partId, placing.costMinor)
    const row: MovementRow = {
      id: ledger.movements.length + 1,
      kind: placing.kind,
      partId: placing.partId,
      binId: placing.binId,
      quantity: placing.quantity,
      balanceAfter,
      at: context.at,
      personId: context.personId,
      jobId: placing.jobId ?? null,
      needId: placing.needId ?? null,
      orderLineId: placing.orderLineId ?? null,
      reason: placing.reason ?? null,
      reversesId: placing.reversesId ?? null,
      costMinor: placing.costMinor ?? ledger.costs.get(placing.partId) ?? 0,
      writeKey: key,
      writeLine,
    }
    ledger.movements.push(row)
    return row
  })
  const answer = { movements: rows.map(({ id, balanceAfter }) => ({ movementId: id, balanceAfter })) }
  ledger.writes.push({ key, kind, content: placings, answer, ...context })
  return rows
}
