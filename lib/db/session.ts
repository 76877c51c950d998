import { createHash } from 'node:crypto'
import { nameKey } from '../catalogue/part-number.ts'
import type { Role } from '../people/role.ts'
import { secretMatches } from '../people/secret.ts'
import {
  addressTriesAfterWrong,
  addressWaitSeconds,
  nameTriesAfterWrong,
  nameWaitSeconds,
  type Tries,
  triesForgottenBefore,
} from '../people/throttle.ts'
import { isRefusal, Refusal } from '../refusal.ts'
import { database, type Tx } from './client.ts'
import { type RandomBytes, rolesRead, signInTryOfName } from './people.ts'
import { inTransaction } from './transaction.ts'

export interface SignedIn {
  personId: string
  name: string
  roles: Role[]
}

export interface SignInAttempt {
  name: string
  secret: string
  /** Network address of the browser. */
  address: string
}

const MINUTE = 60_000
/** A shift: whoever leaves a tablet lying is signed out by the next morning. */
export const SESSION_IDLE_MS = 12 * 60 * MINUTE
/** Even in daily use a session ends after a month. */
export const SESSION_LONGEST_MS = 30 * 24 * 60 * MINUTE
/** Looking at a page writes at most this often. */
export const SESSION_TOUCH_MS = 10 * MINUTE
const TOKEN_BYTES = 32

/** Only the hash is kept. The token has 256 random bits, so a quick hash is enough. */
function sessionId(token: string): string {
  return createHash('sha256').update(token).digest('hex')
}

function expiry(createdAt: Date, now: Date): Date {
  return new Date(Math.min(now.getTime() + SESSION_IDLE_MS, createdAt.getTime() + SESSION_LONGEST_MS))
}

interface TryRows {
  nameId: string
  addressId: string
}

/** Refuses while the name or the address has to wait. The same for right and wrong secrets, and for names nobody has. */
function mustNotWait(found: ({ id: string } & Tries)[], rows: TryRows, attempt: SignInAttempt, now: Date) {
  const tries = new Map<string, Tries>(found.map((row) => [row.id, row]))
  const ofName = tries.get(rows.nameId) ?? null
  const ofAddress = tries.get(rows.addressId) ?? null
  const nameSeconds = nameWaitSeconds(ofName, now)
  if (nameSeconds > 0) throw new Refusal('people/wait', { name: attempt.name, seconds: nameSeconds })
  const addressSeconds = addressWaitSeconds(ofAddress, now)
  if (addressSeconds > 0) throw new Refusal('people/wait', { name: 'this device or network', seconds: addressSeconds })
  return { ofName, ofAddress }
}

async function triesKeep(tx: Tx, id: string, tries: Tries): Promise<void> {
  const { firstAt, lastAt } = tries
  const data = { tries: tries.tries, firstAt, lastAt }
  await tx.signInTry.upsert({ where: { id }, create: { id, ...data }, update: data })
}

/**
 * Signs a person in and answers the token for the cookie.
 *
 * The slow hash runs outside the transaction, so many guesses can be under way at once. Whether one of them counts is decided
 * after it, in one transaction each: the wait is looked at again there, and a right guess that comes after the fifth wrong one
 * is answered like another wrong one. Parallel guesses therefore gain nothing over one after the other.
 *
 * @throws Refusal people/wait before people/wrong-secret; nobody of that name and a person switched off are people/wrong-secret.
 */
export async function signIn(attempt: SignInAttempt, now: Date, random: RandomBytes): Promise<string> {
  const key = nameKey(attempt.name)
  const rows = { nameId: signInTryOfName(key), addressId: `address:${attempt.address}` }
  const ofBoth = { where: { id: { in: [rows.nameId, rows.addressId] } } }
  mustNotWait(await database().signInTry.findMany(ofBoth), rows, attempt, now)
  const person = await database().person.findUnique({ where: { nameKey: key } })
  const kept = person?.active ? person.secretHash : null
  const right = await secretMatches(attempt.secret, kept)
  const token = Buffer.from(random(TOKEN_BYTES)).toString('base64url')

  const isIn = await inTransaction(async (tx) => {
    const { ofName, ofAddress } = mustNotWait(await tx.signInTry.findMany(ofBoth), rows, attempt, now)
    await tx.signInTry.deleteMany({ where: { lastAt: { lt: triesForgottenBefore(now) } } })
    // Switched off or given a new PIN while the hash ran: the old one no longer opens anything.
    const still =
      right && person && (await tx.person.findFirst({ where: { id: person.id, active: true, secretHash: kept ?? '' } }))
    if (!still) {
      await triesKeep(tx, rows.nameId, nameTriesAfterWrong(ofName, now))
      await triesKeep(tx, rows.addressId, addressTriesAfterWrong(ofAddress, now))
      return false
    }
    await tx.signInTry.deleteMany({ where: { id: rows.nameId } })
    await tx.session.deleteMany({ where: { expiresAt: { lte: now } } })
    await tx.session.create({
      data: { id: sessionId(token), personId: person.id, createdAt: now, expiresAt: expiry(now, now) },
    })
    return true
  })
  // Outside the transaction: a refusal inside would take the counted try back.
  if (!isIn) throw new Refusal('people/wrong-secret')
  return token
}

/** Who the cookie's token belongs to; null when it is unknown, expired, or the person is switched off. */
export async function sessionRead(token: string, now: Date): Promise<SignedIn | null> {
  const session = await database().session.findUnique({
    where: { id: sessionId(token) },
    include: { person: { include: { roles: true } } },
  })
  if (!session || session.expiresAt <= now) return null
  const { person } = session
  if (!person.active) return null
  const until = expiry(session.createdAt, now)
  if (until.getTime() - session.expiresAt.getTime() >= SESSION_TOUCH_MS) await sessionTouch(session.id, until)
  return { personId: person.id, name: person.name, roles: rolesRead(person.roles) }
}

/** A page must not fail because the longer time could not be noted; the next one notes it. */
async function sessionTouch(id: string, expiresAt: Date): Promise<void> {
  try {
    await inTransaction((tx) =>
      tx.session.updateMany({ where: { id, expiresAt: { lt: expiresAt } }, data: { expiresAt } }),
    )
  } catch (error) {
    if (!isRefusal(error)) throw error
  }
}

/** Signs out. Unknown tokens are no fault: the person wanted to be out, and is. */
export async function sessionEnd(token: string): Promise<void> {
  await inTransaction((tx) => tx.session.deleteMany({ where: { id: sessionId(token) } }))
}
