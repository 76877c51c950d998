'use client'

import Link from 'next/link'
import { memo, useState } from 'react'
import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { paths } from '@/app/paths.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, quantityInput } from '@/lib/measure/quantity.ts'
import type { BuyGroup, BuyLine, BuyPart } from '@/lib/winter/buy-list.ts'
import { buyReason, moneyWords } from '@/lib/winter/words.ts'
import { setQuantity } from '../../actions.ts'
import styles from './buy.module.css'
import type { ChooserProps } from './chooser-props.ts'

interface Props extends ChooserProps {
  groups: readonly BuyGroup[]
  spentMinor: number
}

/** The list to buy, a table for each supplier, the one who has to be asked first on top. */
export function BuyList(props: Props) {
  const { groups, parts, currency, today, mayPlan, planId, workshop, planName } = props
  const goods = groups.reduce((sum, { goodsMinor }) => sum + goodsMinor, 0)
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
          {goods === props.spentMinor
            ? ''
            : `; ${moneyWords(props.spentMinor, currency)} with what was ordered of this plan before`}
          .
        </p>
      )}
      {groups.map(({ supplier, lines, goodsMinor, lastDay }) => (
        <section
          key={supplier.id}
          className={`sheet stack ${styles.group}`}
          aria-labelledby={`supplier-${supplier.id}`}
        >
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
              {lines.map((line) => (
                <Line
                  key={line.part.partId}
                  part={line.part}
                  quantity={line.quantity}
                  costMinor={line.costMinor}
                  isCertain={line.isCertain}
                  isByHand={line.isByHand}
                  currency={currency}
                  planId={mayPlan ? planId : null}
                />
              ))}
            </tbody>
          </table>
          <p>
            Goods <span className="strong">{moneyFormat(goodsMinor, currency)}</span>
          </p>
        </section>
      ))}
      {drafted.length > 0 ? (
        <section className="stack tight no-print" aria-labelledby="drafted">
          <h2 id="drafted">In drafts, not sent</h2>
          <p className="soft">Counted as coming, so that it is not bought twice.</p>
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
        </section>
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

type LineProps = BuyLine & { currency: string; planId: number | null }

/** Drawn anew only when its own quantity changes: a slider moves past hundreds of lines. */
const Line = memo(function Line({ part, quantity, costMinor, isCertain, isByHand, currency, planId }: LineProps) {
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
      </td>
      <td className="right wide" data-label="Quantity">
        <span className="strong">{quantityFormat(quantity, part.unit)}</span>
        {planId === null ? null : <ByHand planId={planId} part={part} quantity={quantity} />}
      </td>
      <td className={`wide ${styles.whole}`} data-label="Needed on">
        <When at={part.neededOn} />
      </td>
      <td className={`right wide ${styles.whole}`} data-label="Cost">
        {moneyFormat(costMinor, currency)}
      </td>
    </tr>
  )
})

/** Another quantity than the proposed one; the form comes when it is asked for, since a list has hundreds of lines. */
function ByHand({ planId, part, quantity }: { planId: number; part: BuyPart; quantity: number }) {
  const [isOpen, setOpen] = useState(false)
  const hidden = { planId, partId: part.partId, unit: part.unit }
  if (!isOpen)
    return (
      <button type="button" className="button quiet no-print" onClick={() => setOpen(true)}>
        Change<span className="visually-hidden"> {part.number}</span>
      </button>
    )
  return (
    <div className="row end no-print">
      <ActionForm action={setQuantity} hidden={hidden} className="row end" aria-label={`Quantity of ${part.number}`}>
        <Field
          name="quantity"
          label={`Quantity, ${part.unit}`}
          inputMode="decimal"
          autoComplete="off"
          className="input-number"
          defaultValue={quantityInput(quantity, part.unit)}
        />
        <SubmitButton className="button">Keep</SubmitButton>
      </ActionForm>
      {part.byHand === null ? null : (
        <ActionForm
          action={setQuantity}
          hidden={{ ...hidden, quantity: '' }}
          submit="As proposed"
          submitClassName="button"
          className=""
        />
      )}
    </div>
  )
}
