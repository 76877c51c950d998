import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import { DELIVERY_KINDS, type DeliveryKind } from '@/lib/buying/delivery.ts'
import type { deliveriesOf } from '@/lib/db/receiving.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'

/** What was not as ordered, oldest first. */
export function DeliveryList({ rows }: { rows: Awaited<ReturnType<typeof deliveriesOf>> }) {
  if (rows.length === 0) return null
  return (
    <section className="stack tight no-print" aria-labelledby="came">
      <h2 id="came">How it came</h2>
      <ul className="plain-list">
        {rows.map((row) => (
          <li key={row.id}>
            <When at={row.at} />, {row.person}: {DELIVERY_KINDS[row.kind as DeliveryKind]},{' '}
            {row.quantity > 0 ? `${quantityFormat(row.quantity, row.unit)} of ` : 'in place of '}
            <Link href={paths.part(row.partId)} className="number" prefetch={false}>
              {row.number}
            </Link>{' '}
            {row.description}
            {row.said ? <span className="soft">: {row.said}</span> : null}
          </li>
        ))}
      </ul>
    </section>
  )
}
