import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import { DRAFT_STATES } from '@/lib/buying/order-life.ts'
import type { PlanMade } from '@/lib/db/order-plan-run.ts'
import type { PlanView } from '@/lib/db/order-plan-view.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { orderToday } from './actions.ts'

interface Props {
  view: PlanView
  mayOrder: boolean
  isWorking: boolean
  /** Goods above which an order of this person waits for approval; null: none does. */
  limitMinor: number | null
}

/** What the plan costs, how sure that is, and the button that makes orders of it. */
export function Summary({ view, mayOrder, isWorking, limitMinor }: Props) {
  const { kept, isStale, ordered, runId } = view
  const { answer, today } = kept
  const money = (minor: number) => moneyFormat(minor, answer.currency)
  const due = answer.orders.filter(({ orderOn }) => orderOn === today)
  const isAbove = ({ goodsMinor }: { goodsMinor: number }) => limitMinor !== null && goodsMinor > limitMinor
  const above = due.filter(isAbove)
  const within = due.filter((order) => !isAbove(order))
  return (
    <section className="sheet stack" aria-labelledby="sum">
      <h2 id="sum">
        {answer.orders.length === 0
          ? 'Nothing to order'
          : `${counted(answer.orders.length, 'order')}, ${money(answer.goodsMinor + answer.carriageMinor)}`}
      </h2>
      <p>
        Goods {money(answer.goodsMinor)}, carriage {money(answer.carriageMinor)}.{' '}
        {answer.lateMinor > 0 ? `Coming late counts as ${money(answer.lateMinor)} on top. ` : null}
        <span className="strong">{proofSays(answer, money)}</span>
      </p>
      {ordered ? <Made ordered={ordered} /> : null}
      {isWorking ? null : isStale ? (
        <p className="caution">
          {ordered
            ? `${ordered.drafts.length > 0 ? 'What was ordered is on order now, and what is in drafts counts as coming.' : 'What was ordered is on order now.'} Reckon again to see what is still missing.`
            : 'Stock, jobs, levels, winter plans, drafts or prices have changed since, or it is another day: this is no longer what is wanted. Reckon again before you order.'}
        </p>
      ) : due.length === 0 ? (
        answer.orders.length === 0 ? null : (
          <p>None of the orders is for today.</p>
        )
      ) : mayOrder ? (
        <ActionForm action={orderToday} formKey={freshKey()} hidden={{ runId }} className="stack tight no-print">
          <p>
            {counted(due.length, 'order')} for today: {due.map(({ supplier }) => supplier).join(', ')}.{' '}
            {within.length > 0
              ? `Send ${within.length === 1 ? 'it' : 'them'} your own way; the button keeps ${within.length === 1 ? 'it' : 'them'} here as on order. `
              : null}
            {above.length > 0
              ? `Above the ${money(limitMinor ?? 0)} up to which you approve yourself: ${above.map(({ supplier, goodsMinor }) => `${supplier} (${money(goodsMinor)})`).join(', ')}. The button keeps ${above.length === 1 ? 'it as a draft that waits' : 'them as drafts that wait'} for approval.`
              : null}
          </p>
          <div>
            <SubmitButton>
              {within.length > 0 ? 'Make today’s orders' : above.length === 1 ? 'Make the draft' : 'Make the drafts'}
            </SubmitButton>
          </div>
        </ActionForm>
      ) : null}
    </section>
  )
}

function proofSays(
  { costMinor, boundMinor, gap }: PlanView['kept']['answer'],
  money: (minor: number) => string,
): string {
  if (boundMinor === null) return 'Something is left open, so there is no least cost to hold it against.'
  if (boundMinor === costMinor) return 'Proven: no plan costs less.'
  const share = `${((gap ?? 0) * 100).toFixed(2)} %`
  return `Not proven in the time given: no plan costs less than ${money(boundMinor)}, so at most ${money(costMinor - boundMinor)} (${share}) could still be saved. More time may tell.`
}

/** What was made of the plan: orders, and drafts with what became of each. */
function Made({ ordered: { at, orders, drafts } }: { ordered: PlanMade }) {
  return (
    <div role="status" className="stack tight">
      {orders.length === 0 ? null : (
        <p>
          Ordered <When at={at} time />:{' '}
          {orders.map(({ id, number }, place) => (
            <span key={id}>
              {place === 0 ? null : ', '}
              <Link href={paths.order(id)} prefetch={false}>
                order {number}
              </Link>
            </span>
          ))}
          .
        </p>
      )}
      {drafts.length === 0 ? null : (
        <>
          <p>
            Kept as {counted(drafts.length, 'draft')} <When at={at} time />, above the limit of whoever ordered:
          </p>
          <ul className="plain-list">
            {drafts.map(({ id, supplier, state, order }) => (
              <li key={id}>
                {order === null ? (
                  <>
                    <Link href={paths.orderDraft(id)} prefetch={false}>
                      draft {id}
                    </Link>{' '}
                    for {supplier}: {state === 'draft' ? 'waits for approval' : DRAFT_STATES[state].says}
                  </>
                ) : (
                  <>
                    draft {id} for {supplier}: sent as{' '}
                    <Link href={paths.order(order.id)} prefetch={false}>
                      order {order.number}
                    </Link>
                  </>
                )}
              </li>
            ))}
          </ul>
        </>
      )}
    </div>
  )
}
