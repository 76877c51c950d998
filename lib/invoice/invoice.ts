import type { Difference } from './match.ts'

/** How an invoice stands: as its differences do. */
export const INVOICE_STATES = {
  agreed: { shape: '■', says: 'agreed' },
  open: { shape: '▲', says: 'differences open' },
  disputed: { shape: '◧', says: 'disputed with the supplier' },
  withdrawn: { shape: '✕', says: 'withdrawn' },
} as const
export type InvoiceState = keyof typeof INVOICE_STATES

/**
 * How a difference stands. One that is credited was given back whole by credit notes. One that is gone was none any more before anybody
 * accepted it: the goods came since.
 */
export const DIFFERENCE_STATES = {
  open: { shape: '▲', says: 'open' },
  accepted: { shape: '■', says: 'accepted' },
  disputed: { shape: '◧', says: 'disputed' },
  credited: { shape: '◆', says: 'credited' },
  gone: { shape: '✕', says: 'gone since' },
} as const
export type DifferenceState = keyof typeof DIFFERENCE_STATES

/** Open as long as one difference is; disputed while one is; without any, or with all of them accepted, credited or gone, agreed. */
export function invoiceStateOf(differences: readonly { state: DifferenceState }[]): InvoiceState {
  if (differences.some(({ state }) => state === 'open')) return 'open'
  return differences.some(({ state }) => state === 'disputed') ? 'disputed' : 'agreed'
}

export interface DifferenceKept extends Difference {
  id: number
  state: DifferenceState
  /** What credit notes give back for it, without tax, money minor units. */
  creditedMinor: number
}

export interface Rechecked {
  /** Differences that were kept, where they are otherwise now. */
  changed: DifferenceKept[]
  /** Differences that were not there before. */
  added: Difference[]
}

/** Fewer invoiced than came: the rest comes on another invoice. */
export const isFewer = ({ kind, amountMinor }: Pick<Difference, 'kind' | 'amountMinor'>) =>
  kind === 'quantity' && amountMinor < 0

/**
 * What becomes of the differences of an invoice once goods came, a receipt was reversed, or a credit note was entered or withdrawn. What
 * was accepted stays accepted as long as it is the same; what is none any more is gone, and what is again is open again. What came after
 * the invoice is for the next one: that fewer are invoiced stays as it was said when it was entered. A difference is never of less than
 * credit notes give back for it; where that is all of it, it is credited.
 */
export function differencesRecheck(kept: readonly DifferenceKept[], now: readonly Difference[]): Rechecked {
  const keyOf = ({ kind, lineId }: Pick<Difference, 'kind' | 'lineId'>) => `${kind} ${lineId ?? ''}`
  const found = new Map(now.filter((one) => !isFewer(one)).map((one) => [keyOf(one), one]))
  const changed = kept.flatMap((old): DifferenceKept[] => {
    const still = found.get(keyOf(old))
    found.delete(keyOf(old))
    if (!still && isFewer(old)) return []
    const next = differenceNext(old, still)
    const isSame = next.state === old.state && next.says === old.says && next.amountMinor === old.amountMinor
    return isSame ? [] : [next]
  })
  return { changed, added: [...found.values()] }
}

function differenceNext(old: DifferenceKept, still: Difference | undefined): DifferenceKept {
  const { creditedMinor } = old
  const asked = still?.amountMinor ?? 0
  if (creditedMinor > 0 && asked <= creditedMinor) {
    const says = still && asked === creditedMinor ? still.says : old.says
    return { ...old, says, amountMinor: creditedMinor, state: 'credited' }
  }
  // The credit note that gave it back was withdrawn, or more is asked than it gave back: the supplier is still to answer.
  const state = old.state === 'credited' ? 'disputed' : old.state
  if (!still) return { ...old, state: state === 'open' || state === 'disputed' ? 'gone' : state }
  if (state !== 'gone' && old.says === still.says && old.amountMinor === still.amountMinor) return { ...old, state }
  return { ...old, ...still, state: state === 'disputed' ? 'disputed' : 'open' }
}
