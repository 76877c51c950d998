import { quantityFormat, type StockUnit } from '../measure/quantity.ts'

/** What a bin is for. What lies in one that is not `free` is on hand, but nobody can count on it. */
export const BIN_KINDS = {
  shelf: { says: 'Shelf', lies: 'on the shelf', free: true },
  overflow: { says: 'Overflow', lies: 'in overflow', free: true },
  quarantine: { says: 'Quarantine', lies: 'in quarantine', free: false },
  'old-units': { says: 'Old units to go back', lies: 'to go back', free: false },
  'on-the-way': { says: 'On the way', lies: 'on the way', free: false },
} as const satisfies Record<string, { says: string; lies: string; free: boolean }>

export type BinKind = keyof typeof BIN_KINDS

/** What a person may say a bin is for; bins for goods on the way are made by sending them. */
export const BIN_KINDS_GIVEN = ['shelf', 'overflow', 'quarantine', 'old-units'] as const satisfies readonly BinKind[]

/** Kinds whose parts are free to take. */
export const BIN_KINDS_FREE = (Object.keys(BIN_KINDS) as BinKind[]).filter((kind) => BIN_KINDS[kind].free)

export const STORE_KINDS = { building: 'Building', van: 'Van', container: 'Container' } as const
export type StoreKind = keyof typeof STORE_KINDS

export function binKindOf(kind: string): BinKind {
  return Object.hasOwn(BIN_KINDS, kind) ? (kind as BinKind) : 'shelf'
}

/**
 * What lies where nobody may take it, in words; '' when there is none. Quantities are minor units.
 * Example: two pieces in a quarantine bin and one on its way to the van is "2 in quarantine, 1 on the way".
 */
export function setAsideSays(bins: readonly { kind: BinKind; quantity: number }[], unit: StockUnit): string {
  const sums = new Map<BinKind, number>()
  for (const { kind, quantity } of bins)
    if (!BIN_KINDS[kind].free && quantity > 0) sums.set(kind, (sums.get(kind) ?? 0) + quantity)
  return (Object.keys(BIN_KINDS) as BinKind[])
    .filter((kind) => sums.has(kind))
    .map((kind) => `${quantityFormat(sums.get(kind)!, unit)} ${BIN_KINDS[kind].lies}`)
    .join(', ')
}

/**
 * Where each bin stands after one of them moved a step along the walk, or to a place counted from 1. Answers the ids in walking
 * order; a step beyond either end changes nothing.
 */
export function walkMoved(binIds: readonly number[], binId: number, to: 'earlier' | 'later' | number): number[] {
  const at = binIds.indexOf(binId)
  if (at === -1) return [...binIds]
  const place = to === 'earlier' ? at - 1 : to === 'later' ? at + 1 : to - 1
  const rest = binIds.filter((id) => id !== binId)
  rest.splice(Math.max(0, Math.min(rest.length, place)), 0, binId)
  return rest
}
