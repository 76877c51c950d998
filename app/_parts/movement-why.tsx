import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import type { MovementLine } from '@/lib/db/movement-line.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { forSays } from '@/lib/stock/for-what.ts'

/** Plus into the bin, minus out of it, with a minus sign that is not a hyphen. */
export function movementSigned({ quantity, unit }: Pick<MovementLine, 'quantity' | 'unit'>): string {
  return `${quantity > 0 ? '+' : '−'}${quantityFormat(Math.abs(quantity), unit)}`
}

/** Who booked it, for what and why. */
export function MovementWhy({ row }: { row: MovementLine }) {
  return (
    <>
      {row.person}
      {row.job ? (
        <>
          ,{' '}
          <Link href={paths.job(row.job.id)} prefetch={false}>
            job {row.job.number}
          </Link>
        </>
      ) : null}
      {row.order ? (
        <>
          ,{' '}
          <Link href={paths.order(row.order.id)} prefetch={false}>
            order {row.order.number}
          </Link>
        </>
      ) : null}
      {row.batch ? (
        <>
          ,{' '}
          <Link href={paths.batch(row.batch.id)} prefetch={false}>
            batch {row.batch.code}
          </Link>
        </>
      ) : null}
      {row.forWhat.machine ? (
        <>
          ,{' '}
          <Link href={paths.machine(row.forWhat.machine.id)} prefetch={false}>
            {row.forWhat.machine.says}
          </Link>
        </>
      ) : null}
      {forSays(row.forWhat) === '' ? null : `, ${forSays(row.forWhat)}`}
      {row.reversesId === null ? null : `, puts movement ${row.reversesId} right`}
      {row.reason === null ? null : <span className="soft">, {row.reason}</span>}
    </>
  )
}
