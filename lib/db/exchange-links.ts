import { nameKey } from '../catalogue/part-number.ts'
import type { Tx } from './client.ts'
import { partNamer } from './exchange-part-named.ts'
import { isFirst, type Planner, put, quantityOf, Refused, slices } from './exchange-rows.ts'

/** Rows of one createMany: its values are parameters, of which a statement has only so many. */
const ROWS = 500

/** The way from one part to another along `next`, both named; null when there is none. */
function wayFrom(start: number, end: number, next: (id: number) => Iterable<number>): number[] | null {
  const before = new Map<number, number | null>([[start, null]])
  const queue = [start]
  for (const at of queue) {
    if (at === end) {
      const way: number[] = []
      for (let step: number | null = at; step !== null; step = before.get(step) ?? null) way.unshift(step)
      return way
    }
    for (const one of next(at))
      if (!before.has(one)) {
        before.set(one, at)
        queue.push(one)
      }
  }
  return null
}

async function numbersOf(tx: Tx, ids: readonly number[]): Promise<string> {
  const parts = await tx.part.findMany({ where: { id: { in: [...ids] } }, select: { id: true, number: true } })
  const numbers = new Map(parts.map((part) => [part.id, part.number]))
  return ids.map((id) => numbers.get(id) ?? String(id)).join(' -> ')
}

/** Supersessions by old and new part. A row that would close a loop is refused with the loop. */
export const supersessionsPlan: Planner<'supersessions'> = async (reader, rows, context) => {
  const db = reader as Tx
  const refused = new Refused()
  const named = await partNamer(
    reader,
    rows.flatMap(({ values }) => [values.old_number, values.new_number]),
  )
  const links = await db.supersession.findMany({ orderBy: { id: 'asc' } })
  const known = new Map(links.map((link) => [`${link.oldPartId} ${link.newPartId}`, link]))
  const next = new Map<number, Set<number>>()
  const join = (from: number, to: number) => next.set(from, (next.get(from) ?? new Set()).add(to))
  for (const link of links) join(link.oldPartId, link.newPartId)
  const counts = { new: 0, changed: 0, same: 0 }
  const seen = new Map<string, number>()
  const fresh: {
    oldPartId: number
    newPartId: number
    ratio: number
    interchange: string
    note: string | null
    createdAt: Date
  }[] = []
  const changes: { id: number; ratio: number; interchange: string; note: string | null }[] = []
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
    if (before) {
      const isSame =
        before.ratio === after.ratio && before.interchange === after.interchange && before.note === after.note
      counts[isSame ? 'same' : 'changed'] += 1
      if (!isSame) changes.push({ id: before.id, ...after })
      continue
    }
    const way = wayFrom(part.id, old.id, (id) => next.get(id) ?? [])
    if (way) {
      refused.at(row, 'new_number', `would make a loop: ${await numbersOf(db, [old.id, ...way])}`)
      continue
    }
    join(old.id, part.id)
    counts.new += 1
    fresh.push({ oldPartId: old.id, newPartId: part.id, ...after, createdAt: context.write.now })
  }
  return {
    refusals: refused.list,
    counts,
    made: {},
    async write(tx) {
      await put(
        fresh,
        (row) => [row.oldPartId, row.newPartId, row.ratio, row.interchange, row.note],
        (json) => tx.$executeRaw`
          INSERT INTO "Supersession" ("oldPartId", "newPartId", "ratio", "interchange", "note", "createdAt")
          SELECT value->>0, value->>1, value->>2, value->>3, value->>4, ${context.write.now} FROM json_each(${json})`,
      )
      for (const { id, ...data } of changes) await tx.supersession.update({ where: { id }, data })
    },
  }
}

/** Contents of kits by kit and part. A kit that would come to hold itself, over other kits too, is refused with the loop. */
export const kitsPlan: Planner<'kits'> = async (reader, rows) => {
  const db = reader as Tx
  const refused = new Refused()
  const named = await partNamer(
    reader,
    rows.flatMap(({ values }) => [values.kit_number, values.content_number]),
  )
  const contents = await db.kitContent.findMany()
  const known = new Map(contents.map((row) => [`${row.kitId} ${row.contentId}`, row.quantity]))
  const next = new Map<number, Set<number>>()
  const join = (from: number, to: number) => next.set(from, (next.get(from) ?? new Set()).add(to))
  for (const row of contents) join(row.kitId, row.contentId)
  const counts = { new: 0, changed: 0, same: 0 }
  const seen = new Map<string, number>()
  const fresh: { kitId: number; contentId: number; quantity: number }[] = []
  const changes: typeof fresh = []
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
    const after = { kitId: kit.id, contentId: content.id, quantity }
    if (before !== undefined) {
      counts[before === quantity ? 'same' : 'changed'] += 1
      if (before !== quantity) changes.push(after)
      continue
    }
    const way = wayFrom(content.id, kit.id, (id) => next.get(id) ?? [])
    if (way) {
      refused.at(row, 'content_number', `would make a loop: ${await numbersOf(db, [kit.id, ...way])}`)
      continue
    }
    join(kit.id, content.id)
    counts.new += 1
    fresh.push(after)
  }
  return {
    refusals: refused.list,
    counts,
    made: {},
    async write(tx) {
      await put(
        fresh,
        (row) => [row.kitId, row.contentId, row.quantity],
        (json) => tx.$executeRaw`
          INSERT INTO "KitContent" ("kitId", "contentId", "quantity")
          SELECT value->>0, value->>1, value->>2 FROM json_each(${json})`,
      )
      for (const { kitId, contentId, quantity } of changes)
        await tx.kitContent.update({ where: { kitId_contentId: { kitId, contentId } }, data: { quantity } })
    },
  }
}

/**
 * Alternatives by the two parts. One that was approved is never changed: a row that differs from it is refused. Nobody approves
 * in the name of another: a new one is approved by the person who brings it in.
 */
export const alternativesPlan: Planner<'alternatives'> = async (reader, rows, context) => {
  const db = reader as Tx
  const refused = new Refused()
  const named = await partNamer(
    reader,
    rows.flatMap(({ values }) => [values.number, values.alternative_number]),
  )
  const people = new Map((await db.person.findMany()).map((person) => [person.nameKey, person.id]))
  const standing = await db.alternative.findMany({ where: { withdrawnAt: null } })
  const known = new Map(standing.map((row) => [`${row.wantedPartId} ${row.usedPartId}`, row]))
  const counts = { new: 0, changed: 0, same: 0 }
  const seen = new Map<string, number>()
  const fresh: {
    wantedPartId: number
    usedPartId: number
    interchange: string
    reason: string
    approvedById: string
    approvedAt: Date
  }[] = []
  for (const row of rows) {
    const { values } = row
    const approvedById = people.get(nameKey(values.approved_by))
    if (approvedById === undefined) refused.at(row, 'approved_by', `nobody here is called ${values.approved_by}`)
    const wanted = named(row, values.number, values.maker, refused)
    const used = named(row, values.alternative_number, values.alternative_maker, refused, 'alternative_')
    if (!wanted || !used || approvedById === undefined) continue
    const key = `${wanted.id} ${used.id}`
    if (!isFirst(seen, key, row, refused, 'alternative')) continue
    if (wanted.id === used.id) refused.at(row, 'alternative_number', 'a part is no alternative for itself')
    else if (wanted.unit !== used.unit)
      refused.at(
        row,
        'alternative_number',
        `is kept by ${used.unit}, the part wanted by ${wanted.unit}; it is one for one`,
      )
    const before = known.get(key)
    const isBoth = values.both_ways ?? before?.interchange === 'both-ways'
    const interchange = isBoth ? 'both-ways' : 'one-way'
    if (before) {
      counts.same += 1
      const isSame =
        before.interchange === interchange &&
        before.reason === values.reason &&
        before.approvedById === approvedById &&
        before.approvedAt.toISOString().startsWith(values.approved_on)
      if (!isSame) refused.at(row, '', 'differs from what was approved; withdraw that on the card of the part first')
      continue
    }
    const back = `${used.id} ${wanted.id}`
    if (known.get(back)?.interchange === 'both-ways' || (isBoth && (known.has(back) || seen.has(back))))
      refused.at(row, 'alternative_number', 'the two are approved the other way round already')
    if (approvedById !== context.write.personId)
      refused.at(
        row,
        'approved_by',
        `${values.approved_by} must bring this row in; or look at the two parts and put your own name there`,
      )
    counts.new += 1
    const approvedAt = new Date(`${values.approved_on}T00:00:00.000Z`)
    fresh.push({
      wantedPartId: wanted.id,
      usedPartId: used.id,
      interchange,
      reason: values.reason,
      approvedById,
      approvedAt,
    })
  }
  return {
    refusals: refused.list,
    counts,
    made: {},
    async write(tx) {
      for (const data of slices(fresh, ROWS)) await tx.alternative.createMany({ data })
    },
  }
}
