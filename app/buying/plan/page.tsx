import type { Metadata } from 'next'
import Link from 'next/link'
import type { ReactNode } from 'react'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { When } from '@/app/_parts/when.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { planChoicesSet } from '@/lib/db/order-plan-hand.ts'
import { planRunStanding } from '@/lib/db/order-plan-run.ts'
import { type PlanView, planView } from '@/lib/db/order-plan-view.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { orderToday } from './actions.ts'
import { BesideSimple } from './beside.tsx'
import { ByHand } from './by-hand.tsx'
import { ComesLate, FromStock, LeftOpen, OnFile } from './left-open.tsx'
import type { Views } from './pegging.tsx'
import { PlanOrderSheet } from './plan-order.tsx'
import { PlanStanding } from './standing.tsx'

export const metadata: Metadata = { title: 'Order plan' }

export default async function OrderPlanPage() {
  const who = await signedIn()
  const now = new Date()
  const [run, view, choices] = await Promise.all([planRunStanding(now), planView(now), planChoicesSet()])
  const mayOrder = mayDo(who.roles, 'buying.order')
  const isWorking = run?.state === 'working'
  const byHand = <ByHand choices={choices} currency={settingsRead().currency} mayOrder={mayOrder} />
  return (
    <main className="page" id="page">
      <PageHead
        up={paths.buying()}
        from="Order list"
        about="the cheapest orders that bring all of it"
        title="Order plan"
      />
      <div className="stack loose">
        <PlanStanding run={run} mayOrder={mayOrder} />
        {mayOrder ? null : <MayNot right="buying.order" />}
        {/* While another plan is looked for, this one is old: to read, not to act on. */}
        {view ? (
          <Plan view={view} mayChange={mayOrder && !isWorking} isWorking={isWorking}>
            {byHand}
          </Plan>
        ) : (
          byHand
        )}
      </div>
    </main>
  )
}

interface PlanProps {
  view: PlanView
  mayChange: boolean
  isWorking: boolean
  /** What is set by hand: it stands between the sum and the orders. */
  children: ReactNode
}

function Plan({ view, mayChange, isWorking, children }: PlanProps) {
  const { kept: plan } = view
  const views: Views = {
    part: (label) => view.parts.get(label) ?? { id: 0, number: label, description: '', unit: 'each' },
    jobId: (number) => plan.names.jobs[number] ?? null,
  }
  return (
    <>
      <Summary view={view} mayOrder={mayChange} isWorking={isWorking} />
      <LeftOpen plan={plan} views={views} />
      {children}
      {plan.answer.orders.map((order) => (
        <PlanOrderSheet
          key={`${order.supplier} ${order.orderOn}`}
          order={order}
          plan={plan}
          views={views}
          mayChange={mayChange}
        />
      ))}
      <ComesLate plan={plan} views={views} />
      <BesideSimple plan={plan} />
      <FromStock plan={plan} views={views} />
      <OnFile plan={plan} />
    </>
  )
}

/** What the plan costs, how sure that is, and the button that makes orders of it. */
function Summary({ view, mayOrder, isWorking }: { view: PlanView; mayOrder: boolean; isWorking: boolean }) {
  const { kept, isStale, ordered, runId } = view
  const { answer, today } = kept
  const money = (minor: number) => moneyFormat(minor, answer.currency)
  const due = answer.orders.filter(({ orderOn }) => orderOn === today)
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
      {ordered ? (
        <p role="status">
          Ordered <When at={ordered.at} time />:{' '}
          {ordered.orders.map((order, at) => (
            <span key={order.id}>
              {at === 0 ? null : ', '}
              <Link href={paths.order(order.id)} prefetch={false}>
                order {order.number}
              </Link>
            </span>
          ))}
          .
        </p>
      ) : null}
      {isWorking ? null : isStale ? (
        <p className="caution">
          {ordered
            ? 'What was ordered is on order now. Reckon again to see what is still missing.'
            : 'Stock, jobs, levels or prices have changed since, or it is another day: this is no longer what is wanted. Reckon again before you order.'}
        </p>
      ) : due.length === 0 ? (
        answer.orders.length === 0 ? null : (
          <p>None of the orders is for today.</p>
        )
      ) : mayOrder ? (
        <ActionForm action={orderToday} formKey={freshKey()} hidden={{ runId }} className="stack tight no-print">
          <p>
            {counted(due.length, 'order')} for today: {due.map(({ supplier }) => supplier).join(', ')}. Send them your
            own way; the button keeps them here as on order.
          </p>
          <div>
            <SubmitButton>Make today’s orders</SubmitButton>
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
