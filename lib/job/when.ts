import { dateSays } from '../measure/date.ts'
import { PRIORITIES, type Priority } from '../stock/allocation.ts'

/** When a job needs its parts, in words: `needed by 3 Dec 2026, first`; `no day said` where nobody knows. */
export function jobWhenSays({ needOn, priority }: { needOn: string | null; priority: number }): string {
  const day = needOn === null ? 'no day said' : `needed by ${dateSays(needOn)}`
  return priority === 2 ? day : `${day}, ${PRIORITIES[priority as Priority]}`
}
