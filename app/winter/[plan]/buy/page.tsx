import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { type PageQuery, queryText } from '@/app/_parts/query.ts'
import { When } from '@/app/_parts/when.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { approvalAllowed } from '@/lib/buying/order-life.ts'
import { buyingSettings } from '@/lib/db/buying-settings.ts'
import { levelSettings } from '@/lib/db/level-settings.ts'
import { winterBudgets } from '@/lib/db/winter-budget.ts'
import { winterDraftsNow, winterOrders } from '@/lib/db/winter-order.ts'
import { winterBuying } from '@/lib/db/winter-run.ts'
import { workshopName } from '@/lib/db/workshop.ts'
import { moneyFormat, moneyParse } from '@/lib/measure/money.ts'
import { mayDo } from '@/lib/people/role.ts'
import { AtWork } from '../at-work.tsx'
import { planOfAddress } from '../plan-read.ts'
import { Chooser } from './chooser.tsx'

export const metadata: Metadata = { title: 'What to buy for the winter' }

interface Props {
  params: Promise<{ plan: string }>
  searchParams: PageQuery
}

export default async function WinterBuyPage({ params, searchParams }: Props) {
  const who = await signedIn()
  const standing = await planOfAddress((await params).plan)
  const { plan, facts, answer } = standing
  const typed = moneyParse(queryText((await searchParams).budget))
  const [buying, orders, drafts, workshop, budgets, { buyerLimitMinor }, { orderCostMinor, holdingPercent }] =
    await Promise.all([
      winterBuying(standing),
      winterOrders(plan.id),
      winterDraftsNow(plan.id, facts.today),
      workshopName(),
      winterBudgets(standing, typed),
      buyingSettings(),
      levelSettings(),
    ])
  const mayPlan = mayDo(who.roles, 'winter.plan') && plan.endedAt === null
  const mayOrder = mayDo(who.roles, 'buying.order') && plan.endedAt === null
  return (
    <main className="page" id="page">
      <PageHead up={paths.winter(plan.id)} from={plan.name} about="what a budget brings" title="What to buy" />
      <div className="stack loose">
        <AtWork standing={standing} mayPlan={mayPlan} />
        {answer && buying ? (
          <Chooser
            planId={plan.id}
            planName={plan.name}
            workshop={workshop}
            today={facts.today}
            curve={answer.curve}
            waits={answer.waits}
            parts={buying.parts}
            suppliers={buying.suppliers}
            currency={facts.currency}
            budgetMinor={typed ?? answer.budgetMinor}
            ordersMade={plan.ordersMade}
            orderedMinor={standing.spentMinor - standing.draftedMinor}
            draftedMinor={standing.draftedMinor}
            formKeys={{ budget: freshKey(), order: freshKey() }}
            watch={budgets.watch}
            lotSettings={{ orderCostMinor, holdingPercent }}
            limitMinor={approvalAllowed(who.roles, Number.POSITIVE_INFINITY, buyerLimitMinor) ? null : buyerLimitMinor}
            mayPlan={mayPlan}
            mayOrder={mayOrder}
            leftOut={buying.absent.filter(({ isCertain }) => isCertain).map(({ number, why }) => `${number} (${why})`)}
          />
        ) : null}
        {plan.endedAt === null && facts.today <= plan.work.until ? (
          <p className="no-print">
            <Link href={paths.orderPlan()} prefetch={false}>
              Let the order plan choose suppliers for this list
            </Link>
            , together with what jobs and levels ask for: what is certain, and the rest as far as the kept budget buys
            it.
          </p>
        ) : null}
        {mayOrder ? null : <MayNot right="buying.order" />}
        {drafts.length > 0 ? (
          <section className="stack tight no-print" aria-labelledby="drafts">
            <h2 id="drafts">Drafts of this plan</h2>
            <p className="soft">Not on order yet; what they hold counts as coming, and their money as spent.</p>
            <ul className="plain-list stack tight">
              {drafts.map((draft) => (
                <li key={draft.id}>
                  <Link href={paths.orderDraft(draft.id)} prefetch={false}>
                    Draft {draft.id}
                  </Link>{' '}
                  for {draft.supplier}, <When at={draft.createdAt} />,{' '}
                  {moneyFormat(draft.goodsMinor + draft.carriageMinor, facts.currency)}:{' '}
                  {draft.state === 'draft' ? 'waits for approval' : 'approved, to be sent'}
                </li>
              ))}
            </ul>
          </section>
        ) : null}
        {orders.length > 0 ? (
          <section className="stack tight no-print" aria-labelledby="orders">
            <h2 id="orders">Orders made of this plan</h2>
            <ul className="plain-list stack tight">
              {orders.map((order) => (
                <li key={order.id}>
                  <Link href={paths.order(order.id)} prefetch={false}>
                    Order {order.number}
                  </Link>{' '}
                  to {order.supplier}, <When at={order.orderedAt} />, {moneyFormat(order.costMinor, facts.currency)}
                </li>
              ))}
            </ul>
          </section>
        ) : null}
      </div>
    </main>
  )
}
