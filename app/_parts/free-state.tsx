import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import type { FreeStock } from '@/lib/stock/free.ts'
import { When } from './when.tsx'

const SHAPES = { enough: '■', some: '◧', none: '☐' } as const

/** What the shelf can give this job, where, and when more is due; late is said in days. */
export function FreeState({ free, unit, bins }: { free: FreeStock; unit: StockUnit; bins: readonly string[] }) {
  const says = free.state === 'none' ? 'none free' : `${quantityFormat(free.free, unit)} free`
  return (
    <span>
      <span className={`stock-state ${free.state === 'none' ? 'none' : ''}`}>
        <span className="shape" aria-hidden="true">
          {SHAPES[free.state]}
        </span>
        <span>{says}</span>
      </span>
      {free.free > 0 && bins.length > 0 ? (
        <>
          {' '}
          in <span className="number">{bins.join(', ')}</span>
        </>
      ) : null}
      {free.state !== 'enough' && free.keptForOthers > 0
        ? `, ${quantityFormat(free.keptForOthers, unit)} kept for other jobs`
        : null}
      {free.state === 'enough' ? null : free.due === null ? (
        ', not on order'
      ) : free.due.daysLate > 0 ? (
        <>
          , order {free.due.number} is <strong>{counted(free.due.daysLate, 'day')} late</strong>, was due{' '}
          <When at={free.due.dueOn} />
        </>
      ) : (
        <>
          , order {free.due.number} due <When at={free.due.dueOn} />
        </>
      )}
    </span>
  )
}
