import { expect, test } from 'vitest'
import { exchangeExport } from '../../lib/db/exchange-export.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aPart } from '../support/builders.ts'
import { useWorkshop } from '../support/database.ts'

useWorkshop()

const PARTS = 2_300

test('kits of more than one page go out whole, each row once, in order', async () => {
  const first = await aPart({ number: 'K-0' })
  const ids = Array.from({ length: PARTS }, (_, at) => first + 1 + at)
  await inTransaction(async (tx) => {
    const part = { maker: 'Ostrel', makerKey: 'ostrel', description: 'Gasket', searchText: 'gasket' }
    await tx.part.createMany({ data: ids.map((id) => ({ id, number: `G-${id}`, numberKey: `g${id}`, ...part })) })
    // A kit that runs over the page, and two small ones behind it.
    const kit = (kitId: number, contents: number[]) =>
      tx.kitContent.createMany({ data: contents.map((contentId) => ({ kitId, contentId, quantity: 1 })) })
    await kit(first, ids.slice(0, 2_100))
    await kit(ids[0]!, ids.slice(5, 8))
    await kit(ids[1]!, ids.slice(5, 8))
  })
  let text = ''
  for await (const piece of exchangeExport('kits', 'json')) text += Buffer.from(piece).toString()
  const rows = JSON.parse(text) as { kit_number: string; content_number: string }[]
  expect(rows.slice(0, 2_100).map((row) => row.content_number)).toEqual(ids.slice(0, 2_100).map((id) => `G-${id}`))
  expect(rows.slice(2_100).map((row) => `${row.kit_number} ${row.content_number}`)).toEqual(
    [ids[0]!, ids[1]!].flatMap((kit) => ids.slice(5, 8).map((id) => `G-${kit} G-${id}`)),
  )
})
