import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import type { WinterInForce } from '@/lib/db/order-plan-winter.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import { forWinterSays, type ShopWinterNeed } from '@/lib/replenish/plan-shop-winter.ts'

/** What winter plans take of a part, with the way to each; it is no part of the quantity beside it. */
export function ForWinter({ needs, unit }: { needs: readonly ShopWinterNeed[]; unit: StockUnit }) {
  return needs.map((need) => (
    <div key={need.id} className="small">
      <span aria-hidden="true">❄ </span>
      Besides, {quantityFormat(need.quantity, unit)} for{' '}
      <Link href={paths.winter(need.planId)} prefetch={false}>
        {forWinterSays(need)}
      </Link>
    </div>
  ))
}

/** That winter plans ask for more than stands here, and where all of it is bought together. */
export function WinterBesides(props: { winters: readonly WinterInForce[]; needs: readonly ShopWinterNeed[] }) {
  const { winters, needs } = props
  if (needs.length === 0) return null
  const parts = new Set(needs.map(({ partId }) => partId)).size
  return (
    <p className="no-print">
      {winters.map(({ id, name }, at) => (
        <span key={id}>
          {at === 0 ? null : ', '}
          <Link href={paths.winterBuy(id)} prefetch={false}>
            {name}
          </Link>
        </span>
      ))}{' '}
      {winters.length === 1 ? 'takes' : 'take'} {counted(parts, 'part')} besides, which this list of jobs and levels
      does not count; the{' '}
      <Link href={paths.orderPlan()} prefetch={false}>
        order plan
      </Link>{' '}
      buys for both, less what is there and coming.
    </p>
  )
}
