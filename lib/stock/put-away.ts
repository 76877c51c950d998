/** Why a bin is proposed. */
export const PUT_AWAY_WHY = {
  fixed: 'its fixed bin',
  now: 'lies here now',
  last: 'lay here last',
  overflow: 'for what does not fit',
} as const
export type PutAwayWhy = keyof typeof PUT_AWAY_WHY

export interface PutAwayFacts {
  /** Bins where the part belongs, and those for what does not fit there. */
  fixed: readonly number[]
  overflow: readonly number[]
  /** Where it lies now; minor units. */
  now: readonly { binId: number; quantity: number }[]
  /** Where it was put last. */
  last: number | null
  /** Bins that may be offered: in use, free to take from, and in the store where it is put away. */
  open: ReadonlySet<number>
}

export interface PutAway {
  binId: number
  why: PutAwayWhy
}

/**
 * Bins to put a part into, best first and each once: its fixed bin; else where most of it lies, because one place is easier to
 * find and to count than two; else where it was put last; then its overflow. A bin that is not open is passed over.
 * Source: common practice, no source.
 */
export function putAway({ fixed, overflow, now, last, open }: PutAwayFacts): PutAway[] {
  const most = [...now].filter((bin) => bin.quantity > 0).sort((a, b) => b.quantity - a.quantity || a.binId - b.binId)
  const asked: PutAway[] = [
    ...fixed.map((binId) => ({ binId, why: 'fixed' as const })),
    ...most.map(({ binId }) => ({ binId, why: overflow.includes(binId) ? ('overflow' as const) : ('now' as const) })),
    ...(last === null ? [] : [{ binId: last, why: 'last' as const }]),
    ...overflow.map((binId) => ({ binId, why: 'overflow' as const })),
  ]
  const seen = new Set<number>()
  return asked.filter(({ binId }) => open.has(binId) && !seen.has(binId) && seen.add(binId))
}
