import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import type { OrderListRefused } from '@/lib/db/buying.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'

/** What is wanted and cannot be ordered: no longer made, and nothing that is made replaces it. */
export function NoLongerMade({ lines }: { lines: readonly OrderListRefused[] }) {
  if (lines.length === 0) return null
  return (
    <section className="sheet stack tight" aria-labelledby="no-longer-made">
      <h2 id="no-longer-made">Wanted, but no longer made</h2>
      <p>
        These are not proposed for an order. The part card shows what is left in the stores and which machines carry
        one; enter there what replaces it, and the order list follows.
      </p>
      <ul className="plain-list stack tight">
        {lines.map((line) => (
          <li key={line.partId}>
            ✕ {quantityFormat(line.need, line.unit)} x{' '}
            <Link href={paths.part(line.partId)} className="number" prefetch={false}>
              {line.number}
            </Link>{' '}
            {line.description}: {line.reason}.{' '}
            <span className="soft small">
              Since <When at={line.discontinued.on} />: {line.discontinued.note}
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}
