import { type Link, loopsFind } from '../catalogue/loops.ts'
import type { CheckedRow } from '../exchange/check.ts'
import type { Tx } from './client.ts'
import { partNamer } from './exchange-part-named.ts'
import { asked, isFirst, numbersIn, PAGE, type Planner, paged, put, quantityOf, Refused } from './exchange-rows.ts'

/** Parts of a loop that a reason names; of a longer one it names the beginning and the end. */
const LOOP_SHOWN = 12

/** Links that a file adds, without those that would lead back: these are refused with the whole way round. */
async function loopless<Fresh extends { row: { row: number }; link: Link }>(
  db: Tx,
  standing: readonly Link[],
  fresh: readonly Fresh[],
  column: string,
  refused: Refused,
): Promise<Fresh[]> {
  const half = LOOP_SHOWN / 2
  const loops = loopsFind(
    standing,
    fresh.map(({ link }) => link),
  )
  const shown = Array.from(loops, ([at, loop]) => ({
    row: fresh[at]!.row,
    ids: loop.length > LOOP_SHOWN ? [...loop.slice(0, half), ...loop.slice(-half)] : loop,
    more: Math.max(0, loop.length - LOOP_SHOWN),
  }))
  const parts = await asked(
    new Set(shown.flatMap(({ ids }) => ids)),
    (json) => db.$queryRaw<{ id: number | bigint; number: string }[]>`
      SELECT p."id", p."number" FROM json_each(${json}) k JOIN "Part" p ON p."id" = k.value`,
  )
  const numbers = new Map(parts.map((part) => [Number(part.id), part.number]))
  for (const { row, ids, more } of shown) {
    const names = ids.map((id) => numbers.get(id) ?? String(id))
    if (more > 0) names.splice(half, 0, `(${more} more)`)
    refused.at(row, column, `would make a loop: ${names.join(' -> ')}`)
  }
  return fresh.filter((_, at) => !loops.has(at))
}

interface Supersession {
  ratio: number
  interchange: string
  note: string | null
}

/** Supersessions by old and new part. A row that would close a loop is refused with the loop. */
export const supersessionsPlan: Planner<'supersessions'> = async (reader, rows, context) => {
  const db = reader as Tx
  const refused = new Refused()
  const named = await partNamer(reader, numbersIn(rows, 'old_number', 'new_number'))
  type Known = Supersession & { id: number; link: Link }
  const known = new Map<string, Known>()
  type Raw = Supersession & { id: number; oldPartId: number; newPartId: number }
  const standing = paged<Raw>(
    (last) => db.$queryRaw<Raw[]>`
      SELECT "id", "oldPartId", "newPartId", "ratio", "interchange", "note" FROM "Supersession"
      WHERE "id" > ${last?.id ?? 0} ORDER BY "id" LIMIT ${PAGE}`,
  )
  for await (const { id, oldPartId, newPartId, ratio, ...rest } of standing)
    known.set(`${oldPartId} ${newPartId}`, {
      ...rest,
      id: Number(id),
      ratio: Number(ratio),
      link: [Number(oldPartId), Number(newPartId)],
    })
  const counts = { new: 0, changed: 0, same: 0 }
  const seen = new Map<string, number>()
  const joining: { row: CheckedRow<'supersessions'>; link: Link; after: Supersession }[] = []
  const changes: [id: number, after: Supersession][] = []
  for (const row of rows) {
    const { values } = row
    const old = named(row, values.old_number, values.old_maker, refused, 'old_')
    const part = named(row, values.new_number, values.new_maker, refused, 'new_')
    if (!old || !part) continue
    const key = `${old.id} ${part.id}`
    if (!isFirst(seen, key, row, refused, 'supersession')) continue
    const before = known.get(key)
    const after = {
      ratio: values.ratio ?? before?.ratio ?? 1,
      interchange: values.interchange ?? before?.interchange ?? 'one-way',
      note: values.note ?? before?.note ?? null,
    }
    if (!before) {
      joining.push({ row, link: [old.id, part.id], after })
      continue
    }
    const isSame =
      before.ratio === after.ratio && before.interchange === after.interchange && before.note === after.note
    counts[isSame ? 'same' : 'changed'] += 1
    if (!isSame) changes.push([before.id, after])
  }
  const links = Array.from(known.values(), ({ link }) => link)
  const fresh = await loopless(db, links, joining, 'new_number', refused)
  counts.new = fresh.length
  return {
    refusals: refused.list,
    counts,
    made: {},
    async write(tx) {
      await put(
        fresh,
        ({ link, after }) => [...link, after.ratio, after.interchange, after.note],
        (json) => tx.$executeRaw`
          INSERT INTO "Supersession" ("oldPartId", "newPartId", "ratio", "interchange", "note", "createdAt")
          SELECT value->>0, value->>1, value->>2, value->>3, value->>4, ${context.write.now} FROM json_each(${json})`,
      )
      await put(
        changes,
        ([id, after]) => [id, after.ratio, after.interchange, after.note],
        (json) => tx.$executeRaw`
          UPDATE "Supersession" SET "ratio" = j.value->>1, "interchange" = j.value->>2, "note" = j.value->>3
          FROM json_each(${json}) j WHERE "Supersession"."id" = j.value->>0`,
      )
    },
  }
}

/** Contents of kits by kit and part. A kit that would come to hold itself, over other kits too, is refused with the loop. */
export const kitsPlan: Planner<'kits'> = async (reader, rows) => {
  const db = reader as Tx
  const refused = new Refused()
  const named = await partNamer(reader, numbersIn(rows, 'kit_number', 'content_number'))
  const known = new Map<string, { link: Link; quantity: number }>()
  type Raw = { kitId: number; contentId: number; quantity: number }
  const standing = paged<Raw>(
    (last) => db.$queryRaw<Raw[]>`
      SELECT "kitId", "contentId", "quantity" FROM "KitContent"
      WHERE ("kitId", "contentId") > (${last?.kitId ?? 0}, ${last?.contentId ?? 0}) ORDER BY "kitId", "contentId" LIMIT ${PAGE}`,
  )
  for await (const { kitId, contentId, quantity } of standing)
    known.set(`${kitId} ${contentId}`, { link: [Number(kitId), Number(contentId)], quantity: Number(quantity) })
  const counts = { new: 0, changed: 0, same: 0 }
  const seen = new Map<string, number>()
  const joining: { row: CheckedRow<'kits'>; link: Link; quantity: number }[] = []
  const changes: { link: Link; quantity: number }[] = []
  for (const row of rows) {
    const { values } = row
    const kit = named(row, values.kit_number, values.kit_maker, refused, 'kit_')
    const content = named(row, values.content_number, values.content_maker, refused, 'content_')
    if (!kit || !content) continue
    const key = `${kit.id} ${content.id}`
    if (!isFirst(seen, key, row, refused, 'part of the kit')) continue
    const quantity = quantityOf(row, 'quantity', values.quantity, content.unit, refused)
    if (quantity === 0) refused.at(row, 'quantity', 'must be above 0')
    if (quantity === undefined || quantity === 0) continue
    const before = known.get(key)
    if (!before) {
      joining.push({ row, link: [kit.id, content.id], quantity })
      continue
    }
    counts[before.quantity === quantity ? 'same' : 'changed'] += 1
    if (before.quantity !== quantity) changes.push({ link: before.link, quantity })
  }
  const links = Array.from(known.values(), ({ link }) => link)
  const fresh = await loopless(db, links, joining, 'content_number', refused)
  counts.new = fresh.length
  return {
    refusals: refused.list,
    counts,
    made: {},
    async write(tx) {
      const list = ({ link, quantity }: { link: Link; quantity: number }) => [...link, quantity]
      await put(
        fresh,
        list,
        (json) => tx.$executeRaw`
          INSERT INTO "KitContent" ("kitId", "contentId", "quantity")
          SELECT value->>0, value->>1, value->>2 FROM json_each(${json})`,
      )
      await put(
        changes,
        list,
        (json) => tx.$executeRaw`
          UPDATE "KitContent" SET "quantity" = j.value->>2 FROM json_each(${json}) j
          WHERE "KitContent"."kitId" = j.value->>0 AND "KitContent"."contentId" = j.value->>1`,
      )
    },
  }
}
