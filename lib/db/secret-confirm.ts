import { secretMatches } from '../people/secret.ts'
import { nameTriesAfterWrong, nameWaitSeconds } from '../people/throttle.ts'
import { Refusal } from '../refusal.ts'
import { database } from './client.ts'
import { signInTryOfName } from './people.ts'
import { inTransaction } from './transaction.ts'

/** That a person gave the PIN or password again, just now: a signature, not a session that was left open on the bench. */
export interface Signature {
  personId: string
}

/**
 * Asks for the secret of a person who is signed in. Guesses count with those at the door. The slow hash runs outside the
 * transaction. Refuses with 'people/wait' and 'people/wrong-signature'.
 */
export async function secretConfirm(personId: string, secret: string, now: Date): Promise<Signature> {
  const person = await database().person.findUnique({ where: { id: personId } })
  if (!person?.active) throw new Refusal('people/not-signed-in')
  const id = signInTryOfName(person.nameKey)
  const mustNotWait = (tries: Parameters<typeof nameWaitSeconds>[0]) => {
    const seconds = nameWaitSeconds(tries, now)
    if (seconds > 0) throw new Refusal('people/wait', { name: person.name, seconds })
  }
  mustNotWait(await database().signInTry.findUnique({ where: { id } }))
  const right = await secretMatches(secret, person.secretHash)
  const isRight = await inTransaction(async (tx) => {
    const before = await tx.signInTry.findUnique({ where: { id } })
    // A right guess after the fifth wrong one tells no more than another wrong one.
    mustNotWait(before)
    const still = right && (await tx.person.findFirst({ where: { id: personId, secretHash: person.secretHash } }))
    if (still) {
      await tx.signInTry.deleteMany({ where: { id } })
      return true
    }
    const { tries, firstAt, lastAt } = nameTriesAfterWrong(before, now)
    const data = { tries, firstAt, lastAt }
    await tx.signInTry.upsert({ where: { id }, create: { id, ...data }, update: data })
    return false
  })
  if (!isRight) throw new Refusal('people/wrong-signature', {}, { fields: { secret: 'your PIN or password' } })
  return { personId }
}
