import { DRAFT_STATES, type DraftState } from '@/lib/buying/order-life.ts'

/** How a draft stands, by shape and by word. */
export function DraftStateSays({ state, waits = false }: { state: DraftState; waits?: boolean }) {
  const { shape, says } = DRAFT_STATES[state]
  return (
    <span className="stock-state">
      <span className="shape" aria-hidden="true">
        {waits ? '▲' : shape}
      </span>
      <span>{waits ? 'waits for approval' : says}</span>
    </span>
  )
}
