import { moneyFormat } from '../measure/money.ts'
import { quantityScale } from '../measure/quantity.ts'
import { must } from '../must.ts'
import { Refusal } from '../refusal.ts'
import { settingsRead } from '../settings.ts'
import { booksAtCut, type CountState, countJudge } from '../stock/count.ts'
import { type CountReason, countReasonGiven, countReasonSays } from '../stock/count-reasons.ts'
import { COUNT_SETTINGS, type CountSettings } from '../stock/count-settings.ts'
import { movementValue } from '../value/moving-average.ts'
import type { Tx } from './client.ts'
import {
  type CountAsked,
  type CountFacts,
  countFacts,
  countKey,
  type EarlierCount,
  type FactsFound,
  ledgerNow,
  type Moved,
} from './count-facts.ts'
import { countSettings } from './count-settings.ts'
import { countsPlace } from './counts-place.ts'
import type { Reader } from './exchange-rows.ts'
import type { WriteContext } from './transaction.ts'

/** What was counted of one part in one bin. */
export interface CountGiven extends CountAsked {
  counted: number
  /** The last movement that had happened when they counted; null where nobody said. */
  cutId: number | null
  reasonCode: CountReason | null
  words: string
  sheetLine?: string
}

/** Why a count cannot be judged: something moved, it is not the counter's turn, or more has gone since than was counted. */
export type CountHeldUp =
  | { why: 'unknown' }
  | { why: 'moved'; moved: Moved[] }
  | { why: 'other-person' }
  | { why: 'below'; moved: Moved[] }

export interface CountJudged {
  given: CountGiven
  state: Exclude<CountState, 'sent-back'>
  cutId: number
  books: number
  onHand: number
  valueMinor: number
  /** The open count that this one follows. */
  follows: EarlierCount | null
  /** Only the reason was missing on `follows`: it gets it, and no count is added. */
  onlyReason: boolean
}

export type CountOutcome = CountJudged | CountHeldUp

/** What the difference is worth at the average cost of the part. */
function differenceValue({ pool, costMinor, unit }: CountFacts, difference: number): number {
  if (difference === 0) return 0
  const fact = { kind: 'count-difference', quantity: difference, costMinor, reversedMinor: null }
  return movementValue(pool, fact, quantityScale(unit))
}

function judged(
  given: CountGiven,
  facts: CountFacts | undefined,
  settings: CountSettings,
  personId: string,
): CountOutcome {
  if (!facts) return { why: 'unknown' }
  if (given.cutId === null && facts.moved.length > 0) return { why: 'moved', moved: facts.moved }
  const cutId = Math.max(given.asOf, given.cutId ?? given.asOf)
  const books = booksAtCut(facts.onHand, facts.moved, cutId)
  const difference = given.counted - books
  if (facts.onHand + difference < 0) return { why: 'below', moved: facts.moved.filter(({ id }) => id > cutId) }
  const follows = facts.earlier.findLast(({ isOpen }) => isOpen) ?? null
  const onlyReason = follows?.state === 'reason' && follows.counted === given.counted && follows.books === books
  if (settings.recountByOther && follows?.state === 'recount' && follows.personId === personId)
    return { why: 'other-person' }
  const valueMinor = differenceValue(facts, difference)
  const found = {
    books,
    counted: given.counted,
    valueMinor,
    earlier: facts.earlier.map((one) => one.counted - one.books),
    hasReason: countReasonGiven(given.reasonCode, given.words),
  }
  const state = countJudge(found, settings)
  return { given, state, cutId, books, onHand: facts.onHand, valueMinor, follows, onlyReason }
}

/** Holds counts against the books, in the order given; writes nothing. */
export async function countsJudge(
  reader: Reader,
  personId: string,
  lines: readonly CountGiven[],
): Promise<{ outcomes: CountOutcome[]; found: FactsFound }> {
  const settings = await countSettings(reader)
  const found = await countFacts(reader, lines)
  return { outcomes: lines.map((line) => judged(line, found.of.get(countKey(line)), settings, personId)), found }
}

/**
 * Keeps what was counted, and books the differences that need nothing more. In the transaction in which it was judged. Each
 * part and bin stands in `lines` once. A line whose reason alone was missing gets it; every other count is a line of its own.
 */
export async function countsKeep(
  tx: Tx,
  context: WriteContext,
  lines: readonly CountJudged[],
  ledgerId: number,
): Promise<void> {
  const booked = lines.filter((line) => line.state === 'booked')
  await countsPlace(
    tx,
    context,
    booked.map(({ given, books, onHand }) => ({
      partId: given.partId,
      binId: given.binId,
      onHand,
      counted: onHand + given.counted - books,
      reason: countReasonSays(given.reasonCode!, given.words),
    })),
  )
  const movements = new Map<string, number>()
  if (booked.length > 0)
    for (const { id, partId, binId } of await tx.movement.findMany({
      where: { writeKey: context.key, kind: 'count-difference' },
      select: { id: true, partId: true, binId: true },
    }))
      movements.set(countKey({ partId, binId }), id)
  for (const line of lines) {
    const { given, follows, state, cutId, books, valueMinor, onlyReason } = line
    const movementId = state === 'booked' ? (movements.get(countKey(given)) ?? null) : null
    must((state === 'booked') === (movementId !== null), 'a booked count has its movement, and no other has one')
    const now = {
      state,
      reasonCode: given.reasonCode,
      words: given.words === '' ? null : given.words,
      movementId,
      cutId,
      ledgerId,
      books,
      valueMinor,
    }
    if (onlyReason) {
      await tx.countLine.update({ where: { id: follows!.id }, data: now })
      continue
    }
    const made = await tx.countLine.create({
      data: {
        ...now,
        partId: given.partId,
        binId: given.binId,
        counted: given.counted,
        round: (follows?.round ?? 0) + 1,
        firstId: follows ? (follows.firstId ?? follows.id) : null,
        personId: context.personId,
        at: context.now,
        sheetLine: given.sheetLine ?? null,
      },
      select: { id: true },
    })
    if (follows) await tx.countLine.update({ where: { id: follows.id }, data: { followedById: made.id } })
  }
}

/**
 * Keeps and books a count that was held against the balance of this transaction by whoever calls.
 * @throws Refusal stock/count-for-approval when its difference is worth more than may be booked at once.
 */
export async function countDirect(
  tx: Tx,
  context: WriteContext,
  { partId, binId, counted, reason }: { partId: number; binId: number; counted: number; reason: string },
): Promise<{ movementId: number | null; balanceAfter: number }> {
  const asOf = await ledgerNow(tx)
  const given: CountGiven = { partId, binId, counted, asOf, cutId: null, reasonCode: 'other', words: reason }
  const { approveMinor } = await countSettings(tx)
  const facts = (await countFacts(tx, [given])).of.get(countKey(given))
  const outcome = judged(given, facts, { ...COUNT_SETTINGS, approveMinor }, context.personId)
  must('state' in outcome, 'nothing moves between two statements of a transaction')
  if (Math.abs(outcome.valueMinor) > approveMinor)
    throw new Refusal('stock/count-for-approval', {
      value: moneyFormat(Math.abs(outcome.valueMinor), settingsRead().currency),
      limit: moneyFormat(approveMinor, settingsRead().currency),
    })
  // Whoever counts in one step has nobody to ask for a second count: what need not be approved is booked.
  const line: CountJudged = outcome.state === 'right' ? outcome : { ...outcome, state: 'booked', onlyReason: false }
  await countsKeep(tx, context, [line], asOf)
  const movement = await tx.movement.findFirst({
    where: { writeKey: context.key, partId, binId, kind: 'count-difference' },
    select: { id: true },
  })
  return { movementId: movement?.id ?? null, balanceAfter: counted }
}
