import type { Metadata } from 'next'
import type { ReactNode } from 'react'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { approvalAllowed } from '@/lib/buying/order-life.ts'
import { buyingSettings } from '@/lib/db/buying-settings.ts'
import { planChoicesSet } from '@/lib/db/order-plan-hand.ts'
import { planRunStanding } from '@/lib/db/order-plan-run.ts'
import { type PlanView, planView } from '@/lib/db/order-plan-view.ts'
import { wintersInForce } from '@/lib/db/order-plan-winter.ts'
import { mayDo } from '@/lib/people/role.ts'
import { dateOf } from '@/lib/service/plain-date.ts'
import { settingsRead } from '@/lib/settings.ts'
import { BesideSimple } from './beside.tsx'
import { ByHand } from './by-hand.tsx'
import { ComesLate, Drafted, FromStock, LeftOpen, OnFile } from './left-open.tsx'
import type { Views } from './pegging.tsx'
import { PlanOrderSheet } from './plan-order.tsx'
import { PlanStanding } from './standing.tsx'
import { Summary } from './summary.tsx'
import { WinterSwitch } from './winter-switch.tsx'

export const metadata: Metadata = { title: 'Order plan' }

export default async function OrderPlanPage() {
  const who = await signedIn()
  const now = new Date()
  const run = await planRunStanding(now)
  const isWorking = run?.state === 'working'
  const [view, choices, winters, { buyerLimitMinor }] = await Promise.all([
    planView(now, !isWorking),
    planChoicesSet(),
    wintersInForce(dateOf(now)),
    buyingSettings(),
  ])
  const mayOrder = mayDo(who.roles, 'buying.order')
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
        <WinterSwitch winters={winters} choices={choices} mayChange={mayOrder && !isWorking} />
        {mayOrder ? null : <MayNot right="buying.order" />}
        {/* While another plan is looked for, this one is old: to read, not to act on. */}
        {view ? (
          <Plan
            view={view}
            mayChange={mayOrder && !isWorking}
            isWorking={isWorking}
            limitMinor={approvalAllowed(who.roles, Number.POSITIVE_INFINITY, buyerLimitMinor) ? null : buyerLimitMinor}
          >
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
  /** Above it an order of this person waits for approval; null: none does. */
  limitMinor: number | null
  /** What is set by hand: it stands between the sum and the orders. */
  children: ReactNode
}

function Plan({ view, mayChange, isWorking, limitMinor, children }: PlanProps) {
  const { kept: plan } = view
  const views: Views = {
    part: (label) => view.parts.get(label) ?? { id: 0, number: label, description: '', unit: 'each' },
    jobId: (number) => plan.names.jobs[number] ?? null,
    winterPlanId: (need) => plan.names.winters?.[need]?.planId ?? null,
  }
  return (
    <>
      <Summary view={view} mayOrder={mayChange} isWorking={isWorking} limitMinor={limitMinor} />
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
      <Drafted plan={plan} views={views} />
      <BesideSimple plan={plan} />
      <FromStock plan={plan} views={views} />
      <OnFile plan={plan} />
    </>
  )
}
