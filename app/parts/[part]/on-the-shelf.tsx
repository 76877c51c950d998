import Link from 'next/link'
import { Due } from '@/app/_parts/due.tsx'
import { StockState } from '@/app/_parts/stock-state.tsx'
import { InDrafts } from '@/app/buying/in-drafts.tsx'
import { paths } from '@/app/paths.ts'
import type { InDraft } from '@/lib/db/order-draft-read.ts'
import type { PartCard } from '@/lib/db/part.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { BIN_KINDS, setAsideSays } from '@/lib/stock/bin-kind.ts'
import { Belongs } from './belongs.tsx'

/** What lies where, who waits for it and what is on its way. */
export function OnTheShelf(props: { part: PartCard; mayPlace: boolean; drafts: readonly InDraft[] }) {
  const { part, mayPlace, drafts } = props
  const setAside = setAsideSays(part.bins, part.unit)
  const show = (quantity: number) => quantityFormat(quantity, part.unit)
  return (
    <section className="stack tight" aria-labelledby="shelf">
      <h2 id="shelf">On the shelf</h2>
      <p className="strong">
        <StockState stock={part.stock} unit={part.unit} reorderPoint={part.level?.reorderPoint} />
      </p>
      <dl className="facts">
        <dt>On hand, to use</dt>
        <dd>{show(part.stock.onHand)}</dd>
        {part.stock.spoiled === 0 ? null : (
          <>
            <dt>Spoiled, not counted</dt>
            <dd>{show(part.stock.spoiled)}</dd>
          </>
        )}
        {setAside === '' ? null : (
          <>
            <dt>Not to use</dt>
            <dd>{setAside}</dd>
          </>
        )}
        <dt>Allocated to jobs</dt>
        <dd>{show(part.stock.allocated)}</dd>
        <dt>Available</dt>
        <dd>{show(Math.max(0, part.stock.available))}</dd>
        <dt>On order</dt>
        <dd>{show(part.stock.onOrder)}</dd>
      </dl>
      {part.bins.length > 0 ? (
        <ul className="plain-list">
          {part.bins.map((bin) => (
            <li key={bin.binId}>
              <Link href={paths.bin(bin.binId)} className="number">
                {bin.bin}
              </Link>
              , {bin.store}: <span className="strong">{show(bin.quantity)}</span>
              {BIN_KINDS[bin.kind].free ? null : <span className="badge">{BIN_KINDS[bin.kind].says}</span>}
            </li>
          ))}
        </ul>
      ) : (
        <p className="soft">In no bin.</p>
      )}
      <Belongs part={part} mayChange={mayPlace} />
      {part.waiting.length > 0 ? (
        <ul className="plain-list">
          {part.waiting.map((need) => (
            <li key={need.jobId}>
              <Link href={paths.job(need.jobId)}>Job {need.number}</Link> wants {show(need.wanted)},{' '}
              {show(need.allocated)} kept for it
            </li>
          ))}
        </ul>
      ) : null}
      {part.onOrder.map((order) => (
        <p key={order.orderId}>
          {show(order.quantity)} on <Link href={paths.order(order.orderId)}>order {order.number}</Link>,{' '}
          {order.supplier}, <Due on={order.dueOn} />
        </p>
      ))}
      {drafts.length === 0 ? null : (
        <p>
          <InDrafts drafts={drafts} unit={part.unit} />
        </p>
      )}
    </section>
  )
}
