import { childStart } from './child.ts'
import { planRunWanted } from './order-plan-run.ts'
import { type WriteContext, write } from './transaction.ts'

/** Something that writes down that a plan is wanted. */
type Wanting<T> = (context: WriteContext, input: T) => Promise<{ runId: number }>

/** Does it, and lets a process of its own reckon the plan; one that never comes is seen by its silence. */
export function planReckonedAfter<T>(wanting: Wanting<T>): Wanting<T> {
  return async (context, input) => {
    const begun = await wanting(context, input)
    const args = ['order-plan', '--shop', '--json', '--run', String(begun.runId)]
    childStart(['lib', 'cli', 'cotterbook.mjs'], args).on('error', () => undefined)
    return begun
  }
}

/** Writes down that somebody wants the order plan reckoned. Refuses with 'plan/running'. */
export function planRunBegin(context: WriteContext, input: { seconds: number }): Promise<{ runId: number }> {
  return write(context, 'buying.plan', input, async (tx) => ({ runId: await planRunWanted(tx, context, input) }))
}
