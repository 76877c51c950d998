import { database } from './client.ts'
import type { ExchangeDone } from './exchange.ts'

/** What an import under this key did, when it came through; a process that was killed after it may not have said so. */
export async function exchangeWritten(key: string): Promise<ExchangeDone | null> {
  const row = await database().write.findUnique({ where: { key }, select: { answer: true } })
  return row ? (JSON.parse(row.answer) as ExchangeDone) : null
}
