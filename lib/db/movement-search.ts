import type { MovementQuestion } from '../stock/movement-search.ts'
import { database, type Prisma } from './client.ts'
import { MOVEMENT_PAGE_ROWS, type MovementLine, movementLines } from './movement-line.ts'
import { partSearchIds } from './part-search.ts'

/** Parts that words may mean; more of them say nothing about what somebody looks for. */
const PARTS_MEANT = 500
const DAY_MS = 86_400_000

async function where(question: MovementQuestion): Promise<Prisma.MovementWhereInput> {
  const { words, partId, kind, storeId, personId, jobNumber, from, to } = question
  const meant = words === '' ? null : await partSearchIds(words, PARTS_MEANT)
  return {
    AND: [
      partId === null ? {} : { partId },
      meant === null
        ? {}
        : { OR: [{ partId: { in: meant } }, { costCentre: { contains: words } }, { reason: { contains: words } }] },
      kind === null ? {} : { kind },
      storeId === null ? {} : { bin: { storeId } },
      personId === null ? {} : { personId },
      jobNumber === null ? {} : { job: { number: jobNumber } },
      from === null ? {} : { at: { gte: new Date(from) } },
      to === null ? {} : { at: { lt: new Date(Date.parse(to) + DAY_MS) } },
    ],
  }
}

/**
 * Lines of the ledger that answer the question; words are of a part, of what it was taken for, or of a reason. They come newest
 * first, one page of them; older than `beforeId` where that is given.
 */
export async function movementsFind(
  question: MovementQuestion,
  beforeId: number | null,
  take = MOVEMENT_PAGE_ROWS,
): Promise<{ rows: MovementLine[]; more: boolean }> {
  const asked = await where(question)
  const rows = await movementLines({ ...asked, ...(beforeId === null ? {} : { id: { lt: beforeId } }) }, take + 1)
  return { rows: rows.slice(0, take), more: rows.length > take }
}

/** Everybody who ever booked something, for choosing whose. */
export async function movementPeople(): Promise<{ id: string; name: string }[]> {
  return database().person.findMany({ select: { id: true, name: true }, orderBy: { name: 'asc' } })
}
