import { type DepositUrgency, depositOrder, depositPairs, depositUrgency, type UnitState } from '../deposit/deposit.ts'
import { Refusal } from '../refusal.ts'
import { database, type Tx } from './client.ts'
import { personNames } from './part-typed.ts'

export interface OldUnitRow {
  id: number
  partId: number
  number: string
  description: string
  serialNumber: string | null
  note: string | null
  bin: { id: number; code: string; store: string } | null
  job: { id: number; number: number } | null
  machine: { id: number; says: string } | null
  keptAt: Date
}

export interface DepositRow {
  id: number
  partId: number
  number: string
  description: string
  supplier: { id: number; name: string }
  order: { id: number; number: number } | null
  openedAt: Date
  owedMinor: number
  dueOn: string | null
  urgency: DepositUrgency
  /** The old unit that would go back for it, or that did. */
  unit: OldUnitRow | null
  /** The note that it went back on. */
  sent: { noteId: number; number: number } | null
}

export interface SupplierOwes {
  id: number
  name: string
  pieces: number
  owedMinor: number
  /** Of it, what went back and is not answered. */
  sentMinor: number
  overdueMinor: number
  deposits: DepositRow[]
}

const UNIT = {
  part: { select: { number: true, description: true } },
  bin: { include: { store: { select: { name: true } } } },
  job: { select: { id: true, number: true } },
  machine: { select: { id: true, fleetNumber: true, name: true } },
} as const

type UnitRead = Awaited<ReturnType<typeof unitsRead>>[number]

function unitsRead(where: { state?: { in: string[] }; binId?: number; partId?: number }) {
  return database().oldUnit.findMany({ where, include: { ...UNIT, returnNote: true }, orderBy: { id: 'asc' } })
}

function unitRow(unit: Omit<UnitRead, 'returnNote'>): OldUnitRow {
  const { id, partId, part, serialNumber, note, bin, job, machine, keptAt } = unit
  return {
    id,
    partId,
    number: part.number,
    description: part.description,
    serialNumber,
    note,
    bin: bin && { id: bin.id, code: bin.code, store: bin.store.name },
    job,
    machine: machine && { id: machine.id, says: `${machine.fleetNumber} ${machine.name}` },
    keptAt,
  }
}

/**
 * Everything that is owed for old units, by supplier and due first; old units that are kept and have no deposit stand apart.
 * `today` is a calendar day.
 */
export async function depositsOwed(
  today: string,
  partId?: number,
): Promise<{ suppliers: SupplierOwes[]; without: OldUnitRow[]; owedMinor: number }> {
  const deposits = await database().deposit.findMany({
    where: { owedMinor: { gt: 0 }, ...(partId === undefined ? {} : { partId }) },
    include: {
      part: { select: { number: true, description: true } },
      supplier: { select: { id: true, name: true } },
      orderLine: { select: { order: { select: { id: true, number: true } } } },
    },
  })
  const units = await unitsRead({ state: { in: ['kept', 'sent'] }, ...(partId === undefined ? {} : { partId }) })
  const wentBack = new Map(units.flatMap((unit) => (unit.depositId === null ? [] : [[unit.depositId, unit] as const])))
  const pairs = depositPairs({
    deposits: deposits.map((one) => ({ ...one, unitId: wentBack.get(one.id)?.id ?? null })),
    units: units.map((unit) => ({ ...unit, state: unit.state as UnitState })),
  })
  const kept = new Map(units.map((unit) => [pairs.get(unit.id), unit]))
  const bySupplier = new Map<number, SupplierOwes>()
  for (const one of deposits.sort(depositOrder)) {
    const urgency = depositUrgency(one.dueOn, today)
    const back = wentBack.get(one.id)
    const unit = back ?? kept.get(one.id)
    const owes = bySupplier.get(one.supplierId) ?? {
      ...one.supplier,
      pieces: 0,
      owedMinor: 0,
      sentMinor: 0,
      overdueMinor: 0,
      deposits: [],
    }
    bySupplier.set(one.supplierId, owes)
    owes.pieces += 1
    owes.owedMinor += one.owedMinor
    if (back) owes.sentMinor += one.owedMinor
    else if (urgency === 'overdue') owes.overdueMinor += one.owedMinor
    owes.deposits.push({
      id: one.id,
      partId: one.partId,
      number: one.part.number,
      description: one.part.description,
      supplier: one.supplier,
      order: one.orderLine?.order ?? null,
      openedAt: one.openedAt,
      owedMinor: one.owedMinor,
      dueOn: one.dueOn,
      urgency,
      unit: unit ? unitRow(unit) : null,
      sent: back?.returnNote ? { noteId: back.returnNote.id, number: back.returnNote.number } : null,
    })
  }
  // Who has something due first stands first; what went back no longer presses.
  const first = (owes: SupplierOwes) => owes.deposits.find((one) => one.sent === null) ?? owes.deposits.at(-1)!
  const suppliers = [...bySupplier.values()].sort((a, b) => depositOrder(first(a), first(b)))
  return {
    suppliers,
    without: units.filter((unit) => unit.state === 'kept' && !pairs.has(unit.id)).map(unitRow),
    owedMinor: suppliers.reduce((sum, owes) => sum + owes.owedMinor, 0),
  }
}

/** How many deposits are overdue or fall due within the fortnight, whose old unit did not go back yet. */
export async function depositsPressing(today: string): Promise<{ overdue: number; soon: number }> {
  const { suppliers } = await depositsOwed(today)
  const open = suppliers.flatMap((owes) => owes.deposits).filter((one) => one.sent === null)
  const count = (urgency: DepositUrgency) => open.filter((one) => one.urgency === urgency).length
  return { overdue: count('overdue'), soon: count('soon') }
}

export async function oldUnitsInBin(binId: number): Promise<OldUnitRow[]> {
  return (await unitsRead({ binId })).map(unitRow)
}

/** The last return notes, newest first, with how many of their units are not answered. */
export async function returnNotes(take = 20) {
  const notes = await database().returnNote.findMany({
    include: { supplier: { select: { name: true } }, units: { select: { state: true } } },
    orderBy: { number: 'desc' },
    take,
  })
  return notes.map(({ id, number, supplier, sentAt, units }) => ({
    id,
    number,
    supplier: supplier.name,
    sentAt,
    units: units.length,
    open: units.filter((unit) => unit.state === 'sent').length,
  }))
}

/** One return note as it is printed and answered. Refuses with 'deposit/no-such-note'. */
export async function returnNoteRead(noteId: number) {
  const db = database()
  const note = await db.returnNote.findUnique({
    where: { id: noteId },
    include: {
      supplier: true,
      units: {
        include: {
          ...UNIT,
          events: { orderBy: { id: 'desc' } },
          deposit: { include: { events: true, orderLine: { select: { order: { select: { number: true } } } } } },
        },
        orderBy: { id: 'asc' },
      },
    },
  })
  if (!note) throw new Refusal('deposit/no-such-note')
  const offers = await db.offer.findMany({
    where: { supplierId: note.supplierId, partId: { in: note.units.map((unit) => unit.partId) } },
    select: { partId: true, supplierNumber: true },
  })
  const theirs = new Map(offers.map((offer) => [offer.partId, offer.supplierNumber]))
  const names = await personNames(db as unknown as Tx, [note.personId])
  return {
    id: note.id,
    number: note.number,
    supplier: note.supplier,
    sentAt: note.sentAt,
    sentBy: names(note.personId),
    words: note.words,
    units: note.units.map((unit) => {
      const sum = (kind: string) =>
        (unit.deposit?.events ?? []).reduce((all, event) => (event.kind === kind ? all - event.amountMinor : all), 0)
      return {
        ...unitRow(unit),
        state: unit.state as UnitState,
        supplierNumber: theirs.get(unit.partId) ?? null,
        order: unit.deposit?.orderLine?.order.number ?? null,
        depositMinor: unit.deposit?.amountMinor ?? 0,
        owedMinor: unit.deposit?.owedMinor ?? 0,
        dueOn: unit.deposit?.dueOn ?? null,
        creditedMinor: sum('credited'),
        lostMinor: sum('lost'),
        words: unit.events[0]?.words ?? null,
      }
    }),
  }
}

export interface SettledLine {
  id: number
  kind: 'credited' | 'lost' | 'reversed'
  amountMinor: number
  words: string | null
  at: Date
  number: string
  description: string
  partId: number
  supplier: string
}

/** What was credited and lost of deposits, newest first. */
export async function depositsSettled(take = 20): Promise<SettledLine[]> {
  const rows = await database().depositEvent.findMany({
    where: { kind: { in: ['credited', 'lost', 'reversed'] }, depositId: { not: null } },
    include: { deposit: { include: { part: true, supplier: { select: { name: true } } } } },
    orderBy: { id: 'desc' },
    take,
  })
  return rows.map((row) => ({
    id: row.id,
    kind: row.kind as SettledLine['kind'],
    amountMinor: 0 - row.amountMinor,
    words: row.words,
    at: row.at,
    number: row.deposit!.part.number,
    description: row.deposit!.part.description,
    partId: row.deposit!.partId,
    supplier: row.deposit!.supplier.name,
  }))
}
