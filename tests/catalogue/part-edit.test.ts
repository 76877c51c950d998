import { beforeAll, describe, expect, test } from 'vitest'
import { orderListWhole, orderPlace } from '../../lib/db/buying.ts'
import { database } from '../../lib/db/client.ts'
import { kitContentSet, kitHintsFor, partKits } from '../../lib/db/kit.ts'
import { partCard } from '../../lib/db/part.ts'
import { partChange, partContinue, partCreate, partDiscontinue, partToEdit } from '../../lib/db/part-edit.ts'
import { partSearch } from '../../lib/db/part-search.ts'
import { stockReceive, stockSetLevel } from '../../lib/db/stock.ts'
import { supersede, supersessionChain, supersessionChange, supersessionRemove } from '../../lib/db/supersession.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { isRefusal, type Refusal } from '../../lib/refusal.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let storekeeper: string
let bin: number
let supplierId: number

beforeAll(async () => {
  storekeeper = await aPerson('Nell Harrow')
  bin = await aBin('A-1')
  supplierId = await inTransaction(
    async (tx) =>
      (await tx.supplier.create({ data: { name: 'Harrow Supplies', nameKey: 'harrow supplies', leadTimeDays: 3 } })).id,
  )
})

const me = () => asWriter(storekeeper)
const offer = (partId: number, priceMinor: number) =>
  inTransaction((tx) => tx.offer.create({ data: { supplierId, partId, priceMinor } }))
const belt = {
  maker: 'Thornley & Pike',
  number: 'TP 500-1',
  description: 'Drive belt',
  partClass: 'v-belt',
  unit: 'each',
  criticality: 'vital',
} as const

async function refused(run: Promise<unknown>): Promise<Refusal> {
  const error: unknown = await run.then(
    () => null,
    (caught: unknown) => caught,
  )
  if (!isRefusal(error)) throw error ?? new Error('it was not refused')
  return error
}

describe('a part entered by hand', () => {
  test('is found by its number at once, and its number is taken however it is written', async () => {
    const { partId } = await partCreate(me(), belt)
    expect((await partSearch('tp5001')).map((hit) => hit.id)).toContain(partId)
    const error = await refused(partCreate(me(), { ...belt, number: 'tp-5001', maker: 'THORNLEY & PIKE' }))
    expect(error.code).toBe('catalogue/part-exists')
  })

  test('keeps its unit from the first movement on; its name may be put right', async () => {
    const { partId } = await partCreate(me(), { ...belt, number: 'TP-501' })
    await partChange(me(), { partId, ...belt, number: 'TP-501', unit: 'metre' })
    expect((await partCard(partId)).unit).toBe('metre')
    await stockReceive(me(), { partId, binId: bin, quantity: 1500 })
    expect((await partToEdit(partId)).unitLocked).toBe(true)
    const error = await refused(partChange(me(), { partId, ...belt, number: 'TP-501', unit: 'each' }))
    expect([error.code, error.fields.unit]).toEqual(['catalogue/unit-locked', 'stays metre'])
    await partChange(me(), { partId, ...belt, number: 'TP-501', unit: 'metre', description: 'Flat belting' })
    expect((await partCard(partId)).description).toBe('Flat belting')
  })
})

describe('what replaces a part', () => {
  test('is entered by number; the loop is refused and spelled out, and the chain says what to order and how many', async () => {
    const [a, b, c] = [
      await aPart({ number: 'RX-1' }),
      await aPart({ number: 'RX-2' }),
      await aPart({ number: 'RX-3' }),
    ]
    const link = { ratio: 1, interchange: 'one-way' as const }
    await supersede(me(), { partId: a, number: 'rx 2', ...link, ratio: 2 })
    await supersede(me(), { partId: b, number: 'RX-3', ...link, ratio: 3 })
    const error = await refused(supersede(me(), { partId: c, number: 'RX-1', ...link }))
    expect(error.happened).toBe('That would make a loop: RX-3 -> RX-1 -> RX-2 -> RX-3.')
    expect((await refused(supersede(me(), { partId: c, number: 'RX-3', ...link }))).code).toBe('catalogue/same-part')
    expect((await refused(supersede(me(), { partId: a, number: 'RX-2', ...link }))).code).toBe('catalogue/known-link')
    await stockReceive(me(), { partId: a, binId: bin, quantity: 4 })

    const chain = await supersessionChain(b)
    expect(chain.steps.map((step) => [step.number, step.ratioToEnd, step.stock.onHand])).toEqual([
      ['RX-1', 6, 4],
      ['RX-2', 3, 0],
      ['RX-3', 1, 0],
    ])
    expect(chain.at).toBe(1)

    const [own] = chain.own
    await supersessionChange(me(), { linkId: own!.id, ratio: 1, interchange: 'both-ways', note: 'Same part, new bag' })
    expect((await supersessionChain(a)).steps[2]!.link).toMatchObject({ ratio: 1, interchange: 'both-ways' })
    await supersessionRemove(me(), { linkId: own!.id })
    expect((await supersessionChain(a)).steps.map((step) => step.number)).toEqual(['RX-1', 'RX-2'])
  })

  test('a number of two makers is not guessed', async () => {
    const [a] = [
      await aPart({ number: 'QQ-9' }),
      await aPart({ number: 'QQ-8' }),
      await aPart({ number: 'QQ-8', maker: 'Harrow' }),
    ]
    const typed = { partId: a, number: 'QQ-8', ratio: 1, interchange: 'one-way' as const }
    expect((await refused(supersede(me(), typed))).code).toBe('catalogue/which-part')
    await supersede(me(), { ...typed, maker: 'harrow' })
    expect((await supersessionChain(a)).steps).toHaveLength(2)
  })
})

describe('a part that is no longer made', () => {
  test('is wanted but never proposed, cannot be ordered, and comes back onto the list when it is made again', async () => {
    const partId = await aPart({ number: 'NM-1' })
    await offer(partId, 500)
    await stockSetLevel(me(), { partId, reorderPoint: 2, orderUpTo: 4, reason: 'set for the test' })
    await partDiscontinue(me(), { partId, on: '2026-08-01', note: 'maker’s letter' })
    const listed = async () => {
      const { groups, refused: gone } = await orderListWhole()
      const of = (lines: { partId: number }[]) => lines.some((line) => line.partId === partId)
      return [of(groups.flatMap((group) => group.lines)), of(gone)]
    }
    expect(await listed()).toEqual([false, true])
    const error = await refused(orderPlace(me(), { supplierId, lines: [{ partId, quantity: 4 }] }))
    expect([error.code, error.happened]).toEqual(['buying/discontinued', 'NM-1 is no longer made: maker’s letter'])
    await partContinue(me(), { partId })
    expect(await listed()).toEqual([true, false])
  })

  test('that another part replaces is ordered as that one, and the line says so', async () => {
    const [old, fresh] = [await aPart({ number: 'NM-2' }), await aPart({ number: 'NM-3' })]
    await offer(fresh, 700)
    await stockSetLevel(me(), { partId: old, reorderPoint: 2, orderUpTo: 4, reason: 'set for the test' })
    await partDiscontinue(me(), { partId: old, on: '2026-08-01', note: 'maker’s letter' })
    await supersede(me(), { partId: old, number: 'NM-3', ratio: 1, interchange: 'one-way' })
    const { groups, refused: gone } = await orderListWhole()
    const line = groups.flatMap((group) => group.lines).find((one) => one.partId === fresh)
    expect(line?.reason).toContain('replaces NM-2 (no longer made)')
    expect(gone.map((one) => one.number)).not.toContain('NM-2')
  })
})

describe('kits', () => {
  test('what lies inside a kit is never counted as loose, and half of its parts wanted make a hint with both sums', async () => {
    const kit = await aPart({ number: 'KX-K', description: 'Kit, filters' })
    const parts = [await aPart({ number: 'KX-1' }), await aPart({ number: 'KX-2' }), await aPart({ number: 'KX-3' })]
    for (const [at, id] of parts.entries()) {
      await kitContentSet(me(), { kitId: kit, number: `KX-${at + 1}`, quantity: '1' })
      await offer(id, 1000 + at * 100)
    }
    await offer(kit, 2000)
    await stockReceive(me(), { partId: kit, binId: bin, quantity: 2 })
    expect(await partKits(parts[0]!)).toMatchObject({
      contents: [],
      inKits: [{ number: 'KX-K', onHand: 2, quantity: 1 }],
    })
    expect((await partCard(parts[0]!)).stock.onHand).toBe(0)
    const wanted = parts.slice(0, 2).map((partId) => ({ partId, quantity: 1 }))
    expect(await kitHintsFor(wanted)).toMatchObject([
      { kits: 1, singlyMinor: 2100, asKitMinor: 2000, onHand: 2, spare: [{ number: 'KX-3' }] },
    ])
    await partDiscontinue(me(), { partId: kit, on: '2026-08-01', note: 'not packed any more' })
    expect(await kitHintsFor(wanted)).toEqual([])
  })

  test('a kit does not hold itself, nor a kit that holds it', async () => {
    const [outer, inner] = [await aPart({ number: 'KY-1' }), await aPart({ number: 'KY-2' })]
    await kitContentSet(me(), { kitId: outer, number: 'KY-2', quantity: '2' })
    const itself = await refused(kitContentSet(me(), { kitId: outer, number: 'KY-1', quantity: '1' }))
    const back = await refused(kitContentSet(me(), { kitId: inner, number: 'KY-1', quantity: '1' }))
    expect([itself.code, back.code]).toEqual(['catalogue/same-part', 'catalogue/cycle'])
    expect(await database().kitContent.count({ where: { kitId: inner } })).toBe(0)
  })
})
