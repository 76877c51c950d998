import { partNumberKey } from '../catalogue/part-number.ts'
import { searchExpand } from '../search/thesaurus.ts'
import { database } from './client.ts'

/** Hits by words that are put in order; more are not looked at. */
const RANKED_MAX = 100

/** A term for the trigram index, quoted so that nothing in it is read as an operator. */
function quoted(term: string): string {
  return `"${term.replace(/"/g, '""')}"`
}

/**
 * Part ids that answer what a person typed, best first: the number itself, then numbers that begin with it, then every
 * word (or its trade synonym, UK or US) anywhere in number, maker or description. Words shorter than three letters only
 * count as the beginning of a number, because the index is by three letters.
 */
export async function partSearchIds(query: string, take: number): Promise<number[]> {
  const db = database()
  const key = partNumberKey(query)
  if (key === '') return []
  const byNumber = await db.part.findMany({
    where: { numberKey: { gte: key, lt: `${key}\uffff` } },
    select: { id: true },
    orderBy: [{ numberKey: 'asc' }, { id: 'asc' }],
    take,
  })
  const ids = byNumber.map((part) => part.id)
  const groups = searchExpand(query)
    .map((alternatives) => alternatives.filter((term) => term.length >= 3))
    .filter((alternatives) => alternatives.length > 0)
  if (groups.length > 0 && ids.length < take) {
    const match = groups.map((alternatives) => `(${alternatives.map(quoted).join(' OR ')})`).join(' AND ')
    // Not ORDER BY rank: with every synonym in the question the index weighs tens of thousands of rows to rank them. The
    // first hundred are enough for a screen and are put in order here: as typed first, then the plainest description.
    const byWords = await db.$queryRaw<{ id: number | bigint; description: string }[]>`
      SELECT p."id" AS id, p."description" AS description
      FROM (SELECT rowid FROM part_fts WHERE part_fts MATCH ${match} LIMIT ${Math.max(take, RANKED_MAX)}) f
      JOIN "Part" p ON p."id" = f.rowid`
    const typed = query.trim().toLowerCase()
    const ranked = byWords
      .map(({ id, description }) => ({
        id: Number(id),
        asTyped: description.toLowerCase().includes(typed),
        length: description.length,
      }))
      .sort((a, b) => Number(b.asTyped) - Number(a.asTyped) || a.length - b.length || a.id - b.id)
    ids.push(...ranked.map((row) => row.id))
  }
  return [...new Set(ids)].slice(0, take)
}

export interface PartHit {
  id: number
  number: string
  maker: string
  description: string
  onHand: number
  unit: string
}

export async function partSearch(query: string, take = 20): Promise<PartHit[]> {
  const ids = await partSearchIds(query, take)
  if (ids.length === 0) return []
  const parts = await database().part.findMany({
    where: { id: { in: ids } },
    select: {
      id: true,
      number: true,
      maker: true,
      description: true,
      unit: true,
      balances: { select: { quantity: true } },
    },
  })
  const byId = new Map(parts.map((part) => [part.id, part]))
  return ids.flatMap((id) => {
    const part = byId.get(id)
    if (!part) return []
    const { balances, ...rest } = part
    return [{ ...rest, onHand: balances.reduce((sum, balance) => sum + balance.quantity, 0) }]
  })
}

/** Figures and machines whose title, number or name holds the words. */
export async function placesSearch(query: string, take = 12) {
  const words = query.trim()
  if (words.length < 2) return { figures: [], machines: [] }
  const db = database()
  const [figures, machines] = await Promise.all([
    db.figureOfModel.findMany({
      where: { OR: [{ figure: { title: { contains: words } } }, { number: { contains: words } }] },
      include: { figure: { select: { title: true } }, model: true },
      take,
    }),
    db.machine.findMany({
      where: {
        OR: [
          { name: { contains: words } },
          { fleetKey: { startsWith: partNumberKey(words) } },
          { serialNumber: { contains: words } },
        ],
      },
      include: { model: true },
      take,
    }),
  ])
  return {
    figures: figures.map((of) => ({
      id: of.figureId,
      number: of.number,
      title: of.figure.title,
      modelId: of.modelId,
      model: `${of.model.maker} ${of.model.name}`,
    })),
    machines: machines.map((machine) => ({
      id: machine.id,
      fleetNumber: machine.fleetNumber,
      name: machine.name,
      model: `${machine.model.maker} ${machine.model.name}`,
    })),
  }
}
