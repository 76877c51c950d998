import type { ServiceDue } from '@/lib/service/due.ts'
import { DUE_SHAPES, leftSays } from '@/lib/service/due-text.ts'

/** Where a service stands, by word and by shape: overdue, due, soon, not due. */
export function ServiceState({ due }: { due: ServiceDue }) {
  const { shape, words } = DUE_SHAPES[due.state]
  const left = leftSays(due)
  return (
    <span className="stock-state">
      <span className="shape" aria-hidden="true">
        {shape}
      </span>
      <span>
        <span className={due.state === 'overdue' || due.state === 'due' ? 'strong' : undefined}>{words}</span>
        {left === '' ? '' : `, ${left}`}
      </span>
    </span>
  )
}
