import { PrismaLibSql } from '@prisma/adapter-libsql'

/** Milliseconds a statement waits for another process's lock before it answers "busy". */
const BUSY_TIMEOUT_MS = 15_000

/**
 * Prisma's SQLite adapter with one change: a transaction begins as a writer. The adapter's own deferred begin reads first
 * and fails with "database is locked" when it then wants to write while another process did.
 */
export class SqliteAdapter extends PrismaLibSql {
  constructor(url: string) {
    super({ url, timeout: BUSY_TIMEOUT_MS } as ConstructorParameters<typeof PrismaLibSql>[0])
  }

  override createClient(config: Parameters<PrismaLibSql['createClient']>[0]): ReturnType<PrismaLibSql['createClient']> {
    const client = super.createClient(config)
    const begin = client.transaction.bind(client)
    client.transaction = () => begin('write')
    return client
  }
}
