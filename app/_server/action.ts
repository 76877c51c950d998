import { refresh, revalidatePath } from 'next/cache'
import { redirect, unstable_rethrow } from 'next/navigation'
import type { z } from 'zod'
import { type ActionHands, type ActionPlan, actionAnswer } from './action-answer.ts'
import type { ActionState } from './answer.ts'
import { faultLog } from './fault.ts'
import { person } from './signed-in.ts'

/**
 * What a form is given as its action. With `<ActionForm>` (or `useActionState`) the answer is shown in the form, with and
 * without scripts. A plain `<form action={...}>` has no place to show a refusal, so there it goes to the error page.
 */
export interface ServerAction<A> {
  (form: FormData): Promise<void>
  (state: ActionState<A>, form: FormData): Promise<ActionState<A>>
}

const hands: ActionHands = {
  person,
  now: () => new Date(),
  fault: (kind, error) => {
    // A redirect or a page that is not found travels as an error and is none.
    unstable_rethrow(error)
    return faultLog(kind, error)
  },
}

/**
 * Wraps one thing a person can do, in a file that begins with 'use server':
 *
 *   export const issue = action({ right: 'stock.issue', schema: IssueInput, run: issuePart })
 *
 * It cannot forget to ask who it is: signed in, right, idempotency key and input are checked before `run` is called, and
 * refusals come back as a state for the form. Afterwards the page is read afresh, or `then` says where to go.
 */
export function action<S extends z.ZodType, A>(plan: ActionPlan<S, A>): ServerAction<A> {
  async function send(first: FormData | ActionState<A>, second?: FormData): Promise<ActionState<A>> {
    const form = second ?? first
    if (!(form instanceof FormData)) throw new Error('An action is sent as a form.')
    const outcome = await actionAnswer(plan, form, hands)
    if ('after' in outcome) {
      for (const path of outcome.after.revalidate ?? []) revalidatePath(path)
      if (outcome.after.redirect) redirect(outcome.after.redirect)
      refresh()
    } else if (!second) {
      throw new Error(`${outcome.state.happened} ${outcome.state.next}`)
    }
    return outcome.state
  }
  return send as ServerAction<A>
}
