import { CREDIT_STATES, type CreditState } from '@/lib/invoice/credit.ts'

/** How a credit note stands, by shape and by word. */
export function CreditStateSays({ state }: { state: CreditState }) {
  const { shape, says } = CREDIT_STATES[state]
  return (
    <span className="stock-state">
      <span className="shape" aria-hidden="true">
        {shape}
      </span>
      <span>{says}</span>
    </span>
  )
}
