import type { PlainDate } from '../service/plain-date.ts'
import type { Tx } from './client.ts'
import { type Reader, slices } from './exchange-rows.ts'
import { orderDue } from './order-draft.ts'
import { OPEN_DRAFTS } from './order-draft-read.ts'

/** A statement takes a limited number of values. */
const AT_ONCE = 500

export interface DraftComing {
  draftId: number
  supplier: string
  /** Minor units of the part's stock unit. */
  quantity: number
  /** When it would be there if the draft were sent today. */
  on: PlainDate
}

export interface DraftsComing {
  coming: Map<number, DraftComing[]>
  /** Lines that cannot be sent as they stand, since the part is no longer made. */
  stuck: { draftId: number; partId: number; number: string }[]
}

/** What of some parts stands in drafts that wait for somebody: whoever plans what to buy takes it as coming, so that it is not bought twice. */
export async function draftsComing(
  reader: Reader,
  partIds: readonly number[],
  today: PlainDate,
): Promise<DraftsComing> {
  const found: DraftsComing = { coming: new Map(), stuck: [] }
  for (const slice of slices([...new Set(partIds)], AT_ONCE)) {
    const lines = await (reader as Tx).orderDraftLine.findMany({
      where: { partId: { in: slice }, draft: { state: { in: [...OPEN_DRAFTS] } } },
      include: { draft: { select: { supplier: true } }, part: { select: { number: true, discontinuedOn: true } } },
      orderBy: { id: 'asc' },
    })
    for (const { partId, draftId, quantity, draft, part } of lines) {
      if (part.discontinuedOn !== null) {
        found.stuck.push({ draftId, partId, number: part.number })
        continue
      }
      const { supplier } = draft
      const one = { draftId, supplier: supplier.name, quantity, on: orderDue(today, supplier) }
      found.coming.set(partId, [...(found.coming.get(partId) ?? []), one])
    }
  }
  return found
}
