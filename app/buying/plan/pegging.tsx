import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import type { PlanPartView } from '@/lib/db/order-plan-view.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import type { Pegged } from '@/lib/replenish/plan-answer.ts'
import { forWhatSays } from '@/lib/replenish/plan-words.ts'

export interface Views {
  part: (label: string) => PlanPartView
  jobId: (number: string) => number | null
  /** The winter plan of a need. */
  winterPlanId: (need: string) => number | null
}

/** "4 for job 214 (T3)", "2 for Winter 2026/27: T-03, T-07", with the way to the job or the plan. */
export function PeggedTo({ one, views, bought }: { one: Pegged; views: Views; bought: string | null }) {
  const part = views.part(one.part)
  const jobId = one.for.job === undefined ? null : views.jobId(one.for.job)
  const winterPlanId = views.winterPlanId(one.need)
  const to = jobId !== null ? paths.job(jobId) : winterPlanId !== null ? paths.winter(winterPlanId) : null
  return (
    <>
      {quantityFormat(one.quantity, part.unit)}
      {bought === one.part ? null : (
        <>
          {' '}
          x <span className="number">{part.number}</span>
        </>
      )}{' '}
      for{' '}
      {to === null ? (
        forWhatSays(one)
      ) : (
        <Link href={to} prefetch={false}>
          {forWhatSays(one)}
        </Link>
      )}
      {one.lateDays > 0 ? <span className="strong">, late</span> : null}
    </>
  )
}

export function PartName({ part }: { part: PlanPartView }) {
  return (
    <>
      <Link href={paths.part(part.id)} className="number" prefetch={false}>
        {part.number}
      </Link>{' '}
      {part.description}
    </>
  )
}
