import { AsyncLocalStorage } from 'node:async_hooks'
import { settingsRead } from '../settings.ts'
import { SqliteAdapter } from './adapter.ts'
import { Prisma, PrismaClient } from './generated/prisma/client.ts'

/** The client inside a transaction; the only one that writes. */
export type Tx = Prisma.TransactionClient

const insideTransaction = new AsyncLocalStorage<true>()

function connect(url: string) {
  const base = new PrismaClient({ adapter: new SqliteAdapter(url) })
  const guarded = base.$extends({
    query: {
      $allOperations({ args, query }) {
        // On SQLite the outer client inside a transaction waits for itself; elsewhere it would silently run outside it.
        if (insideTransaction.getStore())
          throw new Error('Use the transaction that was handed in, not the outer client.')
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
  return insideTransaction.run(true, () => base.$transaction(run, { maxWait: 20_000, timeout }))
}

/** Closes the connection, so that the file can be copied or replaced. The next use opens it again. */
export async function databaseClose(): Promise<void> {
  const open = shared.__cotterbookDatabase
  delete shared.__cotterbookDatabase
  await open?.base.$disconnect()
}

export { Prisma }
