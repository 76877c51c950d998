import { stripOrderCheckLines } from '../figure/strip-order.ts'
import { StripOrderKept, type StripSaveInput } from '../figure/strip-schema.ts'
import { Refusal } from '../refusal.ts'
import { database, type Tx } from './client.ts'
import { type WriteContext, write } from './transaction.ts'

/** The newest saved order of a figure; null while it is the one that came with its file. */
export interface StripSaved {
  version: number
  content: StripOrderKept
  personId: string
  at: Date
}

type Reader = Tx | ReturnType<typeof database>

export async function stripSaved(reader: Reader, figureId: number): Promise<StripSaved | null> {
  const row = await (reader as Tx).stripOrder.findFirst({ where: { figureId }, orderBy: { version: 'desc' } })
  if (!row) return null
  const { version, personId, at } = row
  return { version, personId, at, content: StripOrderKept.parse(JSON.parse(row.content)) }
}

export interface StripHistoryRow extends StripSaved {
  who: string
}

const NOBODY = 'somebody who left'

async function nameOf(reader: Reader, personId: string): Promise<string> {
  const person = await (reader as Tx).person.findUnique({ where: { id: personId }, select: { name: true } })
  return person?.name ?? NOBODY
}

/** The orders that were saved for a figure, newest first. */
export async function stripHistoryRead(figureId: number, take = 20): Promise<StripHistoryRow[]> {
  const db = database()
  const rows = await db.stripOrder.findMany({ where: { figureId }, orderBy: { version: 'desc' }, take })
  const people = await db.person.findMany({
    where: { id: { in: [...new Set(rows.map((row) => row.personId))] } },
    select: { id: true, name: true },
  })
  const names = new Map(people.map((person) => [person.id, person.name]))
  return rows.map(({ version, personId, at, content }) => ({
    version,
    personId,
    at,
    content: StripOrderKept.parse(JSON.parse(content)),
    who: names.get(personId) ?? NOBODY,
  }))
}

/** Writes an order in the caller's transaction: the newest one, and its steps. */
export async function stripPlace(
  tx: Tx,
  context: WriteContext,
  order: { figureId: number; version: number; content: StripOrderKept },
): Promise<void> {
  const { figureId, version, content } = order
  await tx.stripEdge.deleteMany({ where: { figureId } })
  const edges = new Map(content.edges.map((edge) => [`${edge.first} ${edge.then}`, edge]))
  await tx.stripEdge.createMany({
    data: [...edges.values()].map(({ first, then }) => ({ figureId, firstItem: first, thenItem: then })),
  })
  await tx.stripOrder.create({
    data: { figureId, version, content: JSON.stringify(content), personId: context.personId, at: context.now },
  })
}

/**
 * Saves the strip order of a figure. Refuses with 'figure/no-such', 'figure/strip-changed' (somebody else saved, or a newer
 * page was published, since the order was opened), 'figure/unknown-item' and 'figure/strip-cycle'.
 */
export function stripSave(
  context: WriteContext,
  input: StripSaveInput,
): Promise<{ figureId: number; version: number }> {
  return write(context, 'figure.strip', input, async (tx) => {
    const figure = await tx.figure.findUnique({
      where: { id: input.figureId },
      select: { edition: true, lines: { where: { retiredAt: null }, select: { item: true, attaches: true } } },
    })
    if (!figure) throw new Refusal('figure/no-such')
    const before = await stripSaved(tx, input.figureId)
    if (figure.edition !== input.edition)
      throw new Refusal('figure/strip-changed', { who: 'A newer page of this figure was published' })
    if ((before?.version ?? 0) !== input.version)
      throw new Refusal('figure/strip-changed', {
        who: `${before ? await nameOf(tx, before.personId) : NOBODY} saved a strip order of this figure`,
      })
    const content: StripOrderKept = {
      steps: input.steps.map(({ item, note, minutes }) => ({
        item,
        ...(note === '' ? {} : { note }),
        ...(minutes === '' ? {} : { minutes: Number(minutes) }),
      })),
      edges: input.steps.flatMap(({ item, after }) => after.map((first) => ({ first, then: item }))),
    }
    const lines = figure.lines.map(({ item, attaches }) => ({ item, ...(attaches === null ? {} : { attaches }) }))
    // A step without neighbours is checked as well: its item may have left the list.
    const alone = content.steps.map(({ item }) => ({ item, known: lines.some((line) => line.item === item) }))
    const gone = alone.find((step) => !step.known)
    if (gone) throw new Refusal('figure/unknown-item', { item: gone.item, where: 'strip order' })
    stripOrderCheckLines(content.edges, lines)
    const version = input.version + 1
    await stripPlace(tx, context, { figureId: input.figureId, version, content })
    return { figureId: input.figureId, version }
  })
}
