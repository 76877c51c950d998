import type { z } from 'zod'
import type { SignedIn } from '@/lib/db/session.ts'
import type { WriteContext } from '@/lib/db/transaction.ts'
import { type Right, rightRequire } from '@/lib/people/role.ts'
import { isRefusal, Refusal } from '@/lib/refusal.ts'
import { type ActionDone, type ActionRefused, faultState, inputRefusal, refusedState } from './answer.ts'
import { formObject, formRead, formValues, KEY_FIELD } from './form-data.ts'

/** What happens once an action is done. */
export interface AfterAction {
  /** Path of this site to go to. */
  redirect?: string
  /** Paths whose pages changed, apart from the one the form is on. */
  revalidate?: string[]
  /** A sentence for the screen: what was done. */
  says?: string
}

export interface ActionPlan<S extends z.ZodType, A> {
  /** What the person must be allowed to do; `signed-in` for anybody who is, `open` for anybody at all. */
  right: Right | 'signed-in' | 'open'
  schema: S
  run: (context: WriteContext, input: z.output<S>, person: SignedIn) => Promise<A>
  /** Names the action in the log of faults; the right when left out. */
  kind?: string
  then?: (answer: A, input: z.output<S>) => AfterAction
}

/** What the wrapper needs from outside; the tests hand in their own. */
export interface ActionHands {
  person(): Promise<SignedIn | null>
  now(): Date
  /** Logs a fault of the program and answers the reference number to quote. */
  fault(kind: string, error: unknown): string
}

export type ActionOutcome<A> = { state: ActionRefused } | { state: ActionDone<A>; after: AfterAction }

const NOBODY: SignedIn = { personId: 'nobody', name: '', roles: [] }

async function who(right: Right | 'signed-in' | 'open', hands: ActionHands): Promise<SignedIn> {
  if (right === 'open') return NOBODY
  const person = await hands.person()
  if (!person) throw new Refusal('people/not-signed-in')
  if (right !== 'signed-in') rightRequire(person.roles, right)
  return person
}

/** The idempotency key of a form or header. */
export function keyRead(key: unknown): string {
  if (typeof key !== 'string' || !/^[\w.:-]{8,200}$/.test(key)) throw new Refusal('input/no-key')
  return key
}

/**
 * Runs one form through an action: signed in, right, key, input, then the work. Every refusal and every fault of the program
 * comes back as a state to show; only what the hands themselves throw passes through.
 */
export async function actionAnswer<S extends z.ZodType, A>(
  plan: ActionPlan<S, A>,
  form: FormData,
  hands: ActionHands,
): Promise<ActionOutcome<A>> {
  const object = formObject(form)
  try {
    const person = await who(plan.right, hands)
    const key = keyRead(form.get(KEY_FIELD))
    const read = formRead(plan.schema, object)
    if (!read.success) throw inputRefusal(read.issues)
    const answer = await plan.run({ key, personId: person.personId, now: hands.now() }, read.data, person)
    const after = plan.then?.(answer, read.data) ?? {}
    return { state: { ok: true, answer, says: after.says ?? null, key }, after }
  } catch (error) {
    const values = formValues(object)
    if (isRefusal(error)) return { state: refusedState(error, values) }
    return { state: faultState(hands.fault(plan.kind ?? plan.right, error), values) }
  }
}
