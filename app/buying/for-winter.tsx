import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import type { WinterInForce } from '@/lib/db/order-plan-winter.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import type { ShopWinterName } from '@/lib/replenish/plan-shop-state.ts'

/** What winter plans take of a part, with the way to each; it is no part of the quantity beside it. */
export function ForWinter({ needs, unit }: { needs: readonly ShopWinterName[]; unit: StockUnit }) {
  return needs.map(({ planId, says, quantity }) => (
    <div key={`${planId} ${says}`} className="small">
      <span aria-hidden="true">+ </span>
      Besides, {quantityFormat(quantity, unit)} for{' '}
      <Link href={paths.winter(planId)} prefetch={false}>
        {says}
      </Link>
    </div>
  ))
}

/** That winter plans ask for more than stands here, and where all of it is bought together. */
export function WinterBesides(props: {
  winters: readonly WinterInForce[]
  /** As the order plan was last reckoned; null where it never was. */
  asked: { on: string; byPart: ReadonlyMap<number, unknown> } | null
}) {
  const { winters, asked } = props
  if (winters.length === 0) return null
  const takes = winters.length === 1 ? 'takes' : 'take'
  const names = winters.map(({ id, name }, at) => (
    <span key={id}>
      {at === 0 ? null : ', '}
      <Link href={paths.winterBuy(id)} prefetch={false}>
        {name}
      </Link>
    </span>
  ))
  const plan = (
    <Link href={paths.orderPlan()} prefetch={false}>
      order plan
    </Link>
  )
  if (asked === null || asked.byPart.size === 0)
    return (
      <p className="no-print">
        What {names} {takes} is not in this list of jobs and levels; the {plan} can buy for both.
      </p>
    )
  return (
    <p className="no-print">
      {names} {takes} {counted(asked.byPart.size, 'part')} besides, as of the {plan} of <When at={asked.on} />: that
      buys for jobs, levels and winter together, less what is there and coming. This list is for jobs and levels.
    </p>
  )
}
