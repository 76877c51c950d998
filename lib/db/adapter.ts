import { AsyncLocalStorage } from 'node:async_hooks'
import type { Transaction } from '@libsql/client'
import { PrismaLibSql } from '@prisma/adapter-libsql'

/** Milliseconds a statement waits for another process's lock before it answers "busy". */
const BUSY_TIMEOUT_MS = 15_000

/** The driver's own transaction below the client's one, put here when it begins. */
export interface Below {
  transaction: Transaction | null
}
// One for the process, as the connection is (client.ts): a bundler may load this module more than once.
const shared = globalThis as typeof globalThis & { __cotterbookBelow?: AsyncLocalStorage<Below> }
shared.__cotterbookBelow ??= new AsyncLocalStorage<Below>()
export const below = shared.__cotterbookBelow

/**
 * Prisma's SQLite adapter with two changes. A transaction begins as a writer: the adapter's own deferred begin reads first
 * and fails with "database is locked" when it then wants to write while another process did. And whoever began it can reach
 * the driver's transaction, for the few statements that every write of the workshop passes (statement.ts).
 */
export class SqliteAdapter extends PrismaLibSql {
  constructor(url: string) {
    super({ url, timeout: BUSY_TIMEOUT_MS } as ConstructorParameters<typeof PrismaLibSql>[0])
  }

  override createClient(config: Parameters<PrismaLibSql['createClient']>[0]): ReturnType<PrismaLibSql['createClient']> {
    const client = super.createClient(config)
    const begin = client.transaction.bind(client)
    client.transaction = async () => {
      const transaction = await begin('write')
      const store = below.getStore()
      if (store) store.transaction = transaction
      return transaction
    }
    return client
  }
}
