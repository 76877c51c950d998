import { When } from '@/app/_parts/when.tsx'
import { ORDER_STEPS } from '@/lib/buying/order-life.ts'
import type { OrderEventRow } from '@/lib/db/order-event.ts'

/** Who did what with an order and when, oldest first. */
export function OrderRecord({ rows }: { rows: readonly OrderEventRow[] }) {
  if (rows.length === 0) return null
  return (
    <section className="stack tight no-print" aria-labelledby="record">
      <h2 id="record">Record</h2>
      <ol className="plain-list">
        {rows.map((row) => (
          <li key={row.id}>
            <When at={row.at} time />, {row.person}: <span className="strong">{ORDER_STEPS[row.kind]}</span>
            {row.words ? `, ${row.words}` : null}
            {row.promisedOn ? (
              <>
                {' '}
                (promised <When at={row.promisedOn} />)
              </>
            ) : null}
          </li>
        ))}
      </ol>
    </section>
  )
}
