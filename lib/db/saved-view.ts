import { nameKey } from '../catalogue/part-number.ts'
import type { SavedViewInput } from '../stock/schema.ts'
import { database } from './client.ts'
import { type WriteContext, write } from './transaction.ts'

/** A question to the stock table that a person keeps; `query` is the address behind the question mark. */
export interface SavedViewRow {
  id: number
  name: string
  query: string
}

export async function savedViews(personId: string): Promise<SavedViewRow[]> {
  const rows = await database().savedView.findMany({ where: { personId }, orderBy: { nameKey: 'asc' } })
  return rows.map(({ id, name, query }) => ({ id, name, query }))
}

/** Keeps a question under a name; the same name again keeps the new question in its place. */
export function savedViewKeep(context: WriteContext, { name, query }: SavedViewInput): Promise<{ name: string }> {
  return write(context, 'stock.view', { name, query }, async (tx) => {
    const { personId } = context
    const key = nameKey(name)
    await tx.savedView.upsert({
      where: { personId_nameKey: { personId, nameKey: key } },
      create: { personId, name, nameKey: key, query },
      update: { name, query },
    })
    return { name }
  })
}

/** Takes a kept question off; one of somebody else, or none, is left alone. */
export function savedViewDrop(context: WriteContext, { viewId }: { viewId: number }): Promise<null> {
  return write(context, 'stock.view-drop', { viewId }, async (tx) => {
    await tx.savedView.deleteMany({ where: { id: viewId, personId: context.personId } })
    return null
  })
}
