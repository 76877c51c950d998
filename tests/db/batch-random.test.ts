import { beforeAll, expect, test } from 'vitest'
import { batchPartSet } from '../../lib/db/batch.ts'
import { database } from '../../lib/db/client.ts'
import { stockCount, stockIssue, stockReceive, stockReverse, stockScrap, stockTransfer } from '../../lib/db/stock.ts'
import { shelfChecks } from '../../lib/db/verify-shelf.ts'
import { randomInteger, randomPick, randomSeeded } from '../../lib/maths/random.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
const NOW = new Date('2027-02-10T09:00:00Z')
/** The earliest first, the first one expired; the plain model below knows nothing but this order. */
const BATCHES = [
  { batch: 'B0', useBy: '2027-02-09' },
  { batch: 'B1', useBy: '2027-02-10' },
  { batch: 'B2', useBy: '2027-05-31' },
  { batch: 'B3', useBy: '2028-01-31' },
]
const UNKNOWN = BATCHES.length
let keeper = ''
beforeAll(async () => {
  keeper = await aPerson('Tilda Rook')
})

type Bin = number[]

/** Takes from the bin in the order of the dates; null where that cannot be. */
function out(bin: Bin, wanted: number, withExpired: boolean): number[] | null {
  const gone = bin.map(() => 0)
  for (let at = withExpired ? 0 : 1; at < bin.length; at++) {
    gone[at] = Math.min(bin[at]!, wanted)
    wanted -= gone[at]!
  }
  return wanted > 0 ? null : gone
}

test('four hundred random bookings of a part in batches leave every batch where a plain model has it', async () => {
  const random = randomSeeded('batches')
  const by = () => asWriter(keeper, { now: NOW })
  const partId = await aPart({})
  await batchPartSet(by(), { partId, asksBatch: true, asksUseBy: true })
  const bins = [await aBin(), await aBin()]
  const model: Bin[] = bins.map(() => [...BATCHES.map(() => 0), 0])
  const issued: { movementId: number; bin: number; batch: number; quantity: number }[] = []
  const answers = new Map<string, number>()
  const tally = (name: string) => answers.set(name, (answers.get(name) ?? 0) + 1)
  /** Runs it and says whether it was refused; the model must have thought so too. */
  async function asThought(name: string, possible: boolean, run: () => Promise<unknown>): Promise<boolean> {
    const refused = await run().then(
      () => false,
      (error: unknown) => {
        if (!isRefusal(error)) throw error
        return true
      },
    )
    expect([name, refused]).toEqual([name, !possible])
    tally(`${name} ${possible ? 'done' : 'refused'}`)
    return possible
  }
  for (let step = 0; step < 400; step++) {
    const bin = randomInteger(random, 0, 1)
    const [binId, here] = [bins[bin]!, model[bin]!]
    const quantity = randomInteger(random, 1, 6)
    const all = here.reduce((sum, one) => sum + one, 0)
    const verb = randomPick(random, ['receive', 'receive', 'issue', 'issue', 'scrap', 'move', 'count', 'reverse'])
    if (verb === 'receive') {
      const at = randomInteger(random, 0, BATCHES.length - 1)
      await stockReceive(by(), { partId, binId, quantity, ...BATCHES[at]!, expiredKept: true })
      here[at]! += quantity
    } else if (verb === 'issue' || verb === 'scrap') {
      const gone = out(here, quantity, verb === 'scrap')
      const book = () =>
        verb === 'scrap'
          ? stockScrap(by(), { partId, binId, quantity, reason: 'dropped' })
          : stockIssue(by(), { partId, binId, quantity, reason: 'yard' })
      if (!(await asThought(verb, gone !== null, book))) continue
      for (const [at, went] of gone!.entries()) here[at]! -= went
      const last = gone!.findLastIndex((went) => went > 0)
      const { id } = await database().movement.findFirstOrThrow({ where: { partId }, orderBy: { id: 'desc' } })
      issued.push({ movementId: id, bin, batch: last, quantity: gone![last]! })
    } else if (verb === 'move') {
      const gone = out(here, quantity, true)
      const move = { partId, fromBinId: binId, toBinId: bins[1 - bin]!, quantity }
      if (!(await asThought(verb, gone !== null, () => stockTransfer(by(), move)))) continue
      for (const [at, went] of gone!.entries()) {
        here[at]! -= went
        model[1 - bin]![at]! += went
      }
    } else if (verb === 'count') {
      const counted = Math.max(0, all + randomInteger(random, -3, 3))
      await stockCount(by(), { partId, binId, counted, expected: all, reason: 'winter count' })
      const lying = here.flatMap((one, at) => (one > 0 ? [at] : []))
      if (counted > all) here[lying.length === 1 ? lying[0]! : UNKNOWN]! += counted - all
      else for (const [at, went] of out(here, all - counted, true)!.entries()) here[at]! -= went
    } else {
      const back = issued.pop()
      if (!back) continue
      await stockReverse(by(), { movementId: back.movementId, reason: 'booked by mistake' })
      model[back.bin]![back.batch]! += back.quantity
    }
    const rows = await database().batchBalance.findMany({ where: { batch: { partId } }, include: { batch: true } })
    const codes = [...BATCHES.map(({ batch }) => batch), 'Not known']
    expect(
      bins.map((id) =>
        codes.map((code) => rows.find((row) => row.binId === id && row.batch.code === code)?.quantity ?? 0),
      ),
      `after step ${step}, ${verb}`,
    ).toEqual(model)
  }
  for (const name of ['issue done', 'issue refused', 'scrap done', 'move done', 'move refused'])
    expect([name, answers.get(name) ?? 0]).not.toEqual([name, 0])
  expect((await shelfChecks()).filter((check) => !check.ok)).toEqual([])
}, 120_000)
