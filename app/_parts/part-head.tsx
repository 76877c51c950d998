import Link from 'next/link'
import type { ReactNode } from 'react'
import { paths } from '@/app/paths.ts'
import type { PartCard } from '@/lib/db/part.ts'
import { StockState } from './stock-state.tsx'

/** The part that something is booked on, and what the shelf has of it. */
export function PartHead({ part, children }: { part: PartCard; children?: ReactNode }) {
  return (
    <section className="stack tight" aria-labelledby="part">
      <h2 id="part">
        <Link href={paths.part(part.id)} prefetch={false}>
          <span className="number">{part.number}</span>
        </Link>{' '}
        {part.description}
      </h2>
      <p>
        <StockState stock={part.stock} unit={part.unit} reorderPoint={part.level?.reorderPoint} />
      </p>
      {children}
    </section>
  )
}
