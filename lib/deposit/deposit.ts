import { Refusal } from '../refusal.ts'

/** How an old unit stands, in the words of the screens. `ends`: nothing more comes of it. */
export const UNIT_STATES = {
  kept: { says: 'kept, to go back', ends: false },
  sent: { says: 'sent back', ends: false },
  accepted: { says: 'accepted', ends: true },
  refused: { says: 'refused', ends: true },
  lost: { says: 'lost on the way back', ends: true },
  scrapped: { says: 'scrapped', ends: true },
  none: { says: 'there was none', ends: true },
} as const
export type UnitState = keyof typeof UNIT_STATES

/** What changes what is owed: each adds (+) to it or takes from it (-). */
export const DEPOSIT_SIGNS = { owed: 1, credited: -1, lost: -1, reversed: -1 } as const
export type DepositKind = keyof typeof DEPOSIT_SIGNS

/** The deposit on one piece; money in minor units. */
export interface DepositFact {
  id: number
  partId: number
  supplierId: number
  /** What the supplier still owes of it. */
  owedMinor: number
  /** Calendar day by which the old unit must be back; null where nobody set a limit. */
  dueOn: string | null
  /** The old unit that went back for it; null while none did. */
  unitId: number | null
}

export interface UnitFact {
  id: number
  partId: number
  state: UnitState
  /** The deposit that it went back for. */
  depositId: number | null
}

/** The deposits and old units that an act can touch: all of the same parts, or more. */
export interface DepositBook {
  deposits: readonly DepositFact[]
  units: readonly UnitFact[]
}

export type DepositAct =
  /** An old unit goes back to a supplier, for the deposit there that is due first. */
  | { act: 'send'; unitId: number; supplierId: number }
  /** What the supplier made of it: money credited, and what became of the unit. */
  | { act: 'answer'; unitId: number; creditedMinor: number; state: 'accepted' | 'refused' | 'lost' }
  /** The old unit goes back to nobody; `none` says that there never was one. */
  | { act: 'discard'; unitId: number; state: 'scrapped' | 'none' }
  /** No old unit will go back for the deposit; the supplier may credit it all the same. */
  | { act: 'give-up'; depositId: number; creditedMinor: number }
  /** The receipt was a mistake. */
  | { act: 'reverse'; depositId: number }

/** What an act does: rows as they stand after it, and the lines that say so; money signed as it adds to what is owed. */
export interface DepositStep {
  deposits: DepositFact[]
  units: UnitFact[]
  lines: { depositId: number; kind: DepositKind; amountMinor: number }[]
}

/** Still owed, and no old unit went back for it yet. */
export function depositIsOpen(deposit: Pick<DepositFact, 'owedMinor' | 'unitId'>): boolean {
  return deposit.owedMinor > 0 && deposit.unitId === null
}

/** Due first comes first; without a limit last; the older one before the newer. */
export function depositOrder(a: Pick<DepositFact, 'id' | 'dueOn'>, b: Pick<DepositFact, 'id' | 'dueOn'>): number {
  const [one, other] = [a.dueOn ?? '9999-12-31', b.dueOn ?? '9999-12-31']
  return one === other ? a.id - b.id : one < other ? -1 : 1
}

/**
 * Which kept unit would go back for which open deposit: of each part the unit that was kept first for the deposit that is due
 * first. Nothing is fixed before a unit is sent. Answers deposit ids by unit id.
 */
export function depositPairs({ deposits, units }: DepositBook): Map<number, number> {
  const open = deposits.filter(depositIsOpen).sort(depositOrder)
  const pairs = new Map<number, number>()
  const kept = units.filter((unit) => unit.state === 'kept').sort((a, b) => a.id - b.id)
  for (const unit of kept) {
    const at = open.findIndex((deposit) => deposit.partId === unit.partId)
    if (at === -1) continue
    pairs.set(unit.id, open[at]!.id)
    open.splice(at, 1)
  }
  return pairs
}

/**
 * Does one act on the books of deposits. Owed is what was charged less what was credited, lost and reversed; it never falls below
 * zero, and what is settled stays settled: the same act again is refused.
 * Example: 180.00 owed and 120.00 credited for a unit with a broken flange: credited 120.00, lost 60.00, nothing is owed.
 * Refuses with 'deposit/unit-not-there', 'deposit/none-open', 'deposit/settled', 'deposit/more-than-owed', 'deposit/went-back'.
 * Source: common practice, no source.
 */
export function depositAct(book: DepositBook, act: DepositAct): DepositStep {
  switch (act.act) {
    case 'send': {
      const unit = unitIn(book, act.unitId, 'kept')
      const deposit = book.deposits
        .filter((one) => one.partId === unit.partId && one.supplierId === act.supplierId && depositIsOpen(one))
        .sort(depositOrder)[0]
      if (!deposit) throw new Refusal('deposit/none-open')
      return {
        deposits: [{ ...deposit, unitId: unit.id }],
        units: [{ ...unit, state: 'sent', depositId: deposit.id }],
        lines: [],
      }
    }
    case 'answer': {
      const unit = unitIn(book, act.unitId, 'sent')
      const settled = settle(depositIn(book, unit.depositId ?? 0), act.creditedMinor)
      return { ...settled, units: [{ ...unit, state: act.state }] }
    }
    case 'discard': {
      const unit = unitIn(book, act.unitId, 'kept')
      const mine = book.deposits.filter((one) => one.partId === unit.partId && depositIsOpen(one)).sort(depositOrder)
      const others = book.units.filter(
        (one) => one.partId === unit.partId && one.state === 'kept' && one.id !== unit.id,
      )
      const gone: UnitFact = { ...unit, state: act.state }
      // A spare one goes back in its place: nothing is lost then.
      if (mine.length <= others.length) return { deposits: [], units: [gone], lines: [] }
      const paired = depositPairs(book).get(unit.id)
      const deposit = mine.find((one) => one.id === paired) ?? mine.at(-1)!
      return { ...settle(deposit, 0), units: [gone] }
    }
    case 'give-up':
    case 'reverse': {
      const deposit = depositIn(book, act.depositId)
      if (deposit.unitId !== null) throw new Refusal('deposit/went-back')
      if (act.act === 'give-up') return settle(deposit, act.creditedMinor)
      if (deposit.owedMinor === 0) throw new Refusal('deposit/settled')
      return {
        deposits: [{ ...deposit, owedMinor: 0 }],
        units: [],
        lines: [{ depositId: deposit.id, kind: 'reversed', amountMinor: -deposit.owedMinor }],
      }
    }
  }
}

function unitIn(book: DepositBook, unitId: number, state: UnitState): UnitFact {
  const unit = book.units.find((one) => one.id === unitId)
  if (unit?.state !== state) throw new Refusal('deposit/unit-not-there', { state: UNIT_STATES[state].says })
  return unit
}

function depositIn(book: DepositBook, depositId: number): DepositFact {
  const deposit = book.deposits.find((one) => one.id === depositId)
  if (!deposit) throw new Refusal('deposit/settled')
  return deposit
}

/** Credits so much of a deposit; what is not credited is lost. */
function settle(deposit: DepositFact, creditedMinor: number): DepositStep {
  const { id: depositId, owedMinor } = deposit
  if (owedMinor === 0) throw new Refusal('deposit/settled')
  if (creditedMinor < 0 || creditedMinor > owedMinor)
    throw new Refusal('deposit/more-than-owed', {}, { fields: { credited: 'at most the deposit' } })
  const lostMinor = owedMinor - creditedMinor
  const lines: DepositStep['lines'] = []
  if (creditedMinor > 0) lines.push({ depositId, kind: 'credited', amountMinor: -creditedMinor })
  if (lostMinor > 0) lines.push({ depositId, kind: 'lost', amountMinor: -lostMinor })
  return { deposits: [{ ...deposit, owedMinor: 0 }], units: [], lines }
}

export type DepositUrgency = 'overdue' | 'soon' | 'later' | 'open-ended'
export const DUE_SOON_DAYS = 14

/** How pressing it is on a day; both are calendar days. Example: due on the 20th it is soon on the 6th, and later on the 5th. */
export function depositUrgency(dueOn: string | null, today: string): DepositUrgency {
  if (dueOn === null) return 'open-ended'
  if (dueOn < today) return 'overdue'
  return dayAfter(today, DUE_SOON_DAYS) >= dueOn ? 'soon' : 'later'
}

/** The calendar day so many days after another. Example: dayAfter('2026-11-20', 30) = '2026-12-20'. */
export function dayAfter(day: string, days: number): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10)
}
