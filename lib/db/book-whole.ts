import { database } from './client.ts'
import { type BookQuestion, type EntryView, entriesByIds, entriesFind } from './service-book.ts'

/** An entry with what was put right in it since, oldest correction first. */
export interface BookItem {
  entry: EntryView
  corrections: EntryView[]
}

/**
 * The entries that answer, newest first, each once with its corrections under it. A correction that answers brings the entry it
 * corrects; one that corrects a correction stands under the first entry as well.
 */
export async function bookWhole(question: BookQuestion, take: number): Promise<BookItem[]> {
  const found = await entriesFind(question, 0, take)
  const machineIds = [...new Set(found.map((entry) => entry.machineId))]
  const rows = await database().serviceBookEntry.findMany({
    where: { machineId: { in: machineIds }, correctsId: { not: null } },
    select: { id: true, correctsId: true },
    orderBy: { id: 'asc' },
  })
  const corrects = new Map(rows.map((row) => [row.id, row.correctsId!]))
  const rootOf = (id: number): number => {
    // Ids only grow, so a correction never leads back to itself.
    const before = corrects.get(id)
    return before === undefined || before >= id ? id : rootOf(before)
  }
  const rootIds = [...new Set(found.map((entry) => rootOf(entry.id)))]
  const wanted = new Set(rootIds)
  const ofRoot = rows.filter((row) => wanted.has(rootOf(row.id)))
  const known = new Map(found.map((entry) => [entry.id, entry]))
  const missing = [...rootIds, ...ofRoot.map((row) => row.id)].filter((id) => !known.has(id))
  for (const entry of await entriesByIds(missing)) known.set(entry.id, entry)
  return rootIds
    .map((id) => ({
      entry: known.get(id)!,
      corrections: ofRoot.filter((row) => rootOf(row.id) === id).map((row) => known.get(row.id)!),
    }))
    .sort((a, b) => b.entry.writtenAt.getTime() - a.entry.writtenAt.getTime() || b.entry.id - a.entry.id)
}
