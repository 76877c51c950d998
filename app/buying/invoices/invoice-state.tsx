import { INVOICE_STATES, type InvoiceState } from '@/lib/invoice/invoice.ts'

/** How an invoice stands, by shape and by word. */
export function InvoiceStateSays({ state }: { state: InvoiceState }) {
  const { shape, says } = INVOICE_STATES[state]
  return (
    <span className="stock-state">
      <span className="shape" aria-hidden="true">
        {shape}
      </span>
      <span>{says}</span>
    </span>
  )
}
