import { databaseClose } from '../../lib/db/client.ts'
import { stockIssue } from '../../lib/db/stock.ts'
import { isRefusal } from '../../lib/refusal.ts'

/** One process with `clients` people who reach for the same part at once; prints the answer each of them got. */
const [personId = '', partId = '', binId = '', clients = ''] = process.argv.slice(2)
const answers = await Promise.all(
  Array.from({ length: Number(clients) }, (_, client) =>
    stockIssue(
      { key: `race-${process.pid}-${client}`, personId, now: new Date('2026-11-02T08:15:00Z') },
      { partId: Number(partId), binId: Number(binId), quantity: 1, reason: 'the last one' },
    ).then(
      (placed) => ({ placed }),
      (error: unknown) => (isRefusal(error) ? { refused: error.code, says: error.happened } : { fault: String(error) }),
    ),
  ),
)
console.info(JSON.stringify(answers))
await databaseClose()
