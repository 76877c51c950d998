import type { StockUnit } from '../measure/quantity.ts'
import { type Role, rolesFor } from '../people/role.ts'
import { Refusal } from '../refusal.ts'
import { booksAtCut } from '../stock/count.ts'
import { type CountReason, countReasonSays } from '../stock/count-reasons.ts'
import type { CountApproveInput, CountSendBackInput } from '../stock/schema.ts'
import { database, type Tx } from './client.ts'
import { countFacts, countKey } from './count-facts.ts'
import { countsPlace } from './counts-place.ts'
import { type WriteContext, write } from './transaction.ts'

export interface CountWaiting {
  id: number
  partId: number
  number: string
  description: string
  unit: StockUnit
  bin: string
  store: string
  books: number
  counted: number
  valueMinor: number
  round: number
  reason: string
  person: string
  at: Date
}

const shown = {
  part: { select: { number: true, description: true, unit: true } },
  bin: { select: { code: true, store: { select: { name: true } } } },
} as const

/** Differences that wait for approval, the dearest first. */
export async function countsWaiting(): Promise<CountWaiting[]> {
  const rows = await database().countLine.findMany({
    where: { state: 'waiting', followedById: null },
    include: shown,
    orderBy: { id: 'asc' },
  })
  const names = await personNames(rows.map((row) => row.personId))
  return rows
    .map(({ id, partId, part, bin, books, counted, valueMinor, round, reasonCode, words, personId, at }) => ({
      id,
      partId,
      number: part.number,
      description: part.description,
      unit: part.unit as StockUnit,
      bin: bin.code,
      store: bin.store.name,
      books,
      counted,
      valueMinor,
      round,
      reason: countReasonSays(reasonCode as CountReason, words ?? ''),
      person: names.get(personId) ?? 'somebody',
      at,
    }))
    .sort((a, b) => Math.abs(b.valueMinor) - Math.abs(a.valueMinor) || a.id - b.id)
}

export async function personNames(ids: readonly string[]): Promise<Map<string, string>> {
  const people = await database().person.findMany({ where: { id: { in: [...new Set(ids)] } } })
  return new Map(people.map(({ id, name }) => [id, name]))
}

export function countsWaitingCount(): Promise<number> {
  return database().countLine.count({ where: { state: 'waiting', followedById: null } })
}

async function waitingFind(tx: Tx, lineId: number) {
  const line = await tx.countLine.findUnique({ where: { id: lineId }, include: shown })
  if (line?.state !== 'waiting') throw new Refusal('stock/count-not-waiting')
  return line
}

/** Two pairs of eyes, where there are two: whoever counted approves only where nobody else who works here may. */
async function otherEyes(tx: Tx, personId: string): Promise<void> {
  const others = await tx.person.findMany({
    where: {
      active: true,
      NOT: { id: personId },
      roles: { some: { role: { in: rolesFor('stock.approve') as Role[] } } },
    },
    orderBy: { name: 'asc' },
  })
  if (others.length > 0) throw new Refusal('stock/count-own', { names: others.map((one) => one.name).join(' or ') })
}

/** Books a difference that waited, with what moved since left as it is. */
export function countApprove(context: WriteContext, input: CountApproveInput): Promise<{ movementId: number }> {
  return write(context, 'count.approve', input, async (tx) => {
    const line = await waitingFind(tx, input.lineId)
    if (line.personId === context.personId) await otherEyes(tx, context.personId)
    const { partId, binId, cutId, counted, books } = line
    const facts = (await countFacts(tx, [{ partId, binId, asOf: cutId }])).of.get(countKey(line))!
    const after = facts.onHand + counted - books
    if (booksAtCut(facts.onHand, facts.moved, cutId) !== books || after < 0)
      throw new Refusal('stock/count-overtaken', { part: `${line.part.number} in ${line.bin.code}` })
    const reason = countReasonSays(line.reasonCode as CountReason, line.words ?? '')
    await countsPlace(tx, context, [{ partId, binId, onHand: facts.onHand, counted: after, reason }])
    const movement = await tx.movement.findFirstOrThrow({
      where: { writeKey: context.key, kind: 'count-difference' },
      select: { id: true },
    })
    await tx.countLine.update({
      where: { id: line.id },
      data: {
        state: 'booked',
        movementId: movement.id,
        decidedById: context.personId,
        decidedAt: context.now,
        decidedWords: input.words || null,
      },
    })
    return { movementId: movement.id }
  })
}

/** Nothing is booked; the part is to be counted again in its bin. */
export function countSendBack(context: WriteContext, input: CountSendBackInput): Promise<null> {
  return write(context, 'count.send-back', input, async (tx) => {
    const line = await waitingFind(tx, input.lineId)
    await tx.countLine.update({
      where: { id: line.id },
      data: {
        state: 'sent-back',
        decidedById: context.personId,
        decidedAt: context.now,
        decidedWords: input.words,
      },
    })
    return null
  })
}
