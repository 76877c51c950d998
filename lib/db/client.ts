import type { InValue } from '@libsql/client'
import { must } from '../must.ts'
import { settingsRead } from '../settings.ts'
import { below, SqliteAdapter } from './adapter.ts'
import { Prisma, PrismaClient } from './generated/prisma/client.ts'

/** The client inside a transaction; the only one that writes. */
export type Tx = Prisma.TransactionClient

function connect(url: string) {
  const base = new PrismaClient({ adapter: new SqliteAdapter(url) })
  const guarded = base.$extends({
    query: {
      $allOperations({ args, query }) {
        // On SQLite the outer client inside a transaction waits for itself; elsewhere it would silently run outside it.
        if (below.getStore()) throw new Error('Use the transaction that was handed in, not the outer client.')
        return query(args)
      },
    },
  })
  return { base, guarded, url }
}

type Connection = ReturnType<typeof connect>
// One connection per process: a bundler may load this module more than once.
const shared = globalThis as typeof globalThis & { __cotterbookDatabase?: Connection }

function connection(): Connection {
  shared.__cotterbookDatabase ??= connect(settingsRead().databaseUrl)
  return shared.__cotterbookDatabase
}

/** The database for reading. */
export function database(): Connection['guarded'] {
  return connection().guarded
}

/** Milliseconds that a transaction may take; an import says more. */
const TRANSACTION_MS = 20_000

export function transactionOnce<T>(run: (tx: Tx) => Promise<T>, timeout = TRANSACTION_MS): Promise<T> {
  const { base } = connection()
  return below.run({ transaction: null }, () => base.$transaction(run, { maxWait: 20_000, timeout }))
}

/**
 * One statement in the running transaction, past the client: the client's own way costs more than the statement itself, and
 * these few stand in every write. Answers its rows with the columns as properties. Instants go in as `instantText`.
 * Same connection, same transaction, same triggers: what it wrote is gone when the transaction is.
 */
export async function statement<Row>(sql: string, args: InValue[]): Promise<Row[]> {
  const transaction = below.getStore()?.transaction
  must(transaction && !transaction.closed, 'a statement stands in a running transaction')
  const { rows } = await transaction.execute({ sql, args })
  return rows as unknown as Row[]
}

/** An instant as the client's own columns hold it, so that they sort as one. */
export function instantText(instant: Date): string {
  return instant.toISOString().replace('Z', '+00:00')
}

/** Closes the connection, so that the file can be copied or replaced. The next use opens it again. */
export async function databaseClose(): Promise<void> {
  const open = shared.__cotterbookDatabase
  delete shared.__cotterbookDatabase
  await open?.base.$disconnect()
}

export { Prisma }
