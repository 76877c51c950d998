import { DEPOSIT_SIGNS, UNIT_STATES, type UnitState } from '../deposit/deposit.ts'

/** A deposit with its lines, and the receipt it came with; money in minor units. */
export interface DepositKept {
  id: number
  partId: number
  amountMinor: number
  owedMinor: number
  movementId: number | null
  unitId: number | null
  lines: readonly { kind: string; amountMinor: number }[]
}

export interface UnitKept {
  id: number
  partId: number
  state: string
  depositId: number | null
  returnNoteId: number | null
  /** What the bin it lies in is for; null where it lies in none. */
  binKind: string | null
  /** Its lines in their order. */
  kinds: readonly string[]
}

export interface ReceiptKept {
  id: number
  partId: number
  kind: string
  quantity: number
  reversed: boolean
}

/** Every deposit that was charged was received for, and is owed, credited, lost or reversed: nothing is left over, and nothing below zero. */
export function depositFaults(deposits: readonly DepositKept[], receipts: ReadonlyMap<number, ReceiptKept>): string[] {
  const faults: string[] = []
  const pieces = new Map<number, number>()
  for (const { id, partId, amountMinor, owedMinor, movementId, lines } of deposits) {
    const sum = (kind: string) => lines.reduce((all, line) => (line.kind === kind ? all + line.amountMinor : all), 0)
    const unknown = lines.find((line) => !Object.hasOwn(DEPOSIT_SIGNS, line.kind))
    if (unknown) faults.push(`deposit ${id} has a line of the unknown kind ${unknown.kind}`)
    for (const [kind, sign] of Object.entries(DEPOSIT_SIGNS))
      if (lines.some((line) => line.kind === kind && Math.sign(line.amountMinor) !== sign))
        faults.push(`deposit ${id} has a line (${kind}) that goes the wrong way`)
    if (lines.filter((line) => line.kind === 'owed').length !== 1 || sum('owed') !== amountMinor)
      faults.push(`deposit ${id} is of ${amountMinor}, its lines charge ${sum('owed')}`)
    const left = lines.reduce((all, line) => all + line.amountMinor, 0)
    if (left !== owedMinor || owedMinor < 0)
      faults.push(`deposit ${id} says ${owedMinor} owed, its lines leave ${left}`)
    if (movementId === null) continue
    const receipt = receipts.get(movementId)
    if (receipt?.kind !== 'receive' || receipt.partId !== partId)
      faults.push(`deposit ${id} names movement ${movementId}, which is no receipt of its part`)
    else if (receipt.reversed !== lines.some((line) => line.kind === 'reversed'))
      faults.push(`deposit ${id} and its receipt ${movementId} do not agree whether it was reversed`)
    pieces.set(movementId, (pieces.get(movementId) ?? 0) + 1)
  }
  for (const [movementId, count] of pieces) {
    const came = receipts.get(movementId)?.quantity ?? 0
    if (came !== count) faults.push(`movement ${movementId} received ${came}, deposits were opened for ${count}`)
  }
  return faults
}

const WENT = new Set<string>(['sent', 'accepted', 'refused', 'lost'])

/** Old units stand as their lines say, lie where old units lie, and each that went back did so for one deposit of its own part. */
export function unitFaults(units: readonly UnitKept[], deposits: readonly DepositKept[]): string[] {
  const of = new Map(deposits.map((deposit) => [deposit.id, deposit]))
  return units.flatMap(({ id, partId, state, depositId, returnNoteId, binKind, kinds }) => {
    const faults: string[] = []
    const stands = kinds.filter((kind) => kind !== 'moved').at(-1)
    if (stands !== state || !Object.hasOwn(UNIT_STATES, state))
      faults.push(`old unit ${id} is called ${state}, its last line says ${stands ?? 'nothing'}`)
    if ((state === 'kept') !== (binKind === 'old-units') || (state !== 'kept' && binKind !== null))
      faults.push(`old unit ${id} (${state}) lies ${binKind === null ? 'in no bin' : `in a bin for ${binKind}`}`)
    if (WENT.has(state) !== (depositId !== null) || WENT.has(state) !== (returnNoteId !== null))
      faults.push(`old unit ${id} (${state}) and its deposit or return note do not agree`)
    const deposit = depositId === null ? undefined : of.get(depositId)
    if (depositId !== null && deposit?.partId !== partId)
      faults.push(`old unit ${id} went back for deposit ${depositId}, which is of another part`)
    if (deposit && UNIT_STATES[state as UnitState]?.ends === deposit.owedMinor > 0)
      faults.push(`old unit ${id} is ${state}, and ${deposit.owedMinor} of its deposit is owed`)
    return faults
  })
}

/** Return notes are numbered from 1 without a gap, and none is empty. */
export function returnNoteFaults(notes: readonly { number: number; units: number }[]): string[] {
  return [...notes]
    .sort((a, b) => a.number - b.number)
    .flatMap(({ number, units }, at) => [
      ...(number === at + 1 ? [] : [`return note ${number} stands where ${at + 1} is due`]),
      ...(units > 0 ? [] : [`return note ${number} names no old unit`]),
    ])
}
