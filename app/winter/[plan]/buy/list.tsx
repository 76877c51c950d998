'use client'

import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import { counted } from '@/lib/measure/counted.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { type BuyGroup, buyReaches } from '@/lib/winter/buy-list.ts'
import type { OrderLots } from '@/lib/winter/lots.ts'
import { moneyWords } from '@/lib/winter/words.ts'
import styles from './buy.module.css'
import { ByHand } from './by-hand.tsx'
import type { ChooserProps } from './chooser-props.ts'
import { LotsHow } from './lots.tsx'
import { SupplierOrder } from './supplier-order.tsx'

interface Props extends ChooserProps {
  groups: readonly BuyGroup[]
  /** Steps of the curve that the list is of. */
  count: number
  spentMinor: number
  /** Suppliers whose orders are left for later. */
  later: ReadonlySet<number>
  onLater: (supplierId: number, isLater: boolean) => void
  /** How orders are best parted, by supplier; and those of which only the first lot is ordered now. */
  lots: ReadonlyMap<number, OrderLots>
  firstOnly: ReadonlySet<number>
  onFirstOnly: (supplierId: number, isFirstOnly: boolean) => void
}

/** The list to buy, a table for each supplier, the one who has to be asked first on top. */
export function BuyList(props: Props) {
  const { groups, parts, currency, today, mayPlan, planId, workshop, planName } = props
  const goods = groups.reduce((sum, { goodsMinor }) => sum + goodsMinor, 0)
  const carriage = groups.reduce((sum, { carriageMinor }) => sum + carriageMinor, 0)
  const left = parts.filter(({ byHand }) => byHand === 0)
  const drafted = parts.filter(({ drafts }) => drafts.length > 0)
  return (
    <>
      <div className={styles.onPaper}>
        {workshop ? <p className="strong">{workshop}</p> : null}
        <p>
          {planName}: what to buy, as of <When at={today} />
        </p>
      </div>
      {groups.length === 0 ? (
        <p className="empty">
          Nothing to buy for this budget: what is there and on order is all that it pays for. Move the slider, or type a
          larger sum.
        </p>
      ) : (
        <p>
          {moneyWords(goods, currency)} of goods
          {carriage === 0
            ? ', no carriage'
            : `, ${moneyWords(carriage, currency)} carriage: ${moneyWords(goods + carriage, currency)} in all`}
          {goods + carriage === props.spentMinor
            ? ''
            : `; ${moneyWords(props.spentMinor, currency)} with what is ordered and drafted of this plan`}
          . Deposits come on top.
        </p>
      )}
      {props.leftOut.length === 0 ? null : (
        // On paper too: whoever orders by the list has to get these elsewhere.
        <p className="caution">
          ▲ Not to be had in time from anybody on file, not on this list and not in its chances:{' '}
          {props.leftOut.join(', ')}.
        </p>
      )}
      {groups.map((group) => (
        <SupplierOrder
          key={group.supplier.id}
          group={group}
          currency={currency}
          today={today}
          planId={mayPlan ? planId : null}
          reachesMinor={group.missingMinor > 0 ? buyReaches(props.curve, props.count, group, parts) : null}
          isLater={props.later.has(group.supplier.id)}
          onLater={props.mayOrder ? props.onLater : null}
          lots={props.lots.get(group.supplier.id)}
          isFirstOnly={props.firstOnly.has(group.supplier.id)}
          onFirstOnly={props.mayOrder ? props.onFirstOnly : null}
        />
      ))}
      {props.lots.size === 0 ? null : <LotsHow settings={props.lotSettings} currency={currency} />}
      {drafted.length > 0 ? (
        <details className="no-print">
          <summary>{counted(drafted.length, 'part')} in drafts, not sent: counted as coming</summary>
          <ul className="plain-list stack tight">
            {drafted.map(({ partId, number, description, unit, drafts }) => (
              <li key={partId}>
                <span className="number">{number}</span> {description}:{' '}
                {drafts.map(({ draftId, quantity }, at) => (
                  <span key={draftId}>
                    {at === 0 ? null : ', '}
                    {quantityFormat(quantity, unit)} in{' '}
                    <Link href={paths.orderDraft(draftId)} prefetch={false}>
                      draft {draftId}
                    </Link>
                  </span>
                ))}
              </li>
            ))}
          </ul>
        </details>
      ) : null}
      {left.length > 0 ? (
        <section className="stack tight no-print" aria-labelledby="left">
          <h2 id="left">No more by hand</h2>
          <ul className="plain-list stack tight">
            {left.map((part) => (
              <li key={part.partId}>
                <span className="number">{part.number}</span> {part.description}
                {mayPlan ? <ByHand planId={planId} part={part} quantity={0} /> : null}
              </li>
            ))}
          </ul>
        </section>
      ) : null}
    </>
  )
}
