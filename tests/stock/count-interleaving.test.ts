import fc from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { ledgerNow } from '../../lib/db/count-facts.ts'
import { countSheetSave } from '../../lib/db/count-sheet.ts'
import { stockIssue, stockReceive } from '../../lib/db/stock.ts'
import { countsVerify } from '../../lib/db/verify-counts.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let nell: string
beforeAll(async () => {
  nell = await aPerson('Nell Arkwood')
})

/** What somebody does at the bin while the sheet is open; `counts` looks at the shelf and writes down what lies there. */
const step = fc.oneof(
  fc.record({ does: fc.constant('moves' as const), quantity: fc.integer({ min: -12, max: 12 }) }),
  fc.record({ does: fc.constant('counts' as const), quantity: fc.constant(0) }),
)

test('whoever counts when, and whatever moves meanwhile, the books end at what lies there, booked once', async () => {
  const play = fc.record({
    books: fc.integer({ min: 20, max: 60 }),
    error: fc.integer({ min: -15, max: 15 }),
    steps: fc.array(step, { minLength: 1, maxLength: 9 }),
  })
  await fc.assert(
    fc.asyncProperty(play, async ({ books, error, steps }) => {
      const [binId, partId] = [await aBin(), await aPart()]
      await stockReceive(asWriter(nell), { partId, binId, quantity: books })
      // Something went wrong before anybody counted: the shelf is not what the books say.
      let [shelf, ledger] = [books + error, books]
      const asOf = await ledgerNow(database())
      const sheets: { counted: number; cutId: number }[] = []
      for (const { does, quantity: wish } of [...steps, { does: 'counts' as const, quantity: 0 }]) {
        if (does === 'counts') {
          sheets.push({ counted: shelf, cutId: await ledgerNow(database()) })
          continue
        }
        const quantity = Math.max(wish, -shelf, -ledger)
        if (quantity > 0) await stockReceive(asWriter(nell), { partId, binId, quantity })
        if (quantity < 0) await stockIssue(asWriter(nell), { partId, binId, quantity: -quantity, reason: 'yard' })
        shelf += quantity
        ledger += quantity
      }
      // The sheets come in late and in no order; the last one once more, as the second count of a large difference.
      for (const sheet of [...sheets.reverse(), sheets[0]!])
        await countSheetSave(asWriter(nell), [
          { binId, partId, asOf, ...sheet, reasonCode: 'other', words: 'nobody knows' },
        ])
      const balance = await database().balance.findUniqueOrThrow({ where: { partId_binId: { partId, binId } } })
      expect(balance.quantity).toBe(shelf)
      const booked = await database().movement.findMany({ where: { binId, kind: 'count-difference' } })
      expect(booked.map(({ quantity }) => quantity)).toEqual(error === 0 ? [] : [error])
    }),
    { numRuns: 25, seed: 20260214 },
  )
  expect(await countsVerify()).toEqual([])
}, 120_000)
