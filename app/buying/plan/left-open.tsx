import Link from 'next/link'
import { When } from '@/app/_parts/when.tsx'
import { paths } from '@/app/paths.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import type { KeptPlan } from '@/lib/replenish/plan-kept.ts'
import type { ShopFault } from '@/lib/replenish/plan-shop-state.ts'
import { PartName, PeggedTo, type Views } from './pegging.tsx'

interface Props {
  plan: KeptPlan
  views: Views
}

/** What the plan does not bring, why, and which thing set by hand it is that stands in the way. */
export function LeftOpen({ plan, views }: Props) {
  const { unfilled, without, currency } = plan.answer
  if (unfilled.length === 0) return null
  return (
    <section className="caution stack tight" aria-labelledby="left-open">
      <h2 id="left-open">Left open</h2>
      <ul className="plain-list stack tight">
        {unfilled.map((one) => {
          const part = views.part(one.part)
          return (
            <li key={one.need}>
              {quantityFormat(one.quantity, part.unit)} x <PartName part={part} />, wanted by <When at={one.by} />:{' '}
              {one.why}.
            </li>
          )
        })}
      </ul>
      {without.length === 0 ? null : (
        <>
          <p className="strong">What would help</p>
          <ul className="plain-list stack tight">
            {without.map((one) => (
              <li key={one.without}>
                Without {one.without}:{' '}
                {one.open === 0 ? 'nothing would be left open' : `${counted(one.open, 'need')} would be left open`}, for{' '}
                {moneyFormat(one.paidMinor, currency)} in all.
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  )
}

/** What comes after its day. */
export function ComesLate({ plan, views }: Props) {
  const { late } = plan.answer
  if (late.length === 0) return null
  return (
    <section className="sheet stack tight" aria-labelledby="comes-late">
      <h2 id="comes-late">Comes late</h2>
      <ul className="plain-list stack tight">
        {late.map((one) => {
          const part = views.part(one.part)
          return (
            <li key={`${one.need} ${one.arrives}`}>
              ▲ {quantityFormat(one.quantity, part.unit)} x <PartName part={part} />: there on <When at={one.arrives} />
              , {counted(one.days, 'day')} after <When at={one.by} />
            </li>
          )
        })}
      </ul>
      <p className="soft small">
        For a job, coming late is counted as a machine that stands still, as{' '}
        <Link href={paths.levelSettings()}>set</Link>; for the shelf as a hundredth of the price a day. It is in no
        bill: the plan weighs dearer against later with it.
      </p>
    </section>
  )
}

/** What stands in drafts: counted as coming, though nobody has it on order yet. */
export function Drafted({ plan, views }: Props) {
  const drafted = plan.drafted ?? []
  if (drafted.length === 0) return null
  return (
    <section className="sheet stack tight" aria-labelledby="drafted">
      <h2 id="drafted">In drafts, not sent</h2>
      <p className="soft">
        Counted as coming, so that it is not bought twice. What you discard there is wanted again when the plan is
        reckoned next.
      </p>
      <ul className="plain-list stack tight">
        {drafted.map(({ draftId, part: label, quantity, on }) => {
          const part = views.part(label)
          return (
            <li key={`${draftId} ${label}`}>
              {quantityFormat(quantity, part.unit)} x <PartName part={part} /> in{' '}
              <Link href={paths.orderDraft(draftId)} prefetch={false}>
                draft {draftId}
              </Link>
              ; sent today it is there on <When at={on} />
            </li>
          )
        })}
      </ul>
    </section>
  )
}

/** What needs nothing bought: it lies there or comes anyway. */
export function FromStock({ plan, views }: Props) {
  const { fromStock } = plan.answer
  if (fromStock.length === 0) return null
  return (
    <details className="sheet">
      <summary>{counted(fromStock.length, 'need')} met by what is there, on order or in a draft</summary>
      <ul className="plain-list stack tight">
        {fromStock.map((one) => (
          <li key={`${one.need} ${one.given} ${one.says} ${one.quantity}`}>
            <span className="number">{views.part(one.given).number}</span>, {one.says}:{' '}
            <PeggedTo one={one} views={views} bought={one.given} />
          </li>
        ))}
      </ul>
    </details>
  )
}

/** What is wrong on file, each with what to do; the rest was planned. */
export function OnFile({ plan }: { plan: KeptPlan }) {
  const open = new Set(plan.answer.unfilled.map(({ need, part }) => `${need} (${part})`))
  const faults: ShopFault[] = [...plan.faults, ...plan.answer.faults.filter(({ at }) => !open.has(at))]
  if (faults.length === 0) return null
  return (
    <section className="sheet stack tight" aria-labelledby="on-file">
      <h2 id="on-file">To put right on file</h2>
      <ul className="plain-list stack tight">
        {faults.map((fault) => (
          <li key={`${fault.at} ${fault.why}`}>
            <Where fault={fault} />: {fault.why}. <span className="soft">{fault.next}</span>
          </li>
        ))}
      </ul>
    </section>
  )
}

function Where({ fault }: { fault: ShopFault }) {
  const { at, orderId, draftId, jobId, winterPlanId, partId, supplierId } = fault
  const to =
    orderId !== undefined
      ? paths.order(orderId)
      : draftId !== undefined
        ? paths.orderDraft(draftId)
        : jobId !== undefined
          ? paths.job(jobId)
          : winterPlanId !== undefined
            ? paths.winterBuy(winterPlanId)
            : partId !== undefined
              ? paths.part(partId)
              : supplierId !== undefined
                ? paths.supplier(supplierId)
                : null
  return to === null ? (
    <span className="strong">{at}</span>
  ) : (
    <Link href={to} prefetch={false}>
      {at}
    </Link>
  )
}
