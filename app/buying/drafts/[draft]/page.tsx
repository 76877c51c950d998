import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { DraftStateSays } from '@/app/buying/draft-state.tsx'
import { OrderRecord } from '@/app/buying/order-record.tsx'
import { SplitForm } from '@/app/buying/split-form.tsx'
import { NoRate } from '@/app/buying/supplier-group.tsx'
import { paths } from '@/app/paths.ts'
import { orderDaysSay } from '@/lib/buying/order-day.ts'
import { approvalAllowed } from '@/lib/buying/order-life.ts'
import { buyingSettings } from '@/lib/db/buying-settings.ts'
import { draftsList } from '@/lib/db/order-draft-read.ts'
import { orderRecord } from '@/lib/db/order-event.ts'
import { mailUnderWay } from '@/lib/db/order-mail.ts'
import { splitOffers } from '@/lib/db/order-split.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { splitDraft } from './actions.ts'
import { DraftLines } from './draft-lines.tsx'
import { draftOf } from './draft-read.ts'
import { DraftSteps } from './draft-steps.tsx'
import { MergeForms } from './merge-forms.tsx'

interface Props {
  params: Promise<{ draft: string }>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  await signedIn()
  return { title: `Draft ${(await draftOf((await params).draft)).id}` }
}

export default async function DraftPage({ params }: Props) {
  const who = await signedIn()
  const draft = await draftOf((await params).draft)
  const [record, { buyerLimitMinor }, drafts] = await Promise.all([
    orderRecord({ draftId: draft.id }),
    buyingSettings(),
    draftsList('open', new Date()),
  ])
  const others = drafts.filter(
    ({ id, supplierId, state, winterPlanId }) =>
      id !== draft.id &&
      supplierId === draft.supplier.id &&
      state === 'draft' &&
      winterPlanId === (draft.winterPlan?.id ?? null),
  )
  const { currency, smtp } = settingsRead()
  const mayOrder = mayDo(who.roles, 'buying.order')
  const goods = draft.homeMinor ?? 0
  const mayApprove = approvalAllowed(who.roles, goods, buyerLimitMinor)
  const isOpen = ['draft', 'approved', 'sending'].includes(draft.state)
  const mailTo = smtp === null ? null : draft.supplier.email
  const last = record.at(-1)
  const waits = draft.state === 'draft' && buyerLimitMinor !== null && goods > buyerLimitMinor
  return (
    <main className="page" id="page">
      <PageHead up={paths.orders()} from="Orders" about="not sent yet" title={`Draft ${draft.id}`} />
      <div className="stack loose">
        <dl className="facts">
          <dt>Supplier</dt>
          <dd>
            <Link href={paths.supplier(draft.supplier.id)} prefetch={false}>
              {draft.supplier.name}
            </Link>
            {draft.supplier.orderDays.length > 0 ? `, takes orders on ${orderDaysSay(draft.supplier.orderDays)}` : null}
          </dd>
          <dt>Stands</dt>
          <dd>
            <DraftStateSays state={draft.state} waits={waits} />
          </dd>
          <dt>Made</dt>
          <dd>
            <When at={draft.createdAt} />
          </dd>
          {isOpen ? (
            <>
              <dt>Ordered today, due</dt>
              <dd>
                <When at={draft.dueOn} />
              </dd>
            </>
          ) : null}
          {draft.winterPlan ? (
            <>
              <dt>Counts against</dt>
              <dd>
                winter plan{' '}
                <Link href={paths.winter(draft.winterPlan.id)} prefetch={false}>
                  {draft.winterPlan.name}
                </Link>
              </dd>
            </>
          ) : null}
          {draft.number !== null && draft.order === null ? (
            <>
              <dt>Number kept for it</dt>
              <dd className="number">{draft.number}</dd>
            </>
          ) : null}
        </dl>
        {last?.kind === 'not-sent' ? (
          <p className="alert">
            ▲ The order was not sent: {last.words}. Nothing is on order and nothing is lost: try again, or send it your
            own way and mark it as ordered.
          </p>
        ) : null}
        {draft.order ? (
          <p className="done">
            Sent as{' '}
            <Link href={paths.order(draft.order.id)} prefetch={false}>
              order {draft.order.number}
            </Link>
            .
          </p>
        ) : null}
        {draft.state === 'discarded' ? <p className="done">Discarded. Nothing of it was ordered.</p> : null}
        {draft.state === 'merged' ? <p className="done">Merged: its lines stand on another draft.</p> : null}
        {isOpen && draft.homeMinor === null ? (
          <NoRate supplier={draft.supplier.name} currency={draft.currency} />
        ) : null}
        <section className="stack tight" aria-labelledby="lines">
          <h2 id="lines">What is to be ordered</h2>
          <DraftLines
            draft={draft}
            mayChange={mayOrder && draft.state === 'draft'}
            mayApprove={mayApprove}
            limit={buyerLimitMinor === null ? null : moneyFormat(buyerLimitMinor, currency)}
            mailTo={mailTo}
          />
        </section>
        {mayOrder && draft.state === 'draft' ? (
          <>
            <MergeForms draft={draft} others={others} />
            <details>
              <summary className="button quiet">Split the draft</summary>
              <SplitForm
                key={draft.version}
                action={splitDraft}
                hidden={{ draftId: draft.id, version: draft.version }}
                says="Move them to another draft"
                lines={draft.lines}
                own={draft.supplier}
                offers={
                  await splitOffers(
                    draft.lines.map((line) => line.partId),
                    todayIs(),
                  )
                }
              />
            </details>
          </>
        ) : null}
        {isOpen && !mayOrder ? <MayNot right="buying.order" /> : null}
        {isOpen && mayOrder ? (
          <DraftSteps draft={draft} mailTo={mailTo} isUnderWay={mailUnderWay(last, new Date())} />
        ) : null}
        <OrderRecord rows={record} />
      </div>
    </main>
  )
}
