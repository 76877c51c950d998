'use client'

import Link from 'next/link'
import { memo } from 'react'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import type { BuyGroup, BuyLine } from '@/lib/winter/buy-list.ts'
import { lotDays, type OrderLots } from '@/lib/winter/lots.ts'
import { belowSays, buyReason } from '@/lib/winter/words.ts'
import styles from './buy.module.css'
import { ByHand } from './by-hand.tsx'
import { LotsChoice } from './lots.tsx'

interface Props {
  group: BuyGroup
  currency: string
  today: string
  /** Null where the person may not change quantities. */
  planId: number | null
  /** Budget with which the least order of the supplier is reached; null where none does, or it is. */
  reachesMinor: number | null
  isLater: boolean
  /** Null where the person may not order. */
  onLater: ((supplierId: number, isLater: boolean) => void) | null
  /** How the order is best parted; undefined where there is nothing to weigh. */
  lots: OrderLots | undefined
  isFirstOnly: boolean
  onFirstOnly: Props['onLater']
}

/** What is bought of one supplier: its lines, goods and carriage, and what to do where it takes no order so small. */
export function SupplierOrder(props: Props) {
  const { group, currency, today, planId, reachesMinor, isLater, onLater, lots, isFirstOnly, onFirstOnly } = props
  const { supplier, lines, goodsMinor, carriageMinor, missingMinor, lastDay } = group
  const dayOf = lotDays(lots)
  const first = lots?.lots[0]?.on
  const laterDay = (partId: number) => {
    const day = dayOf.get(partId)
    return day === undefined || day === first ? null : day
  }
  return (
    <section className={`sheet stack ${styles.group}`} aria-labelledby={`supplier-${supplier.id}`}>
      <div className="row spread">
        <h2 id={`supplier-${supplier.id}`}>{supplier.name}</h2>
        <p>
          {lastDay < today ? (
            <span className="strong">
              ▲ Too late for the first of it: ordered today it is there on <When at={supplier.arrives} />
            </span>
          ) : (
            <>
              Order by{' '}
              <span className="strong">
                <When at={lastDay} />
              </span>
              {lastDay === today ? ', which is today' : ''}
            </>
          )}
        </p>
      </div>
      <table className="parts fold">
        <caption className="visually-hidden">To buy from {supplier.name}</caption>
        <thead>
          <tr>
            <th scope="col">Part number, theirs</th>
            <th scope="col">Description, why</th>
            <th scope="col" className="right">
              Quantity
            </th>
            <th scope="col">Needed on</th>
            <th scope="col" className="right">
              Cost
            </th>
          </tr>
        </thead>
        <tbody>
          {lines.map(({ part, quantity, priceMinor, costMinor, isCertain, isByHand }) => (
            <Line
              key={part.partId}
              part={part}
              quantity={quantity}
              priceMinor={priceMinor}
              costMinor={costMinor}
              isCertain={isCertain}
              isByHand={isByHand}
              currency={currency}
              planId={planId}
              orderBy={laterDay(part.partId)}
              isLeft={isFirstOnly && laterDay(part.partId) !== null}
            />
          ))}
        </tbody>
      </table>
      <p>
        Goods <span className="strong">{moneyFormat(goodsMinor, currency)}</span>
        {carriageMinor === 0 ? (
          ', no carriage'
        ) : (
          <>
            , carriage <span className="strong">{moneyFormat(carriageMinor, currency)}</span>, together{' '}
            <span className="strong">{moneyFormat(goodsMinor + carriageMinor, currency)}</span>
          </>
        )}
      </p>
      {lots === undefined ? null : (
        <LotsChoice
          supplier={supplier}
          lots={lots}
          today={today}
          currency={currency}
          isFirstOnly={isFirstOnly}
          onFirstOnly={onFirstOnly}
        />
      )}
      {missingMinor > 0 ? (
        <div className="caution stack tight">
          <p>{belowSays(group, reachesMinor, currency)}</p>
          {onLater === null ? null : (
            <label className="row no-print">
              <input
                type="checkbox"
                checked={isLater}
                onChange={(event) => onLater(supplier.id, event.target.checked)}
              />
              <span>
                Leave it for later<span className="visually-hidden">: {supplier.name}</span>
              </span>
            </label>
          )}
        </div>
      ) : null}
    </section>
  )
}

/** `orderBy`: the day of a later order in which it goes; null: with the first. `isLeft`: not in this press. */
type LineProps = BuyLine & { currency: string; planId: number | null; orderBy: string | null; isLeft: boolean }

/** Drawn anew only when its own quantity changes: a slider moves past hundreds of lines. */
const Line = memo(function Line(props: LineProps) {
  const { part, quantity, costMinor, isCertain, isByHand, currency, planId, orderBy, isLeft } = props
  return (
    <tr>
      <td>
        <Link href={paths.part(part.partId)} className="number" prefetch={false}>
          {part.number}
        </Link>
        {part.supplierNumber ? (
          <>
            <br />
            <span className="number soft small">{part.supplierNumber}</span>
          </>
        ) : null}
      </td>
      <td className="wide">
        {part.description} {isCertain ? <span className="badge">certain</span> : null}
        {isByHand ? <span className="badge">by hand</span> : null}
        <br />
        <span className="soft small">{buyReason(part)}</span>
        {part.goesWith.map((why) => (
          <span className="small" key={why}>
            <br />
            {why}
          </span>
        ))}
      </td>
      <td className="right wide" data-label="Quantity">
        <span className="strong">{quantityFormat(quantity, part.unit)}</span>
        {planId === null ? null : <ByHand planId={planId} part={part} quantity={quantity} />}
      </td>
      <td className={`wide ${styles.whole}`} data-label="Needed on">
        <When at={part.neededOn} />
        {orderBy === null ? null : (
          <span className="small soft">
            <br />
            order by <When at={orderBy} />
          </span>
        )}
        {isLeft ? (
          <span className="small no-print">
            <br />
            not in this press
          </span>
        ) : null}
      </td>
      <td className={`right wide ${styles.whole}`} data-label="Cost">
        {moneyFormat(costMinor, currency)}
      </td>
    </tr>
  )
})
