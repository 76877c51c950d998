import fc from 'fast-check'
import { beforeAll, describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { exchangeImport, exchangeRehearse } from '../../lib/db/exchange.ts'
import type { Kind } from '../../lib/exchange/columns.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { bytes } from './files.ts'

/**
 * Lists are written many rows a statement. Here each of them is held against the plain way, row by row in a Map: the same rows
 * are refused, the same stands in the database afterwards, and a rehearsal says beforehand what the import then does.
 */
useWorkshop()
beforeAll(async () => {
  await aPerson('Wilf')
})

interface Told {
  refused: number[]
  counts: { new: number; changed: number; same: number }
}

/** What the rehearsal said; the import did the same, or was refused where the rehearsal refused and changed nothing. */
async function broughtIn(kind: Kind, header: string, rows: readonly string[]): Promise<Told> {
  const input = { kind, bytes: bytes(`${header}\n${rows.join('\n')}\n`), file: 'list.csv' }
  const context = asWriter('person-wilf')
  const { refusals, counts } = await exchangeRehearse(context, input)
  const refused = [...new Set(refusals.map(({ row }) => row - 2))]
  const done = await exchangeImport(context, input).catch((error: unknown) => {
    if (!isRefusal(error)) throw error
    return null
  })
  expect(done === null, 'the import is refused where its rehearsal was').toBe(refused.length > 0)
  if (done) expect(done.counts).toEqual(counts)
  return { refused, counts }
}

let group = 0
/** Six parts of their own for each case. */
async function sixParts(): Promise<{ number(at: number): string; at: Map<number, number> }> {
  group += 1
  const number = (at: number) => `G${group}-${at}`
  const at = new Map<number, number>()
  for (const one of [0, 1, 2, 3, 4, 5]) at.set(await aPart({ number: number(one) }), one)
  return { number, at }
}

const part = fc.nat(5)

/** Applies rows to what stands, in their order; the rows refused, or the counts. */
function plainly<Row extends { from: number; to: number }, Kept>(
  before: ReadonlyMap<string, Kept>,
  rows: readonly Row[],
  loops: boolean,
  after: (row: Row, kept: Kept | undefined) => Kept,
): { told: Told; stands: Map<string, Kept> } {
  const stands = new Map(before)
  const told: Told = { refused: [], counts: { new: 0, changed: 0, same: 0 } }
  const named = new Set<string>()
  const leads = (from: number, to: number): boolean =>
    from === to || [...stands.keys()].some((key) => key.startsWith(`${from} `) && leads(Number(key.slice(2)), to))
  for (const [at, row] of rows.entries()) {
    const key = `${row.from} ${row.to}`
    const kept = stands.get(key)
    if (named.has(key) || (kept === undefined && loops && leads(row.to, row.from))) {
      told.refused.push(at)
      continue
    }
    named.add(key)
    const now = after(row, kept)
    told.counts[kept === undefined ? 'new' : JSON.stringify(kept) === JSON.stringify(now) ? 'same' : 'changed'] += 1
    stands.set(key, now)
  }
  return told.refused.length > 0 ? { told, stands: new Map(before) } : { told, stands }
}

const sorted = <T>(map: ReadonlyMap<string, T>) => [...map].sort(([a], [b]) => (a < b ? -1 : 1))

describe('lists brought in one after another', () => {
  it('supersessions stand as if each row had been entered by itself', async () => {
    const row = fc.record({
      from: part,
      to: part,
      ratio: fc.constantFrom('', '1', '4'),
      interchange: fc.constantFrom('', 'one-way', 'both-ways'),
      note: fc.constantFrom('', 'bulletin 7', 'no longer cast'),
    })
    await fc.assert(
      fc.asyncProperty(fc.array(fc.array(row, { minLength: 1, maxLength: 7 }), { maxLength: 4 }), async (files) => {
        const { number, at } = await sixParts()
        type Kept = [ratio: number, interchange: string, note: string | null]
        let model = new Map<string, Kept>()
        for (const rows of files) {
          const { told, stands } = plainly<(typeof rows)[number], Kept>(model, rows, true, (one, kept) => [
            one.ratio === '' ? (kept?.[0] ?? 1) : Number(one.ratio),
            one.interchange === '' ? (kept?.[1] ?? 'one-way') : one.interchange,
            one.note === '' ? (kept?.[2] ?? null) : one.note,
          ])
          model = stands
          const lines = rows.map((one) =>
            [number(one.from), number(one.to), one.ratio, one.interchange, one.note].join(','),
          )
          const header = 'old_number,new_number,ratio,interchange,note'
          expect(await broughtIn('supersessions', header, lines)).toEqual(told)
          const kept = await database().supersession.findMany({ where: { oldPartId: { in: [...at.keys()] } } })
          const found = kept.map(
            (one) =>
              [
                `${at.get(one.oldPartId)} ${at.get(one.newPartId)}`,
                [one.ratio, one.interchange, one.note] as Kept,
              ] as const,
          )
          expect(sorted(new Map(found))).toEqual(sorted(model))
          expect(found).toHaveLength(model.size)
        }
      }),
      { numRuns: 40, seed: 4121 },
    )
  })

  it('contents of kits stand as if each row had been entered by itself', async () => {
    const row = fc.record({ from: part, to: part, quantity: fc.integer({ min: 1, max: 3 }) })
    await fc.assert(
      fc.asyncProperty(fc.array(fc.array(row, { minLength: 1, maxLength: 7 }), { maxLength: 4 }), async (files) => {
        const { number, at } = await sixParts()
        let model = new Map<string, number>()
        for (const rows of files) {
          const { told, stands } = plainly(model, rows, true, (one) => one.quantity)
          model = stands
          const lines = rows.map((one) => [number(one.from), number(one.to), one.quantity].join(','))
          expect(await broughtIn('kits', 'kit_number,content_number,quantity', lines)).toEqual(told)
          const kept = await database().kitContent.findMany({ where: { kitId: { in: [...at.keys()] } } })
          const found = kept.map((one) => [`${at.get(one.kitId)} ${at.get(one.contentId)}`, one.quantity] as const)
          expect(sorted(new Map(found))).toEqual(sorted(model))
        }
      }),
      { numRuns: 40, seed: 4122 },
    )
  })

  it('alternatives stand as approved, once a pair, whichever way round they are told', async () => {
    const row = fc.record({
      from: part,
      to: part,
      both: fc.boolean(),
      day: fc.constantFrom('2026-02-03', '2026-02-04'),
    })
    await fc.assert(
      fc.asyncProperty(fc.array(fc.array(row, { minLength: 1, maxLength: 4 }), { maxLength: 5 }), async (files) => {
        const { number, at } = await sixParts()
        let model = new Map<string, { both: boolean; day: string }>()
        for (const rows of files) {
          const { told, stands } = plainly(model, rows, false, ({ both, day }) => ({ both, day }))
          // A row that differs from what is approved, names one part twice, or says the other way round what is said already.
          for (const [place, { from, to, both, day }] of rows.entries()) {
            const kept = model.get(`${from} ${to}`)
            const said = rows.find((one) => one.from === to && one.to === from)
            const standing = model.get(`${to} ${from}`)
            const back = [said && rows.indexOf(said) < place ? said : [], standing ?? []].flat()
            const isWrong = kept
              ? kept.both !== both || kept.day !== day || from === to
              : from === to || back.some((one) => both || one.both)
            if (isWrong && !told.refused.includes(place)) told.refused.push(place)
          }
          if (told.refused.length === 0) model = stands
          const lines = rows.map(({ from, to, both, day }) =>
            [number(from), number(to), both ? 'yes' : 'no', 'same size', 'Wilf', day].join(','),
          )
          const header = 'number,alternative_number,both_ways,reason,approved_by,approved_on'
          const { refused, counts } = await broughtIn('alternatives', header, lines)
          expect(refused.sort()).toEqual(told.refused.sort())
          if (refused.length === 0) expect(counts).toEqual(told.counts)
          const kept = await database().alternative.findMany({ where: { wantedPartId: { in: [...at.keys()] } } })
          const found = kept.map(
            (one) =>
              [
                `${at.get(one.wantedPartId)} ${at.get(one.usedPartId)}`,
                { both: one.interchange === 'both-ways', day: one.approvedAt.toISOString().slice(0, 10) },
              ] as const,
          )
          expect(sorted(new Map(found))).toEqual(sorted(model))
          expect(found).toHaveLength(model.size)
        }
      }),
      { numRuns: 40, seed: 4123 },
    )
  })

  it('counted stock stands in the bins as counted, and every balance is the sum of its movements', async () => {
    const row = fc.record({ from: part, to: fc.nat(2), quantity: fc.nat(3) })
    await fc.assert(
      fc.asyncProperty(fc.array(fc.array(row, { minLength: 1, maxLength: 8 }), { maxLength: 5 }), async (files) => {
        const { number, at } = await sixParts()
        const bin = (of: number) => `G${group}${'abc'[of]}`
        let model = new Map<string, number>()
        let moved = 0
        for (const rows of files) {
          const { told, stands } = plainly(model, rows, false, (one) => one.quantity)
          // Counting nothing where nothing lay says nothing new.
          const still = (one: (typeof rows)[number]) => one.quantity === (model.get(`${one.from} ${one.to}`) ?? 0)
          if (told.refused.length === 0) {
            const same = rows.filter(still).length
            const changed = rows.filter((one) => !still(one) && model.has(`${one.from} ${one.to}`)).length
            told.counts = { new: rows.length - same - changed, changed, same }
            moved += rows.length - same
            for (const one of rows)
              if (still(one) && !model.has(`${one.from} ${one.to}`)) stands.delete(`${one.from} ${one.to}`)
          }
          model = stands
          const lines = rows.map((one) => `Loft,${bin(one.to)},${number(one.from)},${one.quantity}`)
          const { refused, counts } = await broughtIn('stock', 'store,bin,number,quantity', lines)
          expect(refused).toEqual(told.refused)
          if (refused.length === 0) expect(counts).toEqual(told.counts)
          const ids = [...at.keys()]
          const balances = await database().balance.findMany({ where: { partId: { in: ids } }, include: { bin: true } })
          const found = balances.map(
            (one) => [`${at.get(one.partId)} ${'abc'.indexOf(one.bin.code.at(-1)!)}`, one.quantity] as const,
          )
          expect(sorted(new Map(found))).toEqual(sorted(model))
          const movements = await database().movement.findMany({
            where: { partId: { in: ids } },
            orderBy: { id: 'asc' },
          })
          const sums = new Map<string, number>()
          for (const one of movements) {
            const key = `${one.partId} ${one.binId}`
            sums.set(key, (sums.get(key) ?? 0) + one.quantity)
            expect(one.balanceAfter).toBe(sums.get(key))
          }
          expect(movements).toHaveLength(moved)
          for (const one of balances) expect(sums.get(`${one.partId} ${one.binId}`)).toBe(one.quantity)
        }
      }),
      { numRuns: 40, seed: 4124 },
    )
  })

  it('lines of parts lists stand in their figures in the order they came, the second of the same as the second', async () => {
    const row = fc.record({
      model: fc.constantFrom('X', 'Y'),
      figure: fc.constantFrom('1', '2-A'),
      title: fc.constantFrom('', 'Hub', 'Hub and drum'),
      item: fc.constantFrom('1', '2', '12A'),
      part: fc.nat(2),
      quantity: fc.integer({ min: 1, max: 3 }),
      side: fc.constantFrom('', 'LH'),
      note: fc.constantFrom('', 'oil before fitting', 'to 2019'),
    })
    interface Line {
      key: string
      quantity: number
      note: string | null
    }
    interface Figure {
      title: string
      lines: Line[]
    }
    await fc.assert(
      fc.asyncProperty(fc.array(fc.array(row, { minLength: 1, maxLength: 10 }), { maxLength: 4 }), async (files) => {
        const { number } = await sixParts()
        const figures = new Map<string, Figure>()
        for (const rows of files) {
          const told = { new: 0, changed: 0, same: 0 }
          const turns = new Map<string, number>()
          const isKnown = new Set(figures.keys())
          for (const one of rows) {
            const name = `${one.model}${group} ${one.figure}`
            const figure = figures.get(name) ?? { title: one.title || `Figure ${one.figure}`, lines: [] }
            if (isKnown.has(name) && one.title !== '') figure.title = one.title
            figures.set(name, figure)
            const key = `${one.item} ${number(one.part)} ${one.side}`
            const turn = turns.get(`${name} ${key}`) ?? 0
            turns.set(`${name} ${key}`, turn + 1)
            const before = figure.lines.filter((line) => line.key === key)[turn]
            const note = one.note === '' ? (before?.note ?? null) : one.note
            if (!before) {
              told.new += 1
              figure.lines.push({ key, quantity: one.quantity, note })
            } else {
              told[before.quantity === one.quantity && before.note === note ? 'same' : 'changed'] += 1
              Object.assign(before, { quantity: one.quantity, note })
            }
          }
          const lines = rows.map((one) =>
            ['Tarn', `${one.model}${group}`, one.figure, one.title, one.item, 'Thornley & Pike', number(one.part)]
              .concat('Bush', String(one.quantity), one.side, one.note)
              .join(','),
          )
          const header = 'model_maker,model,figure,figure_title,item,maker,number,description,quantity,side,note'
          expect(await broughtIn('parts-lists', header, lines)).toEqual({ refused: [], counts: told })
          for (const [name, { title, lines: wanted }] of figures) {
            const [model, figure] = name.split(' ') as [string, string]
            const { figure: found } = await database().figureOfModel.findFirstOrThrow({
              where: { number: figure, model: { name: model } },
              include: { figure: { include: { lines: { include: { part: true }, orderBy: { sort: 'asc' } } } } },
            })
            expect(found.title).toBe(title)
            expect(found.lines.map(({ sort }) => sort)).toEqual(wanted.map((_, at) => at))
            expect(
              found.lines.map(({ item, part, side, quantity, note }) => ({
                key: `${item} ${part.number} ${side ?? ''}`,
                quantity,
                note,
              })),
            ).toEqual(wanted)
          }
        }
      }),
      { numRuns: 40, seed: 4126 },
    )
  })
})
