import fc from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { stockCount, stockIssue, stockReceive, stockReverse, stockTransfer } from '../../lib/db/stock.ts'
import type { WriteContext } from '../../lib/db/transaction.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { ledgerBalances, ledgerFaults } from '../../lib/stock/ledger.ts'
import type { MovementFact, MovementKind } from '../../lib/stock/movement.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { type Act, type Outcome, ShelfModel } from './shelf-model.ts'

useWorkshop()
let person = ''
beforeAll(async () => {
  person = await aPerson('Nell Farrow')
})

const part = fc.nat(1)
const bin = fc.nat(2)
// Mostly a few pieces, so that bins run empty and the last one is fought for.
const quantity = fc.oneof({ weight: 4, arbitrary: fc.integer({ min: 1, max: 3 }) }, fc.integer({ min: 4, max: 40 }))
const act: fc.Arbitrary<Act> = fc.oneof(
  { weight: 4, arbitrary: fc.record({ verb: fc.constant('receive' as const), part, bin, quantity }) },
  { weight: 6, arbitrary: fc.record({ verb: fc.constant('issue' as const), part, bin, quantity }) },
  {
    weight: 2,
    arbitrary: fc.record({
      verb: fc.constant('count' as const),
      part,
      bin,
      counted: fc.nat(6),
      late: fc.integer({ min: 0, max: 4 }).map((dice) => dice === 0),
    }),
  },
  { weight: 3, arbitrary: fc.record({ verb: fc.constant('transfer' as const), part, bin, to: bin, quantity }) },
  { weight: 4, arbitrary: fc.record({ verb: fc.constant('reverse' as const), nth: fc.nat(60) }) },
  { weight: 2, arbitrary: fc.record({ verb: fc.constant('again' as const), nth: fc.nat(60) }) },
)

/** One run at the real shelf: parts and bins of its own in the file's database. */
class RealShelf {
  readonly parts: number[]
  readonly bins: number[]
  /** Movement ids in the order of the model's lines. */
  readonly movements: number[] = []

  constructor(parts: number[], bins: number[]) {
    this.parts = parts
    this.bins = bins
  }

  async do(
    context: WriteContext,
    act: Exclude<Act, { verb: 'again' }>,
    onHand: number,
    named: number | null,
  ): Promise<unknown> {
    if (act.verb === 'reverse')
      return stockReverse(context, {
        movementId: named === null ? 999_999 : this.movements[named]!,
        reason: 'booked by mistake',
      })
    const partId = this.parts[act.part]!
    const binId = this.bins[act.bin]!
    if (act.verb === 'receive') return stockReceive(context, { partId, binId, quantity: act.quantity })
    if (act.verb === 'issue') return stockIssue(context, { partId, binId, quantity: act.quantity, reason: 'yard use' })
    if (act.verb === 'count')
      return stockCount(context, {
        partId,
        binId,
        counted: act.counted,
        expected: onHand + (act.late ? 1 : 0),
        reason: 'winter count',
      })
    return stockTransfer(context, { partId, fromBinId: binId, toBinId: this.bins[act.to]!, quantity: act.quantity })
  }

  async ledger(): Promise<MovementFact[]> {
    const rows = await database().movement.findMany({ where: { partId: { in: this.parts } }, orderBy: { id: 'asc' } })
    return rows.map((row) => ({ ...row, kind: row.kind as MovementKind }))
  }
}

type Placed = { movementId: number | null; balanceAfter: number }

function placedIn(answer: unknown): Placed[] {
  const both = answer as { out?: Placed; in?: Placed }
  return both.out && both.in ? [both.out, both.in] : [answer as Placed]
}

async function outcomeOf(answer: Promise<unknown>): Promise<{ outcome: Outcome; placed: Placed[] }> {
  try {
    const placed = placedIn(await answer).filter((one) => one.movementId !== null)
    return { outcome: { left: placed.map((one) => one.balanceAfter) }, placed }
  } catch (error) {
    if (!isRefusal(error)) throw error
    return { outcome: { refused: error.code }, placed: [] }
  }
}

test('whatever is received, taken, moved, counted, reversed or sent twice: the shelf is the sum of its movements and never below zero', async () => {
  const answered = new Map<string, number>()
  await fc.assert(
    fc.asyncProperty(fc.array(act, { minLength: 25, maxLength: 25 }), async (acts) => {
      const model = new ShelfModel()
      const shelf = new RealShelf([await aPart(), await aPart()], [await aBin(), await aBin(), await aBin()])
      const sent: { run: () => Promise<unknown>; outcome: Outcome }[] = []
      for (const one of acts) {
        if (one.verb === 'again') {
          const before = sent[one.nth % Math.max(1, sent.length)]
          // A refusal leaves its key free, so only what was acknowledged must be answered alike.
          if (!before || 'refused' in before.outcome) continue
          expect((await outcomeOf(before.run())).outcome).toEqual(before.outcome)
          answered.set('again', (answered.get('again') ?? 0) + 1)
          continue
        }
        const onHand = one.verb === 'reverse' ? 0 : model.onHand(one.part, one.bin)
        const named = one.verb === 'reverse' ? model.named(one.nth) : null
        const expected = model.judge(one)
        const context = asWriter(person)
        const run = () => shelf.do(context, one, onHand, named)
        const { outcome, placed } = await outcomeOf(run())
        expect({ act: one, outcome }).toEqual({ act: one, outcome: expected })
        shelf.movements.push(...placed.map((line) => line.movementId!))
        sent.push({ run, outcome })
        const name = `${one.verb} ${'refused' in outcome ? outcome.refused : 'done'}`
        answered.set(name, (answered.get(name) ?? 0) + 1)
      }
      const ledger = await shelf.ledger()
      expect(ledger.map((line) => line.id)).toEqual(shelf.movements)
      expect(ledgerFaults(ledger)).toEqual([])
      const sums = ledgerBalances(ledger)
      const balances = await database().balance.findMany({ where: { partId: { in: shelf.parts } } })
      expect(new Map(balances.map((row) => [`${row.partId}:${row.binId}`, row.quantity]))).toEqual(sums)
      for (const [p, partId] of shelf.parts.entries())
        for (const [b, binId] of shelf.bins.entries())
          expect(sums.get(`${partId}:${binId}`) ?? 0).toBe(model.onHand(p, b))
    }),
    { seed: 41, numRuns: 40 },
  )
  // Every kind of answer came up, so none of the judgements above is idle.
  for (const name of [
    'receive done',
    'issue done',
    'issue stock/not-enough',
    'count done',
    'count stock/moved-since',
    'transfer done',
    'transfer input/invalid',
    'transfer stock/not-enough',
    'reverse done',
    'reverse stock/already-reversed',
    'reverse stock/not-reversible',
    'reverse stock/not-enough',
    'again',
  ])
    expect([name, answered.get(name) ?? 0]).not.toEqual([name, 0])
}, 300_000)
