import { unstable_rethrow } from 'next/navigation'
import type { SignedIn } from '@/lib/db/session.ts'
import type { WriteContext } from '@/lib/db/transaction.ts'
import { type Right, rightRequire } from '@/lib/people/role.ts'
import { isRefusal, Refusal } from '@/lib/refusal.ts'
import { keyRead } from './action-answer.ts'
import { faultLog } from './fault.ts'
import { problem, problemOfFault } from './problem.ts'
import { person } from './signed-in.ts'

const READS = new Set(['GET', 'HEAD', 'OPTIONS'])

export interface RouteGuarded {
  person: SignedIn
  /** For lib/db; its key is the Idempotency-Key header, empty when the request only reads. */
  context: WriteContext
}

/**
 * The first line of every route handler: signed in, the right, and for requests that write an Idempotency-Key header. `right`
 * is null where reading is open to all who are signed in.
 * @throws Refusal people/not-signed-in, people/not-allowed, input/no-key, in this order; answer it with `routeAnswer`.
 */
export async function routeGuard(request: Request, right: Right | null): Promise<RouteGuarded> {
  const who = await person()
  if (!who) throw new Refusal('people/not-signed-in')
  if (right) rightRequire(who.roles, right)
  const key = READS.has(request.method) ? '' : keyRead(request.headers.get('idempotency-key'))
  return { person: who, context: { key, personId: who.personId, now: new Date() } }
}

/** Runs a route handler's work and answers refusals and faults as problem details. */
export async function routeAnswer(kind: string, work: () => Promise<Response>): Promise<Response> {
  try {
    return await work()
  } catch (error) {
    if (isRefusal(error)) return problem(error)
    unstable_rethrow(error)
    return problemOfFault(faultLog(kind, error))
  }
}
