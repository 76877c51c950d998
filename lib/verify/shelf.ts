import { MOVEMENT_KINDS, type MovementFact, movementSignFits } from '../stock/movement.ts'

export interface LedgerLine extends MovementFact {
  writeKey: string
  writeLine: number
}

/** Kinds that are unknown or move the wrong way, and transfers of which one half is missing or of another quantity. */
export function movementFaults(lines: readonly LedgerLine[]): string[] {
  const faults: string[] = []
  const moved = new Map<string, { sum: number; lines: number }>()
  for (const line of lines) {
    if (!(line.kind in MOVEMENT_KINDS)) faults.push(`movement ${line.id} has the unknown kind ${line.kind}`)
    else if (!movementSignFits(line.kind, line.quantity))
      faults.push(`movement ${line.id} (${line.kind}) moves ${line.quantity}, the wrong way`)
    if (line.kind !== 'transfer-in' && line.kind !== 'transfer-out') continue
    const key = `${line.writeKey} of part ${line.partId}`
    const half = moved.get(key) ?? { sum: 0, lines: 0 }
    moved.set(key, { sum: half.sum + line.quantity, lines: half.lines + 1 })
  }
  for (const [key, { sum, lines: halves }] of moved)
    if (sum !== 0 || halves % 2 === 1) faults.push(`transfer ${key} does not put down what it took: ${sum} over`)
  return faults
}

/** Balances that are not the sum of their movements, both maps keyed by part and bin. */
export function balanceFaults(sums: ReadonlyMap<string, number>, kept: ReadonlyMap<string, number>): string[] {
  return [...new Set([...sums.keys(), ...kept.keys()])].flatMap((key) => {
    const [part, bin] = key.split(':')
    const sum = sums.get(key) ?? 0
    const balance = kept.get(key)
    if (balance === sum || (balance === undefined && sum === 0)) return []
    return [`part ${part} in bin ${bin}: the balance says ${balance ?? 'nothing'}, the movements add up to ${sum}`]
  })
}

export interface Tally {
  id: number
  /** What the row says, minor units. */
  says: number
  /** What its movements add up to, minor units. */
  sum: number
}

export function tallyFaults(what: string, verb: string, tallies: readonly Tally[]): string[] {
  return tallies.flatMap(({ id, says, sum }) =>
    says === sum ? [] : [`${what} ${id} says ${says} ${verb}, its movements add up to ${sum}`],
  )
}
