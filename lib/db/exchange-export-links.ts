import type { RowOut } from '../exchange/write.ts'
import { quantityInput, type StockUnit } from '../measure/quantity.ts'
import { database, type Tx } from './client.ts'
import { PAGE, paged } from './exchange-rows.ts'
import { personNames } from './part-typed.ts'

const NAMED = { select: { maker: true, number: true, unit: true } } as const

export async function* supersessionRows(): AsyncGenerator<RowOut> {
  const links = paged((last: { id: number } | null) =>
    database().supersession.findMany({
      where: { id: { gt: last?.id ?? 0 } },
      include: { old: NAMED, new: NAMED },
      orderBy: { id: 'asc' },
      take: PAGE,
    }),
  )
  for await (const link of links)
    yield {
      old_maker: link.old.maker,
      old_number: link.old.number,
      new_maker: link.new.maker,
      new_number: link.new.number,
      ratio: String(link.ratio),
      interchange: link.interchange,
      note: link.note ?? '',
    }
}

export async function* kitRows(): AsyncGenerator<RowOut> {
  const rows = paged((last: { kitId: number; contentId: number } | null) =>
    database().kitContent.findMany({
      where: last
        ? { OR: [{ kitId: { gt: last.kitId } }, { kitId: last.kitId, contentId: { gt: last.contentId } }] }
        : {},
      include: { kit: NAMED, content: NAMED },
      orderBy: [{ kitId: 'asc' }, { contentId: 'asc' }],
      take: PAGE,
    }),
  )
  for await (const { kit, content, quantity } of rows)
    yield {
      kit_maker: kit.maker,
      kit_number: kit.number,
      content_maker: content.maker,
      content_number: content.number,
      quantity: quantityInput(quantity, content.unit as StockUnit),
    }
}

export async function* alternativeRows(): AsyncGenerator<RowOut> {
  const db = database()
  const approvers = await db.alternative.findMany({ distinct: ['approvedById'], select: { approvedById: true } })
  const names = await personNames(
    db as unknown as Tx,
    approvers.map((row) => row.approvedById),
  )
  const rows = paged((last: { id: number } | null) =>
    db.alternative.findMany({
      where: { withdrawnAt: null, id: { gt: last?.id ?? 0 } },
      include: { wanted: NAMED, used: NAMED },
      orderBy: { id: 'asc' },
      take: PAGE,
    }),
  )
  for await (const row of rows)
    yield {
      maker: row.wanted.maker,
      number: row.wanted.number,
      alternative_maker: row.used.maker,
      alternative_number: row.used.number,
      both_ways: row.interchange === 'both-ways' ? 'yes' : 'no',
      reason: row.reason,
      approved_by: names(row.approvedById),
      approved_on: row.approvedAt.toISOString().slice(0, 10),
    }
}
