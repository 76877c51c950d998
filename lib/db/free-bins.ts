import { BIN_KINDS_FREE } from '../stock/bin-kind.ts'
import { Prisma } from './client.ts'

const SET_ASIDE_BINS = Prisma.sql`(SELECT "id" FROM "Bin" WHERE "kind" NOT IN
  (${Prisma.join(BIN_KINDS_FREE.map((kind) => Prisma.raw(`'${kind}'`)))}))`

/**
 * Balances `b` that are free to take: not in quarantine, not waiting to go back, not on the way between two stores. Asked as a
 * short list of the other bins, which is read once a statement.
 */
export const FREE_BALANCE = Prisma.sql`b."binId" NOT IN ${SET_ASIDE_BINS}`

/** The other balances `b`: on hand, and free for nobody. */
export const SET_ASIDE_BALANCE = Prisma.sql`b."binId" IN ${SET_ASIDE_BINS}`

/** The first of them for the client's own questions about balances. */
export const freeBin = { bin: { kind: { in: [...BIN_KINDS_FREE] } } }
